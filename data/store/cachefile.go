package store

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"math"
	"strings"

	"stillbright/data"
)

// cacheMagic begins every cache file; another form of file has another number.
const cacheMagic = "stillbright cache 1\n"

// kept is one file as it was read: its packed record stands from..to.
type kept struct {
	signature
	from, to int
}

// cacheFile is the decoded records of a catalog.
//
//	magic, digest of all that follows
//	digest of what it is for: the program and the shape of its records
//	texts: number, lengths, all of them in one
//	whole: 1 when every file of the folder is here and the records were checked
//	  against one another; then the warnings of that check
//	files: name, signature, length of the record
//	records
type cacheFile struct {
	use      [sha256.Size]byte
	texts    []string
	whole    bool
	warnings data.Faults // File is the name inside the folder
	files    map[string]kept
	records  []byte
}

// readCacheFile takes a cache apart; false when it is damaged or for another use.
// Records are looked at later, one by one.
func readCacheFile(content []byte, use [sha256.Size]byte) (*cacheFile, bool) {
	body, ok := bytes.CutPrefix(content, []byte(cacheMagic))
	if !ok || len(body) < 2*sha256.Size {
		return nil, false
	}
	digest := sha256.Sum256(body[sha256.Size:])
	if !bytes.Equal(body[:sha256.Size], digest[:]) {
		return nil, false
	}
	body = body[sha256.Size:]
	c := &cacheFile{use: use}
	if !bytes.Equal(body[:sha256.Size], use[:]) {
		return nil, false
	}
	r := &unpacker{bytes: body[sha256.Size:]}
	c.readTexts(r)
	r.texts = c.texts
	c.whole = r.flag()
	for range r.count() {
		c.warnings = append(c.warnings, readWarning(r))
	}
	c.readFiles(r)
	if r.err != nil {
		return nil, false
	}
	return c, true
}

func (c *cacheFile) readTexts(r *unpacker) {
	n := r.unsigned()
	if n > uint64(len(r.bytes)) {
		r.fail()
		return
	}
	lengths := make([]int, n)
	sum := uint64(0)
	for i := range lengths {
		length := r.unsigned()
		if length > maxTextBytes {
			r.fail()
			return
		}
		lengths[i] = int(length)
		sum += length
	}
	if sum > uint64(len(r.bytes)) {
		r.fail()
		return
	}
	all := string(r.bytes[:sum])
	r.bytes = r.bytes[sum:]
	c.texts = make([]string, n)
	for i, length := range lengths {
		c.texts[i], all = all[:length], all[length:]
	}
}

func (c *cacheFile) readFiles(r *unpacker) {
	n := r.unsigned()
	if n > uint64(len(r.bytes)) {
		r.fail()
		return
	}
	c.files = make(map[string]kept, n)
	at := uint64(0)
	for range n {
		name, _ := r.text()
		k := kept{signature: signature{size: r.signed(), modified: r.signed(), changed: r.signed(), device: r.unsigned(), inode: r.unsigned()}}
		length := r.unsigned()
		if length > math.MaxInt32 || r.err != nil {
			r.fail()
			return
		}
		k.from, k.to = int(at), int(at+length)
		at += length
		c.files[name] = k
	}
	if uint64(len(r.bytes)) != at || uint64(len(c.files)) != n {
		r.fail()
	}
	c.records = r.bytes
}

func readWarning(r *unpacker) data.Fault {
	file, _ := r.text()
	fault := data.Fault{File: file, Line: int(r.signed()), Col: int(r.signed()), Warning: true}
	fault.Path, _ = r.text()
	fault.Message, _ = r.text()
	fault.Hint, _ = r.text()
	if strings.ContainsFunc(fault.Path+fault.Message+fault.Hint, hostile) {
		r.fail()
	}
	return fault
}

// keptRecord is a file to be written to a cache.
type keptRecord struct {
	name string
	signature
	write func(*packer)
}

// cacheContent puts a cache file together.
func cacheContent(use [sha256.Size]byte, whole bool, warnings data.Faults, list []keptRecord) []byte {
	w := newPacker()
	lengths := make([]int, len(list))
	for i, k := range list {
		before := len(w.bytes)
		k.write(w)
		lengths[i] = len(w.bytes) - before
	}
	records := w.bytes
	w.bytes = nil
	w.flag(whole)
	w.unsigned(uint64(len(warnings)))
	for _, fault := range warnings {
		w.text(fault.File)
		w.signed(int64(fault.Line))
		w.signed(int64(fault.Col))
		w.text(fault.Path)
		w.text(fault.Message)
		w.text(fault.Hint)
	}
	w.unsigned(uint64(len(list)))
	for i, k := range list {
		w.text(k.name)
		for _, n := range []int64{k.size, k.modified, k.changed} {
			w.signed(n)
		}
		w.unsigned(k.device)
		w.unsigned(k.inode)
		w.unsigned(uint64(lengths[i]))
	}
	head := w.bytes
	body := append([]byte{}, use[:]...)
	body = binary.AppendUvarint(body, uint64(len(w.texts)))
	for _, text := range w.texts {
		body = binary.AppendUvarint(body, uint64(len(text)))
	}
	for _, text := range w.texts {
		body = append(body, text...)
	}
	body = append(append(body, head...), records...)
	digest := sha256.Sum256(body)
	return append(append([]byte(cacheMagic), digest[:]...), body...)
}
