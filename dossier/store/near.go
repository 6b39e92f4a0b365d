package store

import (
	"io/fs"
	"path"
	"strings"
	"unicode"
)

// NearFile returns the file beside a missing one that differs in no more than letter case,
// hyphens, spaces or its ending; any other may be another paper. "" where there is none.
func NearFile(fsys fs.FS, file string) string {
	entries, err := fs.ReadDir(fsys, path.Dir(file))
	if err != nil {
		return ""
	}
	plain := func(name string) string {
		return strings.NewReplacer("-", "", "_", "", " ", "").
			Replace(strings.ToLower(strings.TrimSuffix(path.Base(name), path.Ext(name))))
	}
	for _, e := range entries {
		if !e.IsDir() && plain(e.Name()) == plain(file) && !strings.ContainsFunc(e.Name(), unicode.IsControl) {
			return path.Join(path.Dir(file), e.Name())
		}
	}
	return ""
}
