package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"

	"stillbright/data/store"
)

// cache is where records of the user's catalog are kept as they were read, so
// that a long catalog need not be read anew each time. STILLBRIGHT_CACHE=off does
// without.
func (env *Env) cache() store.Cache {
	if env.Getenv("STILLBRIGHT_CACHE") == "off" {
		return store.Cache{}
	}
	base := env.Getenv("XDG_CACHE_HOME")
	if home := env.Getenv("HOME"); !filepath.IsAbs(base) && home != "" {
		base = filepath.Join(home, ".cache")
		if runtime.GOOS == "darwin" {
			base = filepath.Join(home, "Library", "Caches")
		}
	}
	if !filepath.IsAbs(base) {
		return store.Cache{}
	}
	// Another build of the program may read files otherwise.
	program, err := os.Executable()
	if err != nil {
		return store.Cache{}
	}
	info, err := os.Stat(program)
	if err != nil {
		return store.Cache{}
	}
	return store.Cache{
		Folder:  filepath.Join(base, "stillbright"),
		Program: fmt.Sprintf("%s %s %d %d", env.Build.Version, env.Build.Commit, info.Size(), info.ModTime().UnixNano()),
	}
}
