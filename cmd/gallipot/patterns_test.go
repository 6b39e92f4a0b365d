package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// literal is the text of an expression of literals; false for any other.
func literal(e ast.Expr) (string, bool) {
	switch e := e.(type) {
	case *ast.BasicLit:
		s, err := strconv.Unquote(e.Value)
		return s, err == nil && e.Kind == token.STRING
	case *ast.BinaryExpr:
		a, one := literal(e.X)
		b, two := literal(e.Y)
		return a + b, one && two && e.Op == token.ADD
	}
	return "", false
}

// madeOfParts are files whose patterns are joined from parts: their own tests use each.
var madeOfParts = map[string]bool{
	"../../ingredients/exact/amount_text.go": true, "../../ingredients/exact/amount_asked.go": true,
}

// TestPatterns compiles each expression that the program compiles when it first uses it, and
// finds those that are still compiled at each start.
func TestPatterns(t *testing.T) {
	compiled := 0
	for _, root := range []string{"../../calc", "../../cmd", "../../dossier", "../../ingredients"} {
		require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") {
				return err
			}
			file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
			require.NoError(t, err)
			called := func(n ast.Node, room, name string) *ast.CallExpr {
				call, ok := n.(*ast.CallExpr)
				if !ok {
					return nil
				}
				s, ok := call.Fun.(*ast.SelectorExpr)
				if !ok || s.Sel.Name != name {
					return nil
				}
				if id, is := s.X.(*ast.Ident); !is || id.Name != room {
					return nil
				}
				return call
			}
			ast.Inspect(file, func(n ast.Node) bool {
				if call := called(n, "pattern", "New"); call != nil {
					text, ok := literal(call.Args[0])
					if !ok && madeOfParts[filepath.ToSlash(path)] {
						return true
					}
					require.True(t, ok, "%s: a pattern that no test can compile", path)
					_, err := regexp.Compile(text)
					require.NoError(t, err, path)
					compiled++
				}
				return true
			})
			if strings.HasSuffix(path, "_test.go") || strings.Contains(path, "answertest") {
				return nil
			}
			for _, d := range file.Decls {
				if _, is := d.(*ast.GenDecl); !is {
					continue
				}
				ast.Inspect(d, func(n ast.Node) bool {
					if _, later := n.(*ast.FuncLit); later {
						return false
					}
					if call := called(n, "regexp", "MustCompile"); call != nil {
						t.Errorf("%s: write pattern.New, which compiles when it is used", path)
					}
					return true
				})
			}
			return nil
		}))
	}
	require.Greater(t, compiled, 200)
}
