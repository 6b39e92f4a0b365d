package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/printer"
	"go/token"
	"strconv"
	"strings"
)

// noting is the text of a file in which the functions that are wanted note what they
// return: each gets another name, and one of its own name asks it.
func noting(room, text string, wanted func(name string) bool) (string, error) {
	set := token.NewFileSet()
	file, err := parser.ParseFile(set, "", text, parser.ParseComments)
	if err != nil {
		return "", err
	}
	var asking strings.Builder
	var renamed []int // where the names end
	for _, d := range file.Decls {
		f, is := d.(*ast.FuncDecl)
		if !is || f.Body == nil || f.Type.TypeParams != nil || f.Type.Results == nil {
			continue
		}
		name, receiver, known := receiverOf(f)
		// what prints itself would be asked by what prints it
		if !known || f.Name.Name == "String" || f.Name.Name == "Error" || !wanted(name) {
			continue
		}
		renamed = append(renamed, set.Position(f.Name.End()).Offset)
		writeAsking(&asking, set, f, room+"."+name, receiver)
	}
	if len(renamed) == 0 {
		return text, nil
	}
	for i := len(renamed) - 1; i >= 0; i-- {
		text = text[:renamed[i]] + "Noted" + text[renamed[i]:]
	}
	head := set.Position(file.Name.End()).Offset
	return text[:head] + "\n\nimport noted \"gallipot/testdata/repeats/probe\"\n" + text[head:] + asking.String(), nil
}

// receiverOf names a function, Type.Method where it is one, and says how it calls its
// receiver; known is false where that has no name.
func receiverOf(f *ast.FuncDecl) (name, receiver string, known bool) {
	if f.Recv == nil {
		return f.Name.Name, "", true
	}
	of := f.Recv.List[0]
	kind := of.Type
	if star, is := kind.(*ast.StarExpr); is {
		kind = star.X
	}
	id, is := kind.(*ast.Ident)
	if !is || len(of.Names) == 0 || of.Names[0].Name == "_" {
		return "", "", false
	}
	return id.Name + "." + f.Name.Name, of.Names[0].Name, true
}

// writeAsking writes the function that asks and notes.
func writeAsking(to *strings.Builder, set *token.FileSet, f *ast.FuncDecl, name, receiver string) {
	source := func(n ast.Node) string {
		var b strings.Builder
		_ = printer.Fprint(&b, set, n) // a builder takes everything
		return b.String()
	}
	var params, args, kinds, answers []string
	for _, p := range f.Type.Params.List {
		for range max(1, len(p.Names)) {
			arg := fmt.Sprintf("given%d", len(args))
			params = append(params, arg+" "+source(p.Type))
			if _, many := p.Type.(*ast.Ellipsis); many {
				arg += "..."
			}
			args = append(args, arg)
		}
	}
	for _, r := range f.Type.Results.List {
		for range max(1, len(r.Names)) {
			answers = append(answers, fmt.Sprintf("answer%d", len(answers)))
			kinds = append(kinds, source(r.Type))
		}
	}
	head, call := "", f.Name.Name+"Noted"
	question := strconv.Quote(name)
	if receiver != "" {
		head, call = "("+receiver+" "+source(f.Recv.List[0].Type)+") ", receiver+"."+call
		question += ", noted.Of(" + receiver + ")"
	}
	for _, a := range args {
		question += ", " + strings.TrimSuffix(a, "...")
	}
	said := strings.Join(answers, ", ")
	fmt.Fprintf(to, "\nfunc %s%s(%s) (%s) {\n\tend := noted.Start(%s)\n\t%s := %s(%s)\n\tend(%s)\n\treturn %s\n}\n",
		head, f.Name.Name, strings.Join(params, ", "), strings.Join(kinds, ", "), question,
		said, call, strings.Join(args, ", "), said, said)
}
