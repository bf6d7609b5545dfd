package store

import (
	"io/fs"
	"syscall"
)

func signatureOf(info fs.FileInfo) (signature, bool) {
	stat, ok := info.Sys().(*syscall.Stat_t)
	if !ok {
		return signature{}, false
	}
	return signature{
		size: info.Size(), modified: info.ModTime().UnixNano(), changed: stat.Ctimespec.Nano(),
		device: uint64(stat.Dev), inode: stat.Ino,
	}, true
}

// ours says whether a file belongs to this user and nobody else may write it.
func ours(info fs.FileInfo, user int) bool {
	stat, ok := info.Sys().(*syscall.Stat_t)
	return ok && int(stat.Uid) == user && info.Mode().Perm()&0o022 == 0
}
