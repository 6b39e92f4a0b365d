package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// arrows says which of our packages each package may import. Anything else is a
// way back or a short cut.
var arrows = map[string][]string{
	"ingredients":          {},
	"calc/law":             {"ingredients"},
	"calc":                 {"calc/law", "ingredients"},
	"templates":            {},
	"testdata":             {},
	"testdata/mutate":      {},
	"testdata/tablemutate": {},
	"dossier":              {"calc", "calc/law", "dossier/words", "ingredients", "templates"},
	"dossier/words":        {"ingredients", "templates"},
	"cmd/gallipot":         {"dossier", "dossier/words", "calc", "calc/law", "ingredients", "templates", "testdata"},
}

// outside says which other modules each package may import, test files apart.
var outside = map[string][]string{
	"ingredients":          {"go.yaml.in/yaml/v3"},
	"calc/law":             {},
	"calc":                 {},
	"templates":            {},
	"testdata":             {},
	"testdata/mutate":      {},
	"testdata/tablemutate": {},
	"dossier/words":        {},
	"dossier":              {"codeberg.org/go-pdf/fpdf", "github.com/xuri/excelize/v2", "golang.org/x/image", "golang.org/x/text", "go.yaml.in/yaml/v3"},
	"cmd/gallipot":         {"github.com/spf13/cobra"},
}

// impure are packages that calc must not know: it reads no file, no clock and no
// random number, and prints nothing.
var impure = []string{"os", "io/fs", "time", "math/rand", "math/rand/v2", "log", "net/http"}

func TestImportsFollowTheArrows(t *testing.T) {
	seen := map[string]bool{}
	eachSource(t, func(pkg, file string, imports []string) {
		seen[pkg] = true
		allowed, known := arrows[pkg]
		require.True(t, known, "%s: package %s is not in the table of arrows", file, pkg)
		for _, imp := range imports {
			ours, isOurs := strings.CutPrefix(imp, "gallipot/")
			test := strings.HasSuffix(file, "_test.go")
			switch {
			case isOurs && (ours == pkg || test): // what a test looks at is not what the package rests on
			case isOurs:
				require.Contains(t, allowed, ours, "%s imports %s", file, imp)
			case strings.Contains(strings.Split(imp, "/")[0], ".") && !test:
				require.True(t, slices.ContainsFunc(outside[pkg], func(m string) bool { return imp == m || strings.HasPrefix(imp, m+"/") }), "%s imports %s", file, imp)
			case pkg == "calc" && !test:
				require.NotContains(t, impure, imp, "%s", file)
			}
		}
	})
	for pkg := range arrows {
		require.True(t, seen[pkg], "package %s of the table is gone", pkg)
	}
}

func eachSource(t *testing.T, visit func(pkg, file string, imports []string)) {
	root := "../.."
	err := filepath.WalkDir(root, func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(file) != ".go" {
			return err
		}
		f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		var imports []string
		for _, i := range f.Imports {
			name, err := strconv.Unquote(i.Path.Value)
			if err != nil {
				return err
			}
			imports = append(imports, name)
		}
		rel, err := filepath.Rel(root, file)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		visit(path.Dir(rel), rel, imports)
		return nil
	})
	require.NoError(t, err)
}
