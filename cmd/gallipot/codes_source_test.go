package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
)

// codeSearch finds the codes of all findings in the source. It starts from the
// places where a finding is made and follows the code back through parameters,
// variables, fields and tables to the text it comes from. What it cannot follow
// is a fault of the test, so that no code escapes.
type codeSearch struct {
	fset   *token.FileSet
	files  map[string][]*ast.File // package name to its files
	consts map[string]ast.Expr    // "package.Name"
	seen   map[string]bool
	codes  map[string][]token.Position
	lost   []string
}

// codeRoots are the folders under which code makes findings.
var codeRoots = []string{"ingredients", "calc", "dossier", "cmd"}

// codesInSource returns each code with the places it comes from.
func codesInSource(t *testing.T) map[string][]token.Position {
	searched.Do(func() { foundCodes = searchCodes(t) })
	require.NotEmpty(t, foundCodes)
	return foundCodes
}

// The source is searched once for the tests that ask for it.
var (
	searched   sync.Once
	foundCodes map[string][]token.Position
)

func searchCodes(t *testing.T) map[string][]token.Position {
	s := &codeSearch{fset: token.NewFileSet(), files: map[string][]*ast.File{}, consts: map[string]ast.Expr{},
		seen: map[string]bool{}, codes: map[string][]token.Position{}}
	for _, root := range codeRoots {
		require.NoError(t, filepath.WalkDir(filepath.Join("..", "..", root),
			func(name string, d fs.DirEntry, err error) error {
				if err == nil && d.IsDir() && d.Name() == "bench" {
					return fs.SkipDir // pages show findings and raise none
				}
				if err != nil || d.IsDir() || filepath.Ext(name) != ".go" || strings.HasSuffix(name,
					"_test.go") || strings.HasSuffix(filepath.Dir(name), "test") {
					return err // documents for tests say what they like
				}
				f, err := parser.ParseFile(s.fset, name, nil, parser.SkipObjectResolution)
				if err == nil {
					folder := filepath.Base(filepath.Dir(name))
					s.files[folder] = append(s.files[folder], f)
				}
				return err
			}))
	}
	s.declared(func(pkg string, name *ast.Ident, value ast.Expr) { s.consts[pkg+"."+name.Name] = value })
	s.declared(func(pkg string, name *ast.Ident, value ast.Expr) {
		if strings.HasPrefix(name.Name, "Code") && pkg != "condition" {
			s.follow(scope{pkg: pkg}, value)
		}
	})
	s.each(func(sc scope, n ast.Node) {
		switch n := n.(type) {
		case *ast.CallExpr:
			if calledName(n) == "NewFinding" {
				s.follow(sc, n.Args[1])
			}
		case *ast.AssignStmt: // a finding that gets another code
			for i, left := range n.Lhs {
				x, ok := left.(*ast.SelectorExpr)
				if !ok || x.Sel.Name != "Code" || len(n.Lhs) != len(n.Rhs) {
					continue
				}
				if text, ok := n.Rhs[i].(*ast.BasicLit); ok {
					s.follow(sc, text)
				}
			}
		case *ast.CompositeLit:
			if typeName(n.Type) == "Finding" {
				if value := keyed(n, "Code"); value != nil && sc.name() != "NewFinding" {
					s.follow(sc, value)
				}
			}
		}
	})
	slices.Sort(s.lost)
	require.Empty(t, slices.Compact(s.lost), "codes that this test cannot follow to a text")
	return s.codes
}

// declared calls f for every constant and variable of a package with its value.
func (s *codeSearch) declared(f func(pkg string, name *ast.Ident, value ast.Expr)) {
	for pkg, files := range s.files {
		for _, file := range files {
			for _, d := range file.Decls {
				if g, ok := d.(*ast.GenDecl); ok {
					for _, spec := range g.Specs {
						if v, ok := spec.(*ast.ValueSpec); ok {
							for i := range v.Values {
								f(pkg, v.Names[i], v.Values[i])
							}
						}
					}
				}
			}
		}
	}
}

// scope is where an expression stands: its package, the function around it and
// the function values inside that, outermost first.
type scope struct {
	pkg  string
	decl *ast.FuncDecl
	lits []*ast.FuncLit
}

func (sc scope) name() string {
	if sc.decl == nil {
		return ""
	}
	return sc.decl.Name.Name
}

// each calls f for every node with its scope.
func (s *codeSearch) each(f func(scope, ast.Node)) {
	for pkg, files := range s.files {
		for _, file := range files {
			for _, d := range file.Decls {
				decl, _ := d.(*ast.FuncDecl)
				walk(scope{pkg: pkg, decl: decl}, d, f)
			}
		}
	}
}

func walk(sc scope, root ast.Node, f func(scope, ast.Node)) {
	ast.Inspect(root, func(n ast.Node) bool {
		if lit, ok := n.(*ast.FuncLit); ok && n != root {
			walk(scope{sc.pkg, sc.decl, append(slices.Clone(sc.lits), lit)}, lit, f)
			return false
		}
		if n != nil {
			f(sc, n)
		}
		return true
	})
}

// follow takes an expression whose value is a code back to the texts it can be.
func (s *codeSearch) follow(sc scope, x ast.Expr) {
	at := s.fset.Position(x.Pos())
	mark := fmt.Sprint(at, at.Offset, x)
	if s.seen[mark] {
		return
	}
	s.seen[mark] = true
	switch x := x.(type) {
	case *ast.BasicLit:
		code, err := strconv.Unquote(x.Value)
		if err == nil && code != "" {
			s.codes[code] = append(s.codes[code], at)
		}
		return
	case *ast.Ident:
		if s.local(sc, x.Name) {
			return
		}
		if value := s.consts[sc.pkg+"."+x.Name]; value != nil {
			s.follow(scope{pkg: sc.pkg}, value)
			return
		}
	case *ast.SelectorExpr:
		if pkg, ok := x.X.(*ast.Ident); ok && s.consts[pkg.Name+"."+x.Sel.Name] != nil {
			s.follow(scope{pkg: pkg.Name}, s.consts[pkg.Name+"."+x.Sel.Name])
			return
		}
		if s.field(sc.pkg, x.Sel.Name) {
			return
		}
	case *ast.IndexExpr:
		if m, ok := x.X.(*ast.Ident); ok && s.entries(sc.pkg, m.Name) {
			return
		}
	case *ast.CallExpr:
		if calledName(x) == "Or" {
			for _, arg := range x.Args {
				s.follow(sc, arg)
			}
			return
		}
		if s.results(sc.pkg, calledName(x)) {
			return
		}
	}
	s.lost = append(s.lost, at.String())
}

// local follows a variable or parameter of the function around it.
func (s *codeSearch) local(sc scope, name string) bool {
	for i := len(sc.lits) - 1; i >= 0; i-- {
		if at := parameter(sc.lits[i].Type, name); at >= 0 {
			s.callers(sc, sc.lits[i], at)
			return true
		}
	}
	if sc.decl == nil {
		return false
	}
	if at := parameter(sc.decl.Type, name); at >= 0 {
		s.callers(sc, nil, at)
		return true
	}
	found := false
	walk(scope{pkg: sc.pkg, decl: sc.decl}, sc.decl, func(in scope, n ast.Node) {
		if a, ok := n.(*ast.AssignStmt); ok {
			for i, left := range a.Lhs {
				if id, ok := left.(*ast.Ident); ok && id.Name == name && len(a.Lhs) == len(a.Rhs) {
					found = true
					s.follow(in, a.Rhs[i])
				}
			}
		}
	})
	return found
}

// callers follows argument number at of every call of a function: of the
// function value lit, or of the declared function where lit is nil.
func (s *codeSearch) callers(sc scope, lit *ast.FuncLit, at int) {
	if lit == nil {
		s.each(func(in scope, n ast.Node) {
			call, ok := n.(*ast.CallExpr)
			if ok && calledName(call) == sc.name() && len(call.Args) > at && (in.pkg == sc.pkg || ast.IsExported(sc.name())) && canCall(in, call, sc.decl) {
				s.follow(in, call.Args[at])
			}
		})
		return
	}
	name := ""
	walk(scope{pkg: sc.pkg, decl: sc.decl}, sc.decl, func(_ scope, n ast.Node) {
		if a, ok := n.(*ast.AssignStmt); ok && len(a.Rhs) == 1 && a.Rhs[0] == lit {
			name = a.Lhs[0].(*ast.Ident).Name
		}
	})
	walk(scope{pkg: sc.pkg, decl: sc.decl}, sc.decl, func(in scope, n ast.Node) {
		if call, ok := n.(*ast.CallExpr); ok && len(call.Args) > at {
			if id, ok := call.Fun.(*ast.Ident); ok && id.Name == name {
				s.follow(in, call.Args[at])
			}
		}
	})
}

// canCall says whether a call with the name of a function can be one of it: of a
// method by a dot, and not on a receiver of another type.
func canCall(in scope, call *ast.CallExpr, decl *ast.FuncDecl) bool {
	sel, dot := call.Fun.(*ast.SelectorExpr)
	if decl.Recv == nil {
		return true // with a dot it is the name of the package
	}
	if !dot {
		return false
	}
	x, ok := sel.X.(*ast.Ident)
	if !ok || in.decl == nil || in.decl.Recv == nil || len(in.decl.Recv.List[0].Names) == 0 || in.decl.Recv.List[0].Names[0].Name != x.Name {
		return true // of what type it is cannot be told here
	}
	return typeName(in.decl.Recv.List[0].Type) == typeName(decl.Recv.List[0].Type)
}

// field follows a field of that name in all values of the structs that have it.
func (s *codeSearch) field(pkg, name string) bool {
	index := map[string]int{} // struct type to the place of the field
	s.each(func(sc scope, n ast.Node) {
		if spec, ok := n.(*ast.TypeSpec); ok && sc.pkg == pkg {
			if st, ok := spec.Type.(*ast.StructType); ok {
				at := 0
				for _, f := range st.Fields.List {
					for _, id := range f.Names {
						if id.Name == name {
							index[spec.Name.Name] = at
						}
						at++
					}
				}
			}
		}
	})
	found := false
	s.each(func(sc scope, n ast.Node) {
		lit, ok := n.(*ast.CompositeLit)
		if !ok || sc.pkg != pkg {
			return
		}
		for _, value := range valuesOf(lit) {
			at, has := index[typeName(lit.Type)]
			if !has {
				continue
			}
			if x := keyed(value, name); x != nil {
				found = true
				s.follow(sc, x)
			} else if len(value.Elts) > at {
				if _, isKeyed := value.Elts[0].(*ast.KeyValueExpr); !isKeyed {
					found = true
					s.follow(sc, value.Elts[at])
				}
			}
		}
	})
	return found
}

// valuesOf returns a struct literal, or the struct literals inside a list or map.
func valuesOf(lit *ast.CompositeLit) []*ast.CompositeLit {
	switch lit.Type.(type) {
	case *ast.ArrayType, *ast.MapType:
	default:
		return []*ast.CompositeLit{lit}
	}
	var out []*ast.CompositeLit
	for _, e := range lit.Elts {
		if kv, ok := e.(*ast.KeyValueExpr); ok {
			e = kv.Value
		}
		if inner, ok := e.(*ast.CompositeLit); ok && inner.Type == nil {
			out = append(out, inner)
		}
	}
	return out
}

// entries follows all values of a table held in a variable.
func (s *codeSearch) entries(pkg, name string) bool {
	lit, ok := s.consts[pkg+"."+name].(*ast.CompositeLit)
	if !ok {
		return false
	}
	for _, e := range lit.Elts {
		if kv, ok := e.(*ast.KeyValueExpr); ok {
			s.follow(scope{pkg: pkg}, kv.Value)
		}
	}
	return true
}

// results follows what a function of the package returns first.
func (s *codeSearch) results(pkg, name string) bool {
	found := false
	s.each(func(sc scope, n ast.Node) {
		if r, ok := n.(*ast.ReturnStmt); ok && sc.pkg == pkg && sc.name() == name && len(sc.lits) == 0 && len(r.Results) > 0 {
			found = true
			s.follow(sc, r.Results[0])
		}
	})
	return found
}

func parameter(t *ast.FuncType, name string) int {
	at := 0
	for _, f := range t.Params.List {
		for _, id := range f.Names {
			if id.Name == name {
				return at
			}
			at++
		}
	}
	return -1
}

func calledName(c *ast.CallExpr) string {
	switch f := c.Fun.(type) {
	case *ast.Ident:
		return f.Name
	case *ast.SelectorExpr:
		return f.Sel.Name
	}
	return ""
}

func typeName(x ast.Expr) string {
	switch x := x.(type) {
	case *ast.Ident:
		return x.Name
	case *ast.SelectorExpr:
		return x.Sel.Name
	case *ast.ArrayType:
		return typeName(x.Elt)
	case *ast.MapType:
		return typeName(x.Value)
	case *ast.StarExpr:
		return typeName(x.X)
	}
	return ""
}

func keyed(lit *ast.CompositeLit, key string) ast.Expr {
	for _, e := range lit.Elts {
		if kv, ok := e.(*ast.KeyValueExpr); ok {
			if id, ok := kv.Key.(*ast.Ident); ok && id.Name == key {
				return kv.Value
			}
		}
	}
	return nil
}
