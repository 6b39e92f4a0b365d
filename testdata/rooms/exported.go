package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// exportedOf lists the exported package-level names of a package. Those of a program
// are asked for too: nobody can use them.
func exportedOf(pkg *types.Package) []string {
	var out []string
	for _, name := range pkg.Scope().Names() {
		if token.IsExported(name) {
			out = append(out, name)
		}
	}
	return out
}

// use notes a name that another package writes. A field or method keeps its type,
// and one constant of a kind keeps the others: a list of values is exported whole.
func (r *room) use(obj types.Object) {
	scope := obj.Pkg().Scope()
	if obj.Parent() == scope {
		r.used[obj.Name()] = true
		if c, ok := obj.(*types.Const); ok {
			r.useConstants(c)
		}
		return
	}
	for _, name := range scope.Names() {
		if t, ok := scope.Lookup(name).(*types.TypeName); ok && !r.used[name] && owns(t, obj) {
			r.used[name] = true
		}
	}
}

// owns says whether a type declares a field or a method.
func owns(t *types.TypeName, obj types.Object) bool {
	named, ok := t.Type().(*types.Named)
	if !ok {
		return false
	}
	for m := range named.Methods() {
		if m == obj {
			return true
		}
	}
	s, ok := named.Underlying().(*types.Struct)
	if !ok {
		return false
	}
	for f := range s.Fields() {
		if f == obj {
			return true
		}
	}
	return false
}

// useConstants marks all constants of the type of one that is used.
func (r *room) useConstants(c *types.Const) {
	named, ok := c.Type().(*types.Named)
	if !ok || named.Obj().Pkg() != c.Pkg() {
		return
	}
	scope := c.Pkg().Scope()
	for _, name := range scope.Names() {
		if other, ok := scope.Lookup(name).(*types.Const); ok && types.Identical(other.Type(), named) {
			r.used[name] = true
		}
	}
}

// markTypes marks the types of values that a package handles although it may never
// write their names: the elements of a list, what a function returns.
func markTypes(t types.Type, user string, rooms map[string]*room, seen map[types.Type]bool) {
	if t == nil || seen[t] {
		return
	}
	seen[t] = true
	down := func(t types.Type) { markTypes(t, user, rooms, seen) }
	switch t := t.(type) {
	case *types.Alias:
		down(types.Unalias(t))
	case *types.Named:
		obj := t.Obj()
		if obj.Pkg() != nil && obj.Pkg().Path() != user && rooms[obj.Pkg().Path()] != nil {
			rooms[obj.Pkg().Path()].used[obj.Name()] = true
		}
		for a := range t.TypeArgs().Types() {
			down(a)
		}
	case *types.Pointer:
		down(t.Elem())
	case *types.Slice:
		down(t.Elem())
	case *types.Array:
		down(t.Elem())
	case *types.Chan:
		down(t.Elem())
	case *types.Map:
		down(t.Key())
		down(t.Elem())
	case *types.Signature:
		down(t.Params())
		down(t.Results())
	case *types.Tuple:
		for v := range t.Variables() {
			down(v.Type())
		}
	}
}

// unused are the exported names that no other package uses. What helps tests, in a
// package named after what it tests ("documenttest") or with the data of tests, is
// there for tests.
func (r *room) unused() []string {
	var out []string
	for _, name := range r.exported {
		helps := r.tool || strings.HasSuffix(r.path, "test")
		if !r.used[name] && !(helps && len(r.tests[name]) > 0) {
			out = append(out, name)
		}
	}
	return out
}

// byTests says which tests use a name.
func (r *room) byTests(name string) string {
	users := slices.Compact(slices.Sorted(slices.Values(r.tests[name])))
	if len(users) == 0 {
		return ""
	}
	return "; only tests of " + strings.Join(users, " ")
}

// readTests notes what the tests of a package use of others, as they write it; what
// they use of their own package from outside is the same.
func readTests(l listed, rooms map[string]*room) error {
	for _, name := range append(slices.Clone(l.TestGoFiles), l.XTestGoFiles...) {
		tree, err := parser.ParseFile(token.NewFileSet(), filepath.Join(l.Dir, name), nil,
			parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		imports := map[string]*room{}
		for _, spec := range tree.Imports {
			p, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			as := path.Base(p)
			if spec.Name != nil {
				as = spec.Name.Name
			}
			imports[as] = rooms[p]
		}
		ast.Inspect(tree, func(n ast.Node) bool {
			sel, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			if id, ok := sel.X.(*ast.Ident); ok && imports[id.Name] != nil {
				r := imports[id.Name]
				r.tests[sel.Sel.Name] = append(r.tests[sel.Sel.Name], below(l))
			}
			return true
		})
	}
	return nil
}
