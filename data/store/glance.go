package store

import (
	"bytes"
	"io"
	"io/fs"
	"path"
	"strings"
)

// Kinds of records that Glance lists.
const (
	BulbRecords = bulbsDir
	RigRecords  = rigsDir
	CarRecords  = carsDir
)

// Named is a record as far as its first lines name it.
type Named struct {
	ID   string
	Name string // empty when it could not be read
	Size string // the bulb size as written, for bulbs and rigs
}

const (
	glanceBytes = 4 << 10 // of one file; name and size stand at its top
	glanceMost  = 200     // files that are opened
)

// Glance lists the records of a kind whose id starts with prefix, in the order
// of their ids. It is for completion at the prompt: it checks nothing, a fault
// never stands in its way, and where there are many records it returns their
// ids only.
func Glance(fsys fs.FS, kind, prefix string) []Named {
	entries, err := fs.ReadDir(fsys, kind)
	if err != nil {
		return nil
	}
	var list []Named
	for _, entry := range entries {
		id, isRecord := strings.CutSuffix(entry.Name(), ".yaml")
		if isRecord && idPattern().MatchString(id) && strings.HasPrefix(id, prefix) {
			list = append(list, Named{ID: id})
		}
	}
	if len(list) > glanceMost {
		return list
	}
	for i := range list {
		list[i].Name, list[i].Size = glanceAt(fsys, path.Join(kind, list[i].ID+".yaml"))
	}
	return list
}

// glanceAt reads the top-level keys name and size without parsing the file.
func glanceAt(fsys fs.FS, file string) (name, size string) {
	if info, err := fs.Stat(fsys, file); err != nil || !info.Mode().IsRegular() {
		return "", ""
	}
	opened, err := fsys.Open(file)
	if err != nil {
		return "", ""
	}
	defer opened.Close()
	head, err := io.ReadAll(io.LimitReader(opened, glanceBytes))
	if err != nil {
		return "", ""
	}
	return glanceKey(head, "name"), glanceKey(head, "size")
}

func glanceKey(head []byte, key string) string {
	for line := range bytes.Lines(head) {
		value, ok := strings.CutPrefix(string(line), key+":")
		if !ok {
			continue
		}
		value = strings.TrimSpace(value)
		if quote := strings.IndexAny(value, `"'`); quote == 0 {
			if end := strings.IndexByte(value[1:], value[0]); end >= 0 {
				return value[1 : 1+end]
			}
		}
		value, _, _ = strings.Cut(value, " #")
		return strings.TrimSpace(value)
	}
	return ""
}
