package main

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"text/template/parse"

	"github.com/stretchr/testify/require"
)

func TestAppendNames(t *testing.T) {
	trees := map[string]*parse.Tree{}
	p := parse.New("x")
	p.Mode = parse.SkipFuncCheck
	_, err := p.Parse(`{{if .A.B}}{{$x := .C}}{{$x.D}}{{else if .E}}{{(.F).G}}{{else}}{{(f .H).I.J}}{{end}}`+
		`{{range $i, $k := .K}}{{with .L}}{{.M | printf "%s" .N}}{{end}}{{break}}{{else}}{{.O}}{{end}}{{template "t" .P}}`+
		`{{template "u"}}{{/* .No */}}{{"No"}}{{$.Q}}`, "", "", trees)
	require.NoError(t, err)
	var want []string
	for c := 'A'; c <= 'Q'; c++ {
		want = append(want, string(c))
	}
	require.ElementsMatch(t, want, appendNames(nil, trees["x"].Root))
}

func TestByConstantName(t *testing.T) {
	for name, c := range map[string]struct{ file, text string }{
		"gone":              {"exec.go", "package template\n"},
		"twice":             {"exec.go", lookup + "\n" + lookup},
		"another beside it": {"exec.go", lookup + "\nv.Method(i)"},
		"in another file":   {"funcs.go", "v.MethodByName(name)"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := byConstantName(c.file, c.text, nil, nil)
			require.Error(t, err)
		})
	}
	same, err := byConstantName("doc.go", "// {{dot.Method(Argument1)}}", nil, nil)
	require.NoError(t, err)
	require.Equal(t, "// {{dot.Method(Argument1)}}", same)
}

// The program is built of the changed file: methods and fields of its templates are found, and
// a name that stands in none of them stops it.
func TestOverlay(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, write(filepath.Join(dir, "lean"), "../.."))
	var overlay struct{ Replace map[string]string }
	data, err := os.ReadFile(filepath.Join(dir, "lean", "overlay.json"))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &overlay))
	require.Len(t, overlay.Replace, 1)

	const program = `package main

import (
	"fmt"
	"strings"
	"text/template"
)

type thing struct{ Href string }

func (thing) String() string             { return "called" }
func (*thing) Text(a, b string) string   { return a + b }
func (thing) NameThatNoTemplateHas() int { return 1 }

func main() {
	var b strings.Builder
	fmt.Println(template.Must(template.New("").Parse("{{.String}} {{.Text \"a\" \"b\"}} {{.Href}} {{.}}")).Execute(&b, &thing{"field"}))
	fmt.Println(b.String())
	defer func() { fmt.Println(recover()) }()
	fmt.Println(template.Must(template.New("").Parse("{{.NameThatNoTemplateHas}}")).Execute(&b, thing{}))
}
`
	require.NoError(t, os.WriteFile(filepath.Join(dir, "main.go"), []byte(program), 0o644))
	run := exec.Command("go", "run", "-overlay", filepath.Join(dir, "lean", "overlay.json"), filepath.Join(dir, "main.go"))
	out, err := run.CombinedOutput()
	require.NoError(t, err, string(out))
	require.Equal(t, "<nil>\ncalled ab field called\n"+
		"the program is built without methods named NameThatNoTemplateHas: build it with a list that has it\n", string(out))
}
