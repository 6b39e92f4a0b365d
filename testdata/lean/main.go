// Command lean writes what a release is built with so that it weighs less:
//
//	go run ./testdata/lean FOLDER    writes FOLDER/overlay.json; go build -overlay takes it
//
// text/template looks methods up by names that are only known when the program runs, and
// because of that the linker keeps every exported method of every type: some 4 MB, a tenth of
// the program, that nothing calls. Its exec.go gets a changed copy: each name that a template
// of the program uses and that is a method somewhere in the program's own packages stands
// there as a constant, and the linker keeps the methods of those names alone. The other names
// of the templates are fields; a name that no template has panics.
//
// Nothing else changes, and where exec.go no longer reads as it did the command fails.
// .ci/run tests with the same file, so that what is tested is what is released.
package main

import (
	"encoding/json"
	"fmt"
	"go/ast"
	"go/format"
	"go/parser"
	"go/token"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"text/template/parse"
)

// templateFiles are the templates of the program.
var templateFiles = []string{"dossier/bench/*.html", "dossier/bench/*/*.html", "templates/letters/*.txt"}

func main() {
	log.SetFlags(0)
	if len(os.Args) != 2 {
		log.Fatal("name a folder: lean FOLDER")
	}
	if err := write(os.Args[1], "."); err != nil {
		log.Fatal(err)
	}
}

// write writes the overlay and its files into a folder, for the module in root.
func write(folder, root string) error {
	folder, err := filepath.Abs(folder)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	names, err := templateNames(root)
	if err != nil {
		return err
	}
	methods, err := methodNames(root)
	if err != nil {
		return err
	}
	list := exec.Command("go", "list", "-f", "{{.Dir}}\n{{range .GoFiles}}{{.}}\n{{end}}", "text/template")
	list.Dir = root
	out, err := list.Output()
	if err != nil {
		return fmt.Errorf("go list: %w", err)
	}
	lines := strings.Fields(string(out))
	replace := map[string]string{}
	for _, name := range lines[1:] {
		file := filepath.Join(lines[0], name)
		text, err := os.ReadFile(file)
		if err != nil {
			return err
		}
		after, err := byConstantName(name, string(text), names, methods)
		if err != nil {
			return fmt.Errorf("%s: %w", file, err)
		}
		if after == string(text) {
			continue
		}
		formatted, err := format.Source([]byte(after))
		if err != nil {
			return fmt.Errorf("%s as changed: %w", file, err)
		}
		replace[file] = filepath.Join(folder, name)
		if err := os.WriteFile(replace[file], formatted, 0o644); err != nil {
			return err
		}
	}
	if len(replace) != 1 {
		return fmt.Errorf("text/template: %s does not stand there", lookup)
	}
	data, err := json.MarshalIndent(map[string]any{"Replace": replace}, "", "\t")
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(folder, "overlay.json"), append(data, '\n'), 0o644)
}

// templateNames are the names that the templates of the program take from a value: fields,
// keys and methods alike, for a template does not tell them apart.
func templateNames(root string) ([]string, error) {
	var names []string
	for _, pattern := range templateFiles {
		files, err := filepath.Glob(filepath.Join(root, filepath.FromSlash(pattern)))
		if err != nil {
			return nil, err
		}
		if len(files) == 0 {
			return nil, fmt.Errorf("%s: no templates are there", pattern)
		}
		for _, file := range files {
			text, err := os.ReadFile(file)
			if err != nil {
				return nil, err
			}
			trees := map[string]*parse.Tree{}
			t := parse.New(file)
			t.Mode = parse.SkipFuncCheck
			if _, err := t.Parse(string(text), "", "", trees); err != nil {
				return nil, err
			}
			for _, tree := range trees {
				if tree.Root != nil {
					names = appendNames(names, tree.Root)
				}
			}
		}
	}
	slices.Sort(names)
	return slices.Compact(names), nil
}

// methodNames are the names of the exported methods in the program's own packages.
func methodNames(root string) (map[string]bool, error) {
	list := exec.Command("go", "list", "-deps", "-f",
		"{{if .Module}}{{if .Module.Main}}{{$d := .Dir}}{{range .GoFiles}}{{$d}}/{{.}}\n{{end}}{{end}}{{end}}",
		"./cmd/gallipot")
	list.Dir = root
	out, err := list.Output()
	if err != nil {
		return nil, fmt.Errorf("go list: %w", err)
	}
	names := map[string]bool{}
	for _, file := range strings.Split(strings.TrimSpace(string(out)), "\n") {
		if file == "" {
			continue
		}
		tree, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		for _, d := range tree.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && f.Recv != nil && f.Name.IsExported() {
				names[f.Name.Name] = true
			}
		}
	}
	return names, nil
}

// appendNames appends the names that a node of a template and those below it use.
func appendNames(names []string, n parse.Node) []string {
	all := func(nodes ...parse.Node) {
		for _, n := range nodes {
			names = appendNames(names, n)
		}
	}
	branch := func(b *parse.BranchNode) {
		all(b.Pipe, b.List)
		if b.ElseList != nil {
			all(b.ElseList)
		}
	}
	switch n := n.(type) {
	case *parse.ListNode:
		all(n.Nodes...)
	case *parse.ActionNode:
		all(n.Pipe)
	case *parse.TemplateNode:
		if n.Pipe != nil {
			all(n.Pipe)
		}
	case *parse.IfNode:
		branch(&n.BranchNode)
	case *parse.RangeNode:
		branch(&n.BranchNode)
	case *parse.WithNode:
		branch(&n.BranchNode)
	case *parse.PipeNode:
		for _, c := range n.Cmds {
			all(c.Args...)
		}
	case *parse.FieldNode:
		names = append(names, n.Ident...)
	case *parse.VariableNode:
		names = append(names, n.Ident[1:]...)
	case *parse.ChainNode:
		all(n.Node)
		names = append(names, n.Field...)
	}
	return names
}

// lookup is where text/template looks a method up.
const lookup = "ptr.MethodByName(fieldName)"

// looked is any place that looks a method up; the examples in comments have capitals.
var looked = regexp.MustCompile(`\.Method(ByName)?\([a-z]`)

// byConstantName lets exec.go of text/template look methods up by names that the linker sees.
func byConstantName(file, text string, names []string, methods map[string]bool) (string, error) {
	found := len(looked.FindAllString(text, -1))
	switch {
	case file != "exec.go" && found == 0:
		return text, nil
	case file != "exec.go":
		return "", fmt.Errorf("%d methods are looked up here too", found)
	case found != 1 || strings.Count(text, lookup) != 1:
		return "", fmt.Errorf("%s does not stand there once, and nothing like it", lookup)
	}
	var b strings.Builder
	b.WriteString(strings.Replace(text, lookup, "methodNamed(ptr, fieldName)", 1))
	b.WriteString("\n// methodNamed is the method of a value by a name that a template uses.\n")
	b.WriteString("func methodNamed(v reflect.Value, name string) reflect.Value {\nswitch name {\n")
	for _, name := range names {
		found := "reflect.Value{}"
		if methods[name] {
			found = fmt.Sprintf("v.MethodByName(%q)", name)
		}
		fmt.Fprintf(&b, "case %q:\nreturn %s\n", name, found)
	}
	b.WriteString("}\npanic(\"the program is built without methods named \" + name + \": build it with a list that has it\")\n}\n")
	return b.String(), nil
}
