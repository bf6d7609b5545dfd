package store

import (
	"io/fs"
	"time"
)

// signature is what tells that a file is still the one that was read. Writing to
// a file in place changes its change time even if its length stays and its
// modification time is set back; a file put in its place has another number.
type signature struct {
	size          int64
	modified      int64 // nanoseconds since 1970
	changed       int64
	device, inode uint64
}

// restless is the age below which a file is read anew: the clock of a file
// system is coarse, and within one of its ticks a second change would not show.
const restless = 2 * time.Second

// settled says whether the file was last touched long enough ago. One from the
// future is never settled.
func (s signature) settled(now time.Time) bool {
	return max(s.modified, s.changed) <= now.Add(-restless).UnixNano()
}

// lookAt gives the signature of a regular file; false where there is none, or
// where the system does not tell change times.
func lookAt(fsys fs.FS, file string) (signature, bool) {
	info, err := fs.Stat(fsys, file)
	if err != nil || !info.Mode().IsRegular() {
		return signature{}, false
	}
	return signatureOf(info)
}
