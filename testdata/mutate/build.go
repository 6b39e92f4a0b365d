package main

import (
	"bytes"
	_ "embed"
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
	"regexp"
	"slices"
	"strings"
)

//go:embed runtime.go.txt
var runtimeText string

// built is a package with all its mutants, in the test programs of the packages
// whose tests are to notice them.
type built struct {
	pkg      string // below the module, "calc/limits"
	programs []*program
	mutants  []*mutant
	refused  int // places whose mutants do not compile
}

// program holds the tests of one package.
type program struct {
	pkg  string // below the module
	path string
	dir  string // the folder it is run in
}

func (b *built) places() int {
	n := 0
	for _, m := range b.mutants {
		if m.id == m.site {
			n++
		}
	}
	return n
}

// listed is what the go command says of a package.
type listed struct {
	ImportPath, Dir, Export, Name      string
	GoFiles, TestGoFiles, XTestGoFiles []string
	Deps, TestImports, XTestImports    []string
	Module                             *struct{ Path string }
}

// below is the path of the package without its module.
func (l listed) below() string {
	if l.Module == nil {
		return l.ImportPath
	}
	return strings.TrimPrefix(strings.TrimPrefix(l.ImportPath, l.Module.Path), "/")
}

// tests says whether the package has tests that may reach another package: those
// of itself, or of one that is built on it.
func (l listed) tests(pkg string, all map[string]listed) bool {
	if len(l.TestGoFiles)+len(l.XTestGoFiles) == 0 {
		return false
	}
	if l.ImportPath == pkg || slices.Contains(l.Deps, pkg) {
		return true
	}
	for _, imp := range slices.Concat(l.TestImports, l.XTestImports) {
		if imp == pkg || slices.Contains(all[imp].Deps, pkg) {
			return true
		}
	}
	return false
}

// packages asks the go command which packages a pattern names.
func packages(patterns string) ([]listed, error) {
	fields := "-json=ImportPath,Dir,Name,GoFiles,TestGoFiles,XTestGoFiles,Deps,TestImports,XTestImports,Module"
	text, err := command("go", append([]string{"list", fields}, strings.Fields(patterns)...)...)
	if err != nil {
		return nil, err
	}
	var out []listed
	for d := json.NewDecoder(bytes.NewReader(text)); ; {
		var l listed
		if err := d.Decode(&l); err == io.EOF {
			return out, nil
		} else if err != nil {
			return nil, err
		}
		out = append(out, l)
	}
}

// list asks the go command for a package and all that it imports.
func list(pkg string) (main listed, exports map[string]string, err error) {
	text, err := command("go", "list", "-export", "-deps",
		"-json=ImportPath,Dir,Export,Name,GoFiles,Module", pkg)
	if err != nil {
		return main, nil, err
	}
	exports = map[string]string{}
	for d := json.NewDecoder(bytes.NewReader(text)); ; {
		var l listed
		if err := d.Decode(&l); err == io.EOF {
			return main, exports, nil
		} else if err != nil {
			return main, nil, err
		}
		main = l // the package asked for comes last
		exports[l.ImportPath] = l.Export
	}
}

func command(name string, args ...string) ([]byte, error) {
	c := exec.Command(name, args...)
	c.Stderr = os.Stderr
	out, err := c.Output()
	if err != nil {
		return nil, fmt.Errorf("%s %s: %w", name, strings.Join(args, " "), err)
	}
	return out, nil
}

// build puts all mutants into a package and compiles the tests of the packages in by
// that may reach them into the folder dir; with none in by, nothing is compiled.
func build(pkg string, by []listed, dir string) (*built, error) {
	l, exports, err := list(pkg)
	if err != nil {
		return nil, err
	}
	b := &built{pkg: l.below()}
	refused := map[string]bool{}
	var texts map[string]string
	for {
		r, t, err := rewrite(l, exports, refused)
		if err != nil {
			return nil, err
		}
		bad := faulty(l, exports, t)
		if len(bad) == 0 {
			b.mutants, texts = r.mutants, t
			break
		}
		for place, message := range bad {
			if refused[place] || place == "" {
				return nil, fmt.Errorf("the changed package does not compile: %s", message)
			}
			refused[place] = true
		}
	}
	b.refused = len(refused)
	overlay := struct{ Replace map[string]string }{map[string]string{}}
	for path, text := range texts {
		changed := filepath.Join(dir, filepath.Base(path))
		overlay.Replace[path] = changed
		if err := os.WriteFile(changed, []byte(text), 0o600); err != nil {
			return nil, err
		}
	}
	text, err := json.Marshal(overlay)
	if err != nil {
		return nil, err
	}
	name := filepath.Join(dir, "overlay.json")
	if err := os.WriteFile(name, text, 0o600); err != nil {
		return nil, err
	}
	all := map[string]listed{}
	for _, t := range by {
		all[t.ImportPath] = t
	}
	for _, t := range by {
		if !t.tests(l.ImportPath, all) {
			continue
		}
		p := &program{pkg: t.below(), dir: t.Dir,
			path: filepath.Join(dir, strings.ReplaceAll(t.below(), "/", "-")+".test")}
		if _, err := command("go", "test", "-c", "-vet=off", "-ldflags=-s -w", "-overlay", name, "-o", p.path,
			t.ImportPath); err != nil {
			return nil, err
		}
		b.programs = append(b.programs, p)
	}
	return b, nil
}

// rewrite returns the files of the package with all mutants in them, and the file
// that switches them.
func rewrite(l listed, exports map[string]string,
	refused map[string]bool) (*rewriter, map[string]string, error) {
	r := &rewriter{fset: token.NewFileSet(), folder: l.below(), refused: refused}
	var sources []source
	var trees []*ast.File
	for _, name := range l.GoFiles {
		path := filepath.Join(l.Dir, name)
		text, err := os.ReadFile(path)
		if err != nil {
			return nil, nil, err
		}
		tree, err := parser.ParseFile(r.fset, path, text, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			return nil, nil, err
		}
		sources = append(sources, source{path, text, tree})
		trees = append(trees, tree)
	}
	r.info = &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Uses: map[*ast.Ident]types.Object{},
		Defs:       map[*ast.Ident]types.Object{},
		Selections: map[*ast.SelectorExpr]*types.Selection{}}
	var err error
	conf := types.Config{Importer: fromExports(r.fset, exports)}
	if r.pkg, err = conf.Check(l.ImportPath, r.fset, trees, r.info); err != nil {
		return nil, nil, err
	}
	texts := map[string]string{filepath.Join(l.Dir, "zz_mutant.go"): strings.Replace(runtimeText, "PACKAGE",
		l.Name, 1)}
	if exports[exactPath] != "" {
		texts[filepath.Join(l.Dir, "zz_mutant_num.go")] = "package " + l.Name + "\n\nimport \"" + exactPath +
			"\"\n\n// mutantNum is for files that do arithmetic without importing its package.\ntype mutantNum = exact.Num\n"
	}
	for _, src := range sources {
		texts[src.path] = r.file(src)
	}
	return r, texts, nil
}

func fromExports(fset *token.FileSet, exports map[string]string) types.Importer {
	return importer.ForCompiler(fset, "gc",
		func(path string) (io.ReadCloser, error) { return os.Open(exports[path]) })
}

var marker = regexp.MustCompile(`/\*mutants (\S+)\*/`)

// faulty checks the changed files and returns the places that do not compile, each
// with its message.
func faulty(l listed, exports map[string]string, texts map[string]string) map[string]string {
	bad := map[string]string{}
	fset := token.NewFileSet()
	note := func(path string, offset int, message string) {
		place := ""
		if before := marker.FindAllStringSubmatch(texts[path][:offset], -1); len(before) > 0 {
			place = before[len(before)-1][1]
		}
		bad[place] = path + ": " + message
	}
	var trees []*ast.File
	for path, text := range texts {
		tree, err := parser.ParseFile(fset, path, text, parser.SkipObjectResolution)
		if err != nil {
			bad[""] = err.Error()
			return bad
		}
		trees = append(trees, tree)
	}
	conf := types.Config{Importer: fromExports(fset, exports), Error: func(err error) {
		e := err.(types.Error)
		p := fset.Position(e.Pos)
		note(p.Filename, p.Offset, e.Msg)
	}}
	_, _ = conf.Check(l.ImportPath, fset, trees, nil) // what it finds came through Error
	return bad
}
