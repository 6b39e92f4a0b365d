//go:build ignore

package main

import (
	"bufio"
	"flag"
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"unicode"

	"golang.org/x/tools/go/packages"
)

const module = "gallipot"

type Unit struct {
	ID       int
	File     *File
	Start    int // offset, with leading comments
	End      int
	Decl     ast.Decl
	Names    []string // package-level names declared
	Recv     string   // receiver type name, "" if none
	RecvKey  string   // object key of receiver type
	Test     bool
	Root     bool // Test/Benchmark/Fuzz/Example/TestMain/init
	Target   string
	Refs     []Ref
	Method   bool
	FuncConv bool // method that becomes a function
	Base     string
}

type Ref struct {
	Ident *ast.Ident
	Obj   types.Object
	To    *Unit
	Qual  bool // needs a qualifier when packages differ
}

type File struct {
	Path    string // relative to the repo
	Abs     string
	Src     []byte
	AST     *ast.File
	Info    *types.Info
	Pkg     *packages.Package
	PkgPath string // source package path (without _test)
	Ext     bool   // external test
	Units   []*Unit
	Target  string // default target
	NewBase string
	Test    bool
	Lines   *token.File
}

type World struct {
	fset    *token.FileSet
	repo    string
	files   map[string]*File // by abs
	order   []*File
	units   []*Unit
	plan    *Plan
	renames map[string]string // obj key → new name
	passive []string
}

type Plan struct {
	file    map[string]string // rel file → target dir
	base    map[string]string // rel file → new base
	decl    map[string]string // rel file:name → target dir
	rename  map[string]string // rel file:name → New
	local   map[string]string // local var name → replacement
	ext     map[string]bool   // test file forced external
	prefix  []struct{ from, to string }
	noUnexp map[string]bool
	drop    map[string]bool
	methods map[string]string // file:Recv → target
}

func readPlan(file string) *Plan {
	p := &Plan{map[string]string{}, map[string]string{}, map[string]string{}, map[string]string{}, map[string]string{}, map[string]bool{}, nil, map[string]bool{}, map[string]bool{}, map[string]string{}}
	f, err := os.Open(file)
	check(err)
	sc := bufio.NewScanner(f)
	sc.Buffer(make([]byte, 1<<20), 1<<20)
	for sc.Scan() {
		line := sc.Text()
		if i := strings.Index(line, "#"); i >= 0 {
			line = line[:i]
		}
		w := strings.Fields(line)
		if len(w) == 0 {
			continue
		}
		switch w[0] {
		case "file": // file target src...
			for _, s := range w[2:] {
				base := ""
				if a, b, ok := strings.Cut(s, "="); ok {
					s, base = a, b
				}
				p.file[s] = w[1]
				if base != "" {
					p.base[s] = base
				}
			}
		case "decl": // decl target file:name...
			for _, s := range w[2:] {
				p.decl[s] = w[1]
			}
		case "methods": // methods target Recv file...
			for _, s := range w[3:] {
				p.methods[s+":"+w[2]] = w[1]
			}
		case "rename":
			p.rename[w[1]] = w[2]
		case "local":
			p.local[w[1]] = w[2]
		case "ext":
			for _, s := range w[1:] {
				p.ext[s] = true
			}
		case "keep":
			for _, s := range w[1:] {
				p.noUnexp[s] = true
			}
		case "drop":
			for _, s := range w[1:] {
				p.drop[s] = true
			}
		default:
			fatal("plan: %q", line)
		}
	}
	return p
}

func check(err error) {
	if err != nil {
		fatal("%v", err)
	}
}

func fatal(f string, a ...any) { fmt.Fprintf(os.Stderr, f+"\n", a...); os.Exit(1) }

func main() {
	repo := flag.String("repo", "", "")
	planFile := flag.String("plan", "", "")
	mode := flag.String("mode", "analyse", "")
	out := flag.String("out", "", "")
	detail := flag.String("edge", "", "from>to: show all refs")
	flag.Parse()
	w := &World{repo: *repo, files: map[string]*File{}, renames: map[string]string{}, plan: readPlan(*planFile)}
	w.load()
	w.assign()
	w.collect()
	switch *mode {
	case "analyse":
		w.analyse(*detail)
	case "apply":
		w.apply(*out)
	}
}

func (w *World) rel(abs string) string {
	r, err := filepath.Rel(w.repo, abs)
	check(err)
	return filepath.ToSlash(r)
}

func (w *World) load() {
	w.fset = token.NewFileSet()
	cfg := &packages.Config{Dir: w.repo, Fset: w.fset, Tests: true,
		Mode: packages.NeedName | packages.NeedFiles | packages.NeedCompiledGoFiles | packages.NeedSyntax | packages.NeedTypes | packages.NeedTypesInfo | packages.NeedImports | packages.NeedDeps | packages.NeedModule}
	patterns := []string{"./..."}
	filepath.WalkDir(filepath.Join(w.repo, "testdata"), func(p string, d os.DirEntry, err error) error {
		if err == nil && d.IsDir() {
			if m, _ := filepath.Glob(p + "/*.go"); len(m) > 0 {
				patterns = append(patterns, "./"+w.rel(p))
			}
		}
		return nil
	})
	pkgs, err := packages.Load(cfg, patterns...)
	check(err)
	bad := 0
	best := map[string]*packages.Package{}
	packages.Visit(pkgs, nil, func(p *packages.Package) {
		if p.Module == nil || p.Module.Path != module {
			return
		}
		for _, e := range p.Errors {
			fmt.Fprintln(os.Stderr, e)
			bad++
		}
		if strings.HasSuffix(p.PkgPath, ".test") {
			return
		}
		// prefer the test variant
		if old := best[p.PkgPath]; old == nil || len(p.Syntax) > len(old.Syntax) {
			best[p.PkgPath] = p
		}
	})
	if bad > 0 {
		fatal("load errors")
	}
	var paths []string
	for k := range best {
		paths = append(paths, k)
	}
	sort.Strings(paths)
	for _, path := range paths {
		p := best[path]
		for _, af := range p.Syntax {
			abs := w.fset.Position(af.Package).Filename
			if !strings.HasPrefix(abs, w.repo) {
				continue
			}
			src, err := os.ReadFile(abs)
			check(err)
			f := &File{Path: w.rel(abs), Abs: abs, Src: src, AST: af, Info: p.TypesInfo, Pkg: p, Lines: w.fset.File(af.Package)}
			f.Test = strings.HasSuffix(abs, "_test.go")
			f.PkgPath = strings.TrimSuffix(path, "_test")
			f.Ext = strings.HasSuffix(path, "_test") && f.Test
			w.files[abs] = f
			w.order = append(w.order, f)
		}
	}
	// go files of the tree that no package held (build constraints)
	filepath.WalkDir(w.repo, func(p string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() && strings.HasSuffix(p, ".go") && w.files[p] == nil && !strings.Contains(p, "/.git/") {
			w.passive = append(w.passive, p)
		}
		return nil
	})
	for _, f := range w.order {
		w.cut(f)
	}
}

func (w *World) off(p token.Pos) int { return w.fset.Position(p).Offset }

// cut splits a file into units.
func (w *World) cut(f *File) {
	var prevEnd int
	decls := f.AST.Decls
	// skip imports
	i := 0
	prevEnd = w.off(f.AST.Name.End())
	for i < len(decls) {
		g, ok := decls[i].(*ast.GenDecl)
		if !ok || g.Tok != token.IMPORT {
			break
		}
		prevEnd = w.off(g.End())
		// trailing comment on the same line
		i++
	}
	for ; i < len(decls); i++ {
		d := decls[i]
		start := prevEnd
		end := w.off(d.End())
		// include trailing line comment
		for _, cg := range f.AST.Comments {
			cs := w.off(cg.Pos())
			if cs >= end && !strings.Contains(string(f.Src[end:cs]), "\n") {
				end = w.off(cg.End())
			}
		}
		u := &Unit{ID: len(w.units), File: f, Start: start, End: end, Decl: d, Test: f.Test}
		switch d := d.(type) {
		case *ast.FuncDecl:
			u.Names = []string{d.Name.Name}
			if d.Recv != nil {
				u.Method = true
				t := d.Recv.List[0].Type
				if s, ok := t.(*ast.StarExpr); ok {
					t = s.X
				}
				if ix, ok := t.(*ast.IndexExpr); ok {
					t = ix.X
				}
				id := t.(*ast.Ident)
				u.Recv = id.Name
				u.RecvKey = w.key(f.Info.Uses[id])
			} else if f.Test {
				n := d.Name.Name
				for _, p := range []string{"Test", "Benchmark", "Fuzz", "Example"} {
					if strings.HasPrefix(n, p) && (len(n) == len(p) || !unicode.IsLower(rune(n[len(p)]))) {
						u.Root = true
					}
				}
				if n == "init" {
					u.Root = true
				}
			}
		case *ast.GenDecl:
			for _, s := range d.Specs {
				switch s := s.(type) {
				case *ast.ValueSpec:
					for _, n := range s.Names {
						u.Names = append(u.Names, n.Name)
					}
				case *ast.TypeSpec:
					u.Names = append(u.Names, s.Name.Name)
				}
			}
			if f.Test && len(u.Names) == 1 && u.Names[0] == "_" {
				u.Root = true
			}
		}
		prevEnd = end
		w.units = append(w.units, u)
		f.Units = append(f.Units, u)
	}
	// trailing comments of the file go to the last unit
	if n := len(f.Units); n > 0 {
		f.Units[n-1].End = len(f.Src)
	}
}

func (w *World) key(o types.Object) string {
	if o == nil || !o.Pos().IsValid() {
		return ""
	}
	p := w.fset.Position(o.Pos())
	return fmt.Sprintf("%s:%d", p.Filename, p.Offset)
}

func (w *World) unitAt(pos token.Pos) *Unit {
	if !pos.IsValid() {
		return nil
	}
	p := w.fset.Position(pos)
	f := w.files[p.Filename]
	if f == nil {
		return nil
	}
	i := sort.Search(len(f.Units), func(i int) bool { return f.Units[i].End > p.Offset })
	if i == len(f.Units) {
		return nil
	}
	u := f.Units[i]
	if p.Offset < u.Start {
		return nil
	}
	return u
}

func (u *Unit) name() string {
	if u.Recv != "" {
		return "(" + u.Recv + ")." + u.Names[0]
	}
	if len(u.Names) > 0 {
		return u.Names[0]
	}
	return "?"
}

func (w *World) assign() {
	p := w.plan
	for _, f := range w.order {
		dir := filepath.ToSlash(filepath.Dir(f.Path))
		f.Target = dir
		if t, ok := p.file[f.Path]; ok {
			f.Target = t
		} else if f.Test {
			twin := strings.TrimSuffix(f.Path, "_test.go") + ".go"
			if t, ok := p.file[twin]; ok {
				f.Target = t
			} else {
				f.Target = "?" + dir
			}
		}
		f.NewBase = filepath.Base(f.Path)
		if b, ok := p.base[f.Path]; ok {
			f.NewBase = b
		} else if f.Test {
			twin := strings.TrimSuffix(f.Path, "_test.go") + ".go"
			if b, ok := p.base[twin]; ok {
				f.NewBase = strings.TrimSuffix(b, ".go") + "_test.go"
			}
		}
		for _, u := range f.Units {
			u.Target = f.Target
			for _, n := range append(append([]string{}, u.Names...), u.name()) {
				if t, ok := p.decl[f.Path+":"+n]; ok {
					u.Target, u.Base, _ = strings.Cut(t, "=")
				}
			}
		}
	}
	// methods follow their type when the type was moved by decl and they were not placed
	types_ := map[string]*Unit{}
	for _, f := range w.order {
		for _, u := range f.Units {
			if g, ok := u.Decl.(*ast.GenDecl); ok && g.Tok == token.TYPE {
				for _, s := range g.Specs {
					id := s.(*ast.TypeSpec).Name
					types_[w.key(f.Info.Defs[id])] = u
				}
			}
		}
	}
	for _, u := range w.units {
		if !u.Method {
			continue
		}
		tu := types_[u.RecvKey]
		if tu == nil {
			fmt.Fprintln(os.Stderr, "no type for", u.name())
			continue
		}
		_, placed := p.decl[u.File.Path+":"+u.Names[0]]
		_, placed2 := p.decl[u.File.Path+":"+u.name()]
		if t, ok := p.methods[u.File.Path+":"+u.Recv]; ok && !placed && !placed2 {
			u.Target = t
			placed = true
		}
		if !placed && !placed2 && tu.File == u.File && u.Target != tu.Target {
			u.Target, u.Base = tu.Target, tu.Base
		}
		u.FuncConv = u.Target != tu.Target && !u.Test
	}
}

// collect gathers references between units.
func (w *World) collect() {
	for _, f := range w.order {
		for id, obj := range f.Info.Uses {
			if w.fset.Position(id.Pos()).Filename != f.Abs {
				continue
			}
			w.addRef(f, id, obj)
		}
	}
	for _, u := range w.units {
		f := u.File
		ast.Inspect(u.Decl, func(n ast.Node) bool {
			lit, ok := n.(*ast.CompositeLit)
			if !ok || len(lit.Elts) == 0 {
				return true
			}
			if _, ok := lit.Elts[0].(*ast.KeyValueExpr); ok {
				return true
			}
			t := f.Info.TypeOf(lit)
			if t == nil {
				return true
			}
			if q, ok := t.Underlying().(*types.Pointer); ok {
				t = q.Elem()
			}
			st, ok := t.Underlying().(*types.Struct)
			if !ok {
				return true
			}
			for i, e := range lit.Elts {
				fl := st.Field(i).Origin()
				if to := w.unitAt(fl.Pos()); to != nil && to != u {
					u.Refs = append(u.Refs, Ref{Ident: &ast.Ident{NamePos: e.Pos(), Name: fl.Name()}, Obj: fl, To: to})
				}
			}
			return true
		})
		sort.SliceStable(u.Refs, func(i, j int) bool { return u.Refs[i].Ident.Pos() < u.Refs[j].Ident.Pos() })
	}
}

func (w *World) addRef(f *File, id *ast.Ident, obj types.Object) {
	switch obj.(type) {
	case *types.PkgName, *types.Label, *types.Nil, *types.Builtin:
		return
	}
	obj = origin(obj)
	to := w.unitAt(obj.Pos())
	from := w.unitAt(id.Pos())
	if to == nil || from == nil {
		return
	}
	if to == from && !w.isTop(obj) {
		// local, or field/method of itself: still keep fields (renames) below
		if v, ok := obj.(*types.Var); !ok || !v.IsField() {
			if _, isFunc := obj.(*types.Func); !isFunc {
				return
			}
		}
	}
	from.Refs = append(from.Refs, Ref{Ident: id, Obj: obj, To: to, Qual: w.qual(obj, to)})
}

func origin(obj types.Object) types.Object {
	switch o := obj.(type) {
	case *types.Func:
		return o.Origin()
	case *types.Var:
		return o.Origin()
	}
	return obj
}

func (w *World) isTop(obj types.Object) bool {
	return obj.Parent() != nil && obj.Pkg() != nil && obj.Parent() == obj.Pkg().Scope()
}

// qual says whether naming obj from elsewhere needs a package qualifier.
func (w *World) qual(obj types.Object, to *Unit) bool {
	if w.isTop(obj) {
		return true
	}
	if fn, ok := obj.(*types.Func); ok && to.FuncConv && len(to.Names) > 0 && to.Names[0] == fn.Name() {
		return true
	}
	return false
}
