package main

import (
	"go/ast"
	"go/token"
	"go/types"
)

// otherOperators are what an operator is exchanged for: a comparison for the one
// that differs at equality, and for its opposite.
var otherOperators = map[token.Token][]token.Token{
	token.LSS: {token.LEQ, token.GEQ}, token.LEQ: {token.LSS, token.GTR},
	token.GTR: {token.GEQ, token.LEQ}, token.GEQ: {token.GTR, token.LSS},
	token.EQL: {token.NEQ}, token.NEQ: {token.EQL},
	token.LAND: {token.LOR}, token.LOR: {token.LAND},
	token.ADD: {token.SUB}, token.SUB: {token.ADD},
	token.MUL: {token.QUO}, token.QUO: {token.MUL}, token.REM: {token.MUL},
	token.ADD_ASSIGN: {token.SUB_ASSIGN}, token.SUB_ASSIGN: {token.ADD_ASSIGN},
	token.MUL_ASSIGN: {token.QUO_ASSIGN}, token.QUO_ASSIGN: {token.MUL_ASSIGN},
	token.INC: {token.DEC}, token.DEC: {token.INC},
}

// otherMethods are what the arithmetic of exact numbers is exchanged for.
var otherMethods = map[string]string{
	"Add": "Sub", "Sub": "Add", "Mul": "Quo", "Quo": "Mul", "Min": "Max", "Max": "Min", "Pct": "Mul",
}

// otherExprs returns what may stand for an expression.
func (r *rewriter) otherExprs(e ast.Expr) []string {
	tv, ok := r.info.Types[e]
	if !ok || tv.IsType() {
		return nil
	}
	if tv.Value != nil {
		return otherConst(r.text(e), tv)
	}
	var out []string
	switch e := e.(type) {
	case *ast.BinaryExpr:
		out = r.otherBinary(e)
	case *ast.UnaryExpr:
		if e.Op == token.SUB {
			out = append(out, r.text(e.X))
		}
	case *ast.CallExpr:
		if out = r.otherCalls(e); len(out) > 0 {
			return out
		}
	}
	if r.leaf[e] && len(out) == 0 {
		out = append(out, "!("+r.text(e)+")")
	}
	return out
}

func (r *rewriter) otherBinary(e *ast.BinaryExpr) []string {
	switch e.Op {
	case token.ADD, token.SUB, token.MUL, token.QUO, token.REM:
		basic, ok := r.info.TypeOf(e).Underlying().(*types.Basic)
		if !ok || basic.Info()&types.IsNumeric == 0 {
			return nil // words are joined by + too
		}
	}
	var out []string
	for _, op := range otherOperators[e.Op] {
		out = append(out, r.text(e.X)+" "+op.String()+" "+r.text(e.Y))
	}
	return out
}

// otherCalls exchanges the methods of exact numbers and the functions min and max.
func (r *rewriter) otherCalls(e *ast.CallExpr) []string {
	args := ""
	if len(e.Args) > 0 {
		args = string(r.src.text[r.offset(e.Args[0].Pos()):r.offset(e.Rparen)])
	}
	switch fun := e.Fun.(type) {
	case *ast.Ident:
		other := map[string]string{"min": "max", "max": "min"}[fun.Name]
		if _, builtin := r.info.Uses[fun].(*types.Builtin); builtin && other != "" && len(e.Args) > 1 {
			return []string{other + "(" + args + ")"}
		}
	case *ast.SelectorExpr:
		if r.info.Selections[fun] == nil || r.info.TypeOf(fun.X).String() != numType {
			return nil
		}
		x := r.text(fun.X)
		switch name := fun.Sel.Name; name {
		case "Less":
			return []string{"!(" + args + ").Less(" + x + ")", "!" + x + ".Less(" + args + ")"}
		case "Neg", "Floor":
			return []string{x}
		default:
			if other := otherMethods[name]; other != "" {
				return []string{x + "." + other + "(" + args + ")"}
			}
		}
	}
	return nil
}

// otherStmts returns what may stand for a statement, beside nothing at all.
func (r *rewriter) otherStmts(s ast.Stmt) []string {
	var out []string
	switch s := s.(type) {
	case *ast.AssignStmt:
		for _, op := range otherOperators[s.Tok] {
			if basic, ok := r.info.TypeOf(s.Lhs[0]).Underlying().(*types.Basic); ok &&
				basic.Info()&types.IsNumeric != 0 {
				out = append(out, r.text(s.Lhs[0])+" "+op.String()+" "+r.text(s.Rhs[0]))
			}
		}
	case *ast.IncDecStmt:
		for _, op := range otherOperators[s.Tok] {
			out = append(out, r.text(s.X)+op.String())
		}
	}
	return out
}

// classify notes, for each node, what may be changed about its parts.
func (r *rewriter) classify(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.GenDecl:
		if n.Tok != token.VAR {
			r.skip[n] = true
			return false
		}
	case *ast.ArrayType:
		if n.Len != nil {
			r.skip[n.Len] = true
		}
	case *ast.CompositeLit:
		r.keys(n)
	case *ast.CallExpr:
		r.sizes(n)
	case *ast.BlockStmt:
		r.list(n.List, nil)
	case *ast.CaseClause:
		r.list(n.Body, nil)
	case *ast.SwitchStmt:
		r.cases(n)
	case *ast.IfStmt:
		r.decides(n.Cond)
		if n.Else == nil {
			r.list(nil, n.Body)
		}
	case *ast.ForStmt:
		r.decides(n.Cond)
	case *ast.BinaryExpr:
		if n.Op == token.LAND || n.Op == token.LOR {
			r.decides(n)
		}
	case *ast.UnaryExpr:
		if n.Op == token.NOT {
			r.decides(n)
		}
		if n.Op == token.AND {
			r.bare[ast.Unparen(n.X)] = true
		}
	case *ast.ReturnStmt:
		for _, e := range n.Results {
			r.decides(e)
		}
	case *ast.AssignStmt:
		for _, e := range n.Lhs {
			r.bare[e] = true
		}
		if len(n.Lhs) == len(n.Rhs) {
			for _, e := range n.Rhs {
				r.decides(e)
			}
		}
	case *ast.IncDecStmt:
		r.bare[n.X] = true
	}
	return true
}

// keys are left alone where they say a place in an array.
func (r *rewriter) keys(n *ast.CompositeLit) {
	switch r.info.TypeOf(n).Underlying().(type) {
	case *types.Array, *types.Slice, *types.Struct:
		for _, e := range n.Elts {
			if kv, ok := e.(*ast.KeyValueExpr); ok {
				r.skip[kv.Key] = true
			}
		}
	}
}

// sizes that are only room kept free change no result.
func (r *rewriter) sizes(n *ast.CallExpr) {
	id, ok := n.Fun.(*ast.Ident)
	if !ok {
		return
	}
	if _, builtin := r.info.Uses[id].(*types.Builtin); !builtin || id.Name != "make" {
		return
	}
	_, slice := r.info.TypeOf(n).Underlying().(*types.Slice)
	for i, a := range n.Args {
		if i > 1 || i == 1 && !slice {
			r.skip[a] = true
		}
	}
}

// list notes the statements that can be left out; a return only where the code
// after it still makes a whole function: at the end of an if without else.
func (r *rewriter) list(stmts []ast.Stmt, ifBody *ast.BlockStmt) {
	if ifBody != nil && len(ifBody.List) > 0 {
		if last, ok := ifBody.List[len(ifBody.List)-1].(*ast.ReturnStmt); ok {
			r.stmt[last] = true
		}
	}
	for _, s := range stmts {
		switch s := s.(type) {
		case *ast.AssignStmt:
			id, named := s.Lhs[0].(*ast.Ident)
			r.stmt[s] = s.Tok != token.DEFINE && !(named && id.Name == "_")
		case *ast.IncDecStmt:
			r.stmt[s] = true
		case *ast.ExprStmt:
			if call, ok := s.X.(*ast.CallExpr); ok {
				id, named := call.Fun.(*ast.Ident)
				r.stmt[s] = !(named && id.Name == "panic")
			}
		case *ast.BranchStmt:
			r.stmt[s] = s.Tok == token.CONTINUE || s.Tok == token.BREAK
		}
	}
}

// cases notes what the cases of a switch decide; those of a switch without a
// default may lose their return.
func (r *rewriter) cases(n *ast.SwitchStmt) {
	whole := false
	for _, c := range n.Body.List {
		whole = whole || c.(*ast.CaseClause).List == nil
	}
	for _, c := range n.Body.List {
		c := c.(*ast.CaseClause)
		if n.Tag == nil {
			for _, e := range c.List {
				r.decides(e)
			}
		}
		if !whole && len(c.Body) > 0 {
			r.list(nil, &ast.BlockStmt{List: c.Body})
		}
	}
}

// decides notes the truth values that make up a condition.
func (r *rewriter) decides(e ast.Expr) {
	if e == nil {
		return
	}
	e = ast.Unparen(e)
	switch x := e.(type) {
	case *ast.BinaryExpr:
		if x.Op == token.LAND || x.Op == token.LOR {
			r.decides(x.X)
			r.decides(x.Y)
		}
		return
	case *ast.UnaryExpr:
		if x.Op == token.NOT {
			r.decides(x.X)
		}
		return
	}
	if basic, ok := r.info.TypeOf(e).(*types.Basic); ok && basic.Kind() == types.Bool {
		r.leaf[e] = true
	}
}
