package store

import (
	"io/fs"
	"path"
	"strings"
	"unicode"
)

// separators are what names of files have between their words.
var separators = strings.NewReplacer("-", "", "_", "", " ", "")

// NearFile returns the file beside a missing one that differs in no more than letter case,
// hyphens, spaces or its ending; any other may be another paper. "" where there is none.
func NearFile(fsys fs.FS, file string) string {
	entries, err := fs.ReadDir(fsys, path.Dir(file))
	if err != nil {
		return ""
	}
	plain := func(name string) string {
		return separators.Replace(strings.ToLower(strings.TrimSuffix(path.Base(name), path.Ext(name))))
	}
	wanted := plain(file)
	for _, e := range entries {
		if !e.IsDir() && plain(e.Name()) == wanted && !strings.ContainsFunc(e.Name(), unicode.IsControl) {
			return path.Join(path.Dir(file), e.Name())
		}
	}
	return ""
}
