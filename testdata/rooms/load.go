package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"
)

// room is one package of the module.
type room struct {
	path     string // below the module, "calc/law"
	tool     bool   // a program or the data of tests, which nobody imports to build upon
	files    []*file
	exported []string                   // package-level names
	used     map[string]bool            // those that another package uses
	tests    map[string][]string        // those that tests of other packages use, with these packages
	needs    map[string]map[string]uses // file → other file → names
}

// file is one source file, tests left out.
type file struct {
	name  string
	lines int // as wc -l counts
	wide  int // lines wider than wideColumns
	wider int // lines wider than mostColumns
}

// uses counts the references to a name.
type uses map[string]int

func (r *room) lines() int {
	n := 0
	for _, f := range r.files {
		n += f.lines
	}
	return n
}

// wide returns the share of lines wider than wideColumns and than mostColumns, in per cent.
func (r *room) wide() (wide, wider float64) {
	for _, f := range r.files {
		wide += float64(f.wide)
		wider += float64(f.wider)
	}
	all := float64(max(r.lines(), 1))
	return 100 * wide / all, 100 * wider / all
}

func (r *room) longest() int {
	n := 0
	for _, f := range r.files {
		n = max(n, f.lines)
	}
	return n
}

// listed is what the go command says of a package.
type listed struct {
	ImportPath, Dir, Export, Name      string
	GoFiles, TestGoFiles, XTestGoFiles []string
	IgnoredGoFiles                     []string
	Module                             *struct {
		Path, Dir string
		Main      bool
	}
}

// load type-checks every package of the module in dir, those below testdata too.
func load(dir string) ([]*room, error) {
	all, exports, err := list(dir)
	if err != nil {
		return nil, err
	}
	var rooms []*room
	byPath := map[string]*room{}
	for _, l := range all {
		r := &room{path: below(l), used: map[string]bool{}, tests: map[string][]string{},
			needs: map[string]map[string]uses{}}
		r.tool = r.path == "testdata" || strings.HasPrefix(r.path, "testdata/")
		rooms = append(rooms, r)
		byPath[l.ImportPath] = r
		if r.files, err = measure(l); err != nil {
			return nil, err
		}
	}
	for _, l := range all {
		if err := check(l, exports, byPath); err != nil {
			return nil, err
		}
		if err := readTests(l, byPath); err != nil {
			return nil, err
		}
	}
	slices.SortFunc(rooms, func(a, b *room) int { return strings.Compare(a.path, b.path) })
	return rooms, nil
}

// below is the path of a package without its module.
func below(l listed) string {
	return strings.TrimPrefix(strings.TrimPrefix(l.ImportPath, l.Module.Path), "/")
}

// list asks the go command for the packages of the module, in the order in which they
// import each other, and for the export data of all that they import.
func list(dir string) ([]listed, map[string]string, error) {
	args := []string{"list", "-export", "-deps",
		"-json=ImportPath,Dir,Export,Name,GoFiles,TestGoFiles,XTestGoFiles,IgnoredGoFiles,Module", "./..."}
	tools, err := toolFolders(dir)
	if err != nil {
		return nil, nil, err
	}
	c := exec.Command("go", append(args, tools...)...)
	c.Dir, c.Stderr = dir, os.Stderr
	text, err := c.Output()
	if err != nil {
		return nil, nil, fmt.Errorf("go list: %w", err)
	}
	var all []listed
	exports := map[string]string{}
	for d := json.NewDecoder(bytes.NewReader(text)); ; {
		var l listed
		if err := d.Decode(&l); err == io.EOF {
			return all, exports, nil
		} else if err != nil {
			return nil, nil, err
		}
		exports[l.ImportPath] = l.Export
		if l.Module != nil && l.Module.Main {
			all = append(all, l)
		}
	}
}

// toolFolders are the packages in testdata, which ./... leaves out.
func toolFolders(dir string) ([]string, error) {
	var out []string
	for _, pattern := range []string{"testdata/*.go", "testdata/*/*.go"} {
		names, err := filepath.Glob(filepath.Join(dir, pattern))
		if err != nil {
			return nil, err
		}
		for _, name := range names {
			rel, err := filepath.Rel(dir, filepath.Dir(name))
			if err != nil {
				return nil, err
			}
			if folder := "./" + filepath.ToSlash(rel); !slices.Contains(out, folder) {
				out = append(out, folder)
			}
		}
	}
	return out, nil
}

// measure counts lines in the files of a package, for all systems.
func measure(l listed) ([]*file, error) {
	var out []*file
	for _, name := range append(slices.Clone(l.GoFiles), l.IgnoredGoFiles...) {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		text, err := os.ReadFile(filepath.Join(l.Dir, name))
		if err != nil {
			return nil, err
		}
		f := &file{name: name}
		for line := range bytes.Lines(text) {
			f.lines += bytes.Count(line, []byte("\n"))
			line = bytes.ReplaceAll(bytes.TrimRight(line, "\n"), []byte("\t"), bytes.Repeat([]byte(" "), wideTab))
			if n := utf8.RuneCount(line); n > mostColumns {
				f.wide, f.wider = f.wide+1, f.wider+1
			} else if n > wideColumns {
				f.wide++
			}
		}
		out = append(out, f)
	}
	slices.SortFunc(out, func(a, b *file) int { return strings.Compare(a.name, b.name) })
	return out, nil
}

// check type-checks one package and notes what its files need of each other and what
// it uses of other packages.
func check(l listed, exports map[string]string, rooms map[string]*room) error {
	fset := token.NewFileSet()
	var trees []*ast.File
	for _, name := range l.GoFiles {
		tree, err := parser.ParseFile(fset, filepath.Join(l.Dir, name), nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		trees = append(trees, tree)
	}
	info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Uses: map[*ast.Ident]types.Object{}}
	conf := types.Config{Importer: importer.ForCompiler(fset, "gc", func(path string) (io.ReadCloser, error) {
		return os.Open(exports[path])
	})}
	pkg, err := conf.Check(l.ImportPath, fset, trees, info)
	if err != nil {
		return err
	}
	r := rooms[l.ImportPath]
	fileOf := func(pos token.Pos) string { return filepath.Base(fset.Position(pos).Filename) }
	for ident, obj := range info.Uses {
		switch {
		case obj.Pkg() == pkg && obj.Pos().IsValid():
			r.need(fileOf(ident.Pos()), fileOf(obj.Pos()), obj)
		case obj.Pkg() != nil && rooms[obj.Pkg().Path()] != nil:
			rooms[obj.Pkg().Path()].use(obj)
		}
	}
	for _, tv := range info.Types {
		markTypes(tv.Type, l.ImportPath, rooms, map[types.Type]bool{})
	}
	r.exported = exportedOf(pkg)
	return nil
}

// need notes that one file uses what another declares.
func (r *room) need(from, to string, obj types.Object) {
	if from == to {
		return
	}
	if r.needs[from] == nil {
		r.needs[from] = map[string]uses{}
	}
	if r.needs[from][to] == nil {
		r.needs[from][to] = uses{}
	}
	r.needs[from][to][obj.Name()]++
}
