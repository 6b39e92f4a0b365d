package formulation

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/phrases"
)

// Codes that the source puts together or passes on: those of a doubt, of a caution, of
// why a part is left aside.
var composed = []string{"line-trials", "line-share", "share", "line-shares", "trials", "shares", "no-value",
	"hidden-text", "deleted-text", "attachment", "cell-error", "total-differs", "total-differs-without",
	"line-crossed-out", "line-no-amount", "why-hidden", "why-other-work", "why-old", "why-size", "why-version"}

// said is one call in the source that words a code.
type said struct {
	file, code string
	names      []string // of the values passed
}

// calls finds them in the packages that read formulas.
func calls(t *testing.T) (out []said) {
	words := map[string]bool{"say": true, "Say": true, "sentence": true, "Sentence": true}
	for _, dir := range []string{".", "../dose", "../recipe", "../recipe/*"} {
		files, err := filepath.Glob(dir + "/*.go")
		require.NoError(t, err)
		for _, f := range files {
			if strings.HasSuffix(f, "_test.go") {
				continue
			}
			tree, err := parser.ParseFile(token.NewFileSet(), f, nil, parser.SkipObjectResolution)
			require.NoError(t, err)
			ast.Inspect(tree, func(n ast.Node) bool {
				call, ok := n.(*ast.CallExpr)
				if !ok || len(call.Args) == 0 {
					return true
				}
				name, _ := call.Fun.(*ast.Ident)
				if sel, ok := call.Fun.(*ast.SelectorExpr); ok {
					name = sel.Sel
				}
				if code, ok := literal(call.Args[0]); ok && name != nil && words[name.Name] {
					one := said{file: f, code: code}
					for i := 1; i < len(call.Args); i += 2 {
						value, _ := literal(call.Args[i])
						one.names = append(one.names, value)
					}
					out = append(out, one)
				}
				return true
			})
		}
	}
	return out
}

func literal(e ast.Expr) (string, bool) {
	lit, ok := e.(*ast.BasicLit)
	if !ok || lit.Kind != token.STRING {
		return "", false
	}
	s, err := strconv.Unquote(lit.Value)
	return s, err == nil
}

func TestEveryCodeHasWords(t *testing.T) {
	used := map[string]bool{}
	for _, d := range []dose.Doubt{dose.Range, dose.Bound, dose.About, dose.Query, dose.Changed, dose.Composed,
		dose.Decimal, dose.Fraction, dose.Words, dose.Zero} {
		used["line-"+string(d)] = true
	}
	for _, c := range composed {
		used[c] = true
	}
	all := calls(t)
	require.Greater(t, len(all), 60)
	names := regexp.MustCompile(`\{([a-z]+)\}`)
	for _, c := range all {
		if strings.HasSuffix(c.code, "-") { // put together
			continue
		}
		w, ok := phrases.Formulas()[c.code]
		if _, ofFile := phrases.Files()[c.code]; !ok && ofFile {
			continue
		}
		require.True(t, ok, "%s: %s has no words", c.file, c.code)
		used[c.code] = true
		for _, n := range names.FindAllStringSubmatch(w.Text, -1) {
			require.Contains(t, c.names, n[1], "%s: %s names a value that is not passed", c.file, c.code)
		}
	}
	for code, w := range phrases.Formulas() {
		require.True(t, used[code], "the words of %s are used nowhere", code)
		require.Contains(t, []string{"ask", "warning", "part"}, w.Kind, code)
	}
}
