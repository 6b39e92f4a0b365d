package main

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"path"
	"path/filepath"
	"strings"
)

// mutant is one change of the code.
type mutant struct {
	id       int // what the environment variable MUTANT says to switch it on
	site     int // id of the first mutant of its place
	file     string
	line     int
	col      int
	function string
	was, now string
}

// place says where a mutant is, as in a compiler's message.
func (m *mutant) place() string { return fmt.Sprintf("%s:%d:%d", m.file, m.line, m.col) }

// change says what it changes, on one line.
func (m *mutant) change() string { return m.was + " → " + m.now }

// source is one file of the package with what the type checker knows about it.
type source struct {
	path string
	text []byte
	tree *ast.File
}

// rewriter turns a file into one that holds all its mutants.
type rewriter struct {
	fset    *token.FileSet
	info    *types.Info
	pkg     *types.Package
	folder  string          // of the package below the module, "calc/limits"
	refused map[string]bool // places whose mutants do not compile
	mutants []*mutant

	src  source
	leaf map[ast.Expr]bool // truth values that decide something
	stmt map[ast.Stmt]bool // statements that can be left out
	skip map[ast.Node]bool // not looked into
	bare map[ast.Expr]bool // no change of its own, but looked into
}

// edit is a replacement in the text of a file.
type edit struct {
	from, to int
	text     string
}

// file returns the text of the file with all its mutants in it.
func (r *rewriter) file(src source) string {
	r.src = src
	r.leaf, r.stmt = map[ast.Expr]bool{}, map[ast.Stmt]bool{}
	r.skip, r.bare = map[ast.Node]bool{}, map[ast.Expr]bool{}
	ast.Inspect(src.tree, r.classify)
	return string(src.text[:r.offset(src.tree.Pos())]) + r.inner(src.tree) +
		string(src.text[r.offset(src.tree.End()):])
}

func (r *rewriter) offset(p token.Pos) int { return r.fset.Position(p).Offset }

func (r *rewriter) text(n ast.Node) string {
	return string(r.src.text[r.offset(n.Pos()):r.offset(n.End())])
}

// inner returns the text of a node with the mutants of all its parts, without
// those of the node itself.
func (r *rewriter) inner(n ast.Node) string {
	var edits []edit
	ast.Inspect(n, func(c ast.Node) bool {
		if c == nil || c == n {
			return true
		}
		if r.skip[c] {
			return false
		}
		text, ok := r.wrap(c)
		if ok {
			edits = append(edits, edit{r.offset(c.Pos()), r.offset(c.End()), text})
		}
		return !ok
	})
	var b strings.Builder
	at := r.offset(n.Pos())
	for _, e := range edits {
		b.Write(r.src.text[at:e.from])
		b.WriteString(e.text)
		at = e.to
	}
	b.Write(r.src.text[at:r.offset(n.End())])
	return b.String()
}

// wrap returns the text that stands for a node and its mutants.
func (r *rewriter) wrap(n ast.Node) (string, bool) {
	switch n := n.(type) {
	case ast.Stmt:
		return r.wrapStmt(n)
	case ast.Expr:
		if r.bare[n] {
			return "", false
		}
		return r.wrapExpr(n)
	}
	return "", false
}

// wrapExpr puts an expression into a function that chooses among it and its mutants.
func (r *rewriter) wrapExpr(e ast.Expr) (string, bool) {
	others := r.otherExprs(e)
	typ := r.typeName(r.info.TypeOf(e))
	if len(others) == 0 || typ == "" || r.refused[r.key(e)] {
		return "", false
	}
	first := r.add(e, others)
	var b strings.Builder
	fmt.Fprintf(&b, "func() %s { /*mutants %s*/ switch mutantAt(%d, %d) {", typ, r.key(e), first, len(others))
	for i, o := range others {
		fmt.Fprintf(&b, " case %d: return %s;", first+i, o)
	}
	inner := r.text(e)
	if r.info.Types[e].Value == nil {
		inner = r.inner(e)
	}
	fmt.Fprintf(&b, " }; return %s }()", inner)
	return b.String(), true
}

// wrapStmt puts a statement into one that leaves it out, or does another.
func (r *rewriter) wrapStmt(s ast.Stmt) (string, bool) {
	if !r.stmt[s] || r.refused[r.key(s)] {
		return "", false
	}
	others := append([]string{"(left out)"}, r.otherStmts(s)...)
	first := r.add(s, others)
	if len(others) == 1 {
		return fmt.Sprintf("if /*mutants %s*/ mutantAt(%d, 1) != %d { %s }", r.key(s), first, first,
			r.inner(s)), true
	}
	var b strings.Builder
	fmt.Fprintf(&b, "switch /*mutants %s*/ mutantAt(%d, %d) { case %d:", r.key(s), first, len(others), first)
	for i, o := range others[1:] {
		fmt.Fprintf(&b, "; case %d: %s", first+1+i, o)
	}
	fmt.Fprintf(&b, "; default: %s }", r.inner(s))
	return b.String(), true
}

func (r *rewriter) key(n ast.Node) string {
	return fmt.Sprintf("%s:%d-%d", filepath.Base(r.src.path), r.offset(n.Pos()), r.offset(n.End()))
}

// add numbers the mutants of a place.
func (r *rewriter) add(n ast.Node, others []string) int {
	first := len(r.mutants) + 1
	pos := r.fset.Position(n.Pos())
	for i, o := range others {
		r.mutants = append(r.mutants,
			&mutant{id: first + i, site: first, file: path.Join(r.folder, filepath.Base(r.src.path)), line: pos.Line,
				col:      pos.Column,
				function: r.function(n), was: oneLine(r.text(n)), now: oneLine(o)})
	}
	return first
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// function names the function that a node is in.
func (r *rewriter) function(n ast.Node) string {
	for _, d := range r.src.tree.Decls {
		if f, ok := d.(*ast.FuncDecl); ok && f.Pos() <= n.Pos() && n.Pos() < f.End() {
			if f.Recv != nil {
				return strings.TrimPrefix(r.text(f.Recv.List[0].Type), "*") + "." + f.Name.Name
			}
			return f.Name.Name
		}
	}
	return ""
}

// Exact numbers: the package, and the type.
const (
	exactPath = "gallipot/ingredients/exact"
	numType   = exactPath + ".Num"
)

// typeName writes a type as the file being rewritten would, or nothing where it
// cannot.
func (r *rewriter) typeName(t types.Type) string {
	if t == nil {
		return ""
	}
	if t.String() == numType {
		return "mutantNum"
	}
	ok := !r.hidden(t)
	name := types.TypeString(types.Default(t), func(p *types.Package) string {
		if p == r.pkg {
			return ""
		}
		for _, spec := range r.src.tree.Imports {
			if strings.Trim(spec.Path.Value, `"`) == p.Path() {
				if spec.Name != nil {
					return spec.Name.Name
				}
				return p.Name()
			}
		}
		ok = false
		return ""
	})
	if !ok {
		return ""
	}
	return name
}

// hidden says whether a type is one that another package keeps to itself.
func (r *rewriter) hidden(t types.Type) bool {
	switch t := t.(type) {
	case *types.Named:
		return t.Obj().Pkg() != nil && t.Obj().Pkg() != r.pkg && !t.Obj().Exported()
	case *types.Pointer:
		return r.hidden(t.Elem())
	case *types.Slice:
		return r.hidden(t.Elem())
	case *types.Map:
		return r.hidden(t.Key()) || r.hidden(t.Elem())
	}
	return false
}

// otherConst returns what stands for a constant: 0 and 1 change places, true and
// false do, any other number is one more.
func otherConst(text string, tv types.TypeAndValue) []string {
	switch tv.Value.Kind() {
	case constant.Bool:
		if constant.BoolVal(tv.Value) {
			return []string{"false"}
		}
		return []string{"true"}
	case constant.Int, constant.Float:
		basic, ok := tv.Type.Underlying().(*types.Basic)
		switch {
		case !ok || basic.Info()&types.IsNumeric == 0:
			return nil
		case constant.Compare(tv.Value, token.EQL, constant.MakeInt64(1)):
			return []string{"(" + text + ") - 1"}
		default:
			return []string{"(" + text + ") + 1"}
		}
	}
	return nil
}
