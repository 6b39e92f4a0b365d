package filing

import (
	"bytes"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"
)

// Overlay is a workshop's folder with some files changed, so that what a paper
// changes can be computed before anything is written.
type Overlay struct {
	Base  fs.FS
	Files []File
}

// changedFile is a changed file as a file system shows it.
type changedFile struct {
	*bytes.Reader
	info changedInfo
}

func (f changedFile) Stat() (fs.FileInfo, error) { return f.info, nil }
func (f changedFile) Close() error               { return nil }

type changedInfo struct {
	name string
	size int64
}

func (i changedInfo) Name() string       { return i.name }
func (i changedInfo) Size() int64        { return i.size }
func (i changedInfo) Mode() fs.FileMode  { return 0o644 }
func (i changedInfo) ModTime() time.Time { return time.Time{} }
func (i changedInfo) IsDir() bool        { return false }
func (i changedInfo) Sys() any           { return nil }

func (f File) info() changedInfo { return changedInfo{path.Base(f.Name), int64(len(f.Data))} }

// Open opens a changed file before one of the folder.
func (o Overlay) Open(name string) (fs.File, error) {
	for _, f := range o.Files {
		if f.Name == name {
			return changedFile{bytes.NewReader(f.Data), f.info()}, nil
		}
	}
	return o.Base.Open(name)
}

// ReadDir lists a folder with the changed files in it.
func (o Overlay) ReadDir(name string) ([]fs.DirEntry, error) {
	list, err := fs.ReadDir(o.Base, name)
	for _, f := range o.Files {
		if path.Dir(f.Name) != name {
			continue
		}
		if slices.ContainsFunc(list, func(e fs.DirEntry) bool { return e.Name() == path.Base(f.Name) }) {
			continue
		}
		list, err = append(list, fs.FileInfoToDirEntry(f.info())), nil
	}
	slices.SortFunc(list, func(a, b fs.DirEntry) int { return strings.Compare(a.Name(), b.Name()) })
	return list, err
}

// Stat tells of a changed file before one of the folder.
func (o Overlay) Stat(name string) (fs.FileInfo, error) {
	for _, f := range o.Files {
		if f.Name == name {
			return f.info(), nil
		}
	}
	return fs.Stat(o.Base, name)
}

// ReadFile reads a changed file before one of the folder.
func (o Overlay) ReadFile(name string) ([]byte, error) {
	for _, f := range o.Files {
		if f.Name == name {
			return slices.Clone(f.Data), nil
		}
	}
	return fs.ReadFile(o.Base, name)
}
