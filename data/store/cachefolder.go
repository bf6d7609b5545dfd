package store

import (
	"cmp"
	"crypto/sha256"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"stillbright/data"
)

const (
	mostCaches     = 8                   // catalogs that are remembered; the least used goes
	cacheAge       = 90 * 24 * time.Hour // not used for so long, it goes too
	mostCacheBytes = 1 << 30             // of one catalog
	usedEvery      = 24 * time.Hour      // how exactly the last use is noted
)

var (
	cacheFileName = data.LateRegexp(`^catalog-[0-9a-f]{32}\.cache$`)
	cacheTempName = data.LateRegexp(`^\.catalog-[0-9a-f]{32}\.cache\.[0-9]+\.tmp$`)
)

// cacheName is the name of the cache of the catalog in a folder.
func cacheName(absolute string) string {
	digest := sha256.Sum256([]byte(absolute))
	return fmt.Sprintf("catalog-%x.cache", digest[:16])
}

// readOwn reads a cache file that this user wrote and nobody else can have
// changed; else nil. A link is not followed: it could point anywhere.
func readOwn(file string, now time.Time) []byte {
	info, err := os.Lstat(file)
	if err != nil || !info.Mode().IsRegular() || !ours(info, os.Getuid()) || info.Size() > mostCacheBytes {
		return nil
	}
	opened, err := os.Open(file)
	if err != nil {
		return nil
	}
	defer opened.Close()
	if again, err := opened.Stat(); err != nil || !os.SameFile(info, again) {
		return nil
	}
	content := make([]byte, info.Size())
	if _, err := io.ReadFull(opened, content); err != nil {
		return nil
	}
	if now.Sub(info.ModTime()) > usedEvery {
		_ = os.Chtimes(file, now, now)
	}
	return content
}

// writeOwn puts a cache file in its place at once, so that nobody reads half of
// one, and clears out those that are no longer used.
func writeOwn(file string, content []byte, now time.Time) {
	if len(content) > mostCacheBytes {
		return
	}
	folder := filepath.Dir(file)
	if os.MkdirAll(folder, 0o700) != nil {
		return
	}
	temp, err := os.CreateTemp(folder, "."+filepath.Base(file)+".*.tmp")
	if err != nil {
		return
	}
	_, err = temp.Write(content) // CreateTemp lets only this user read it
	if errClose := temp.Close(); err == nil {
		err = errClose
	}
	if err == nil {
		err = os.Rename(temp.Name(), file)
	}
	if err != nil {
		_ = os.Remove(temp.Name())
		return
	}
	tidyCaches(folder, now)
}

func tidyCaches(folder string, now time.Time) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return
	}
	var caches []fs.FileInfo
	for _, entry := range entries {
		info, err := entry.Info()
		if err != nil || !info.Mode().IsRegular() {
			continue
		}
		switch age := now.Sub(info.ModTime()); {
		case cacheTempName().MatchString(info.Name()) && age > staleAfter, cacheFileName().MatchString(info.Name()) && age > cacheAge:
			_ = os.Remove(filepath.Join(folder, info.Name()))
		case cacheFileName().MatchString(info.Name()):
			caches = append(caches, info)
		}
	}
	slices.SortFunc(caches, func(a, b fs.FileInfo) int { return cmp.Compare(b.ModTime().UnixNano(), a.ModTime().UnixNano()) })
	for _, old := range caches[min(mostCaches, len(caches)):] {
		_ = os.Remove(filepath.Join(folder, old.Name()))
	}
}
