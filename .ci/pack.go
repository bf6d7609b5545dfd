//go:build ignore

// Pack writes an archive that depends on nothing but the files put in: the order
// given, one time, no owner, plain modes.
//
//	go run .ci/pack.go OUT.tar.gz|OUT.zip SECONDS FOLDER FILE…
//
// A file PATH or PATH=NAME goes in as FOLDER/NAME; SECONDS is the time of every
// entry since 1970.
package main

import (
	"archive/tar"
	"archive/zip"
	"compress/gzip"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"time"
)

type entry struct {
	name    string
	mode    int64
	content []byte
}

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "pack:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	if len(args) < 4 {
		return fmt.Errorf("usage: pack OUT SECONDS FOLDER FILE…")
	}
	seconds, err := strconv.ParseInt(args[1], 10, 64)
	if err != nil {
		return err
	}
	var entries []entry
	for _, arg := range args[3:] {
		from, name, named := strings.Cut(arg, "=")
		if !named {
			name = filepath.Base(from)
		}
		content, err := os.ReadFile(from)
		if err != nil {
			return err
		}
		// The mode follows from the name, not from the umask of who builds.
		mode := int64(0o644)
		if name == "stillbright" || name == "stillbright.exe" {
			mode = 0o755
		}
		entries = append(entries, entry{path.Join(args[2], name), mode, content})
	}
	out, err := os.Create(args[0])
	if err != nil {
		return err
	}
	write := writeTar
	if strings.HasSuffix(args[0], ".zip") {
		write = writeZip
	}
	if err := write(out, entries, time.Unix(seconds, 0).UTC()); err != nil {
		return err
	}
	return out.Close()
}

func writeTar(out *os.File, entries []entry, at time.Time) error {
	packed, err := gzip.NewWriterLevel(out, gzip.BestCompression)
	if err != nil {
		return err
	}
	archive := tar.NewWriter(packed)
	for _, e := range entries {
		header := &tar.Header{Name: e.name, Mode: e.mode, Size: int64(len(e.content)), ModTime: at, Format: tar.FormatUSTAR}
		if err := archive.WriteHeader(header); err != nil {
			return err
		}
		if _, err := archive.Write(e.content); err != nil {
			return err
		}
	}
	if err := archive.Close(); err != nil {
		return err
	}
	return packed.Close()
}

func writeZip(out *os.File, entries []entry, at time.Time) error {
	archive := zip.NewWriter(out)
	for _, e := range entries {
		header := &zip.FileHeader{Name: e.name, Method: zip.Deflate, Modified: at}
		header.SetMode(os.FileMode(e.mode))
		file, err := archive.CreateHeader(header)
		if err != nil {
			return err
		}
		if _, err := file.Write(e.content); err != nil {
			return err
		}
	}
	return archive.Close()
}
