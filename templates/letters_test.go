package templates_test

import (
	"io/fs"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"gallipot/templates"
)

// TestLettersParse reads every letter there is; the names in code and the files
// are the same.
func TestLettersParse(t *testing.T) {
	files, err := fs.Glob(os.DirFS("letters"), "*.txt")
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range files {
		names = append(names, strings.TrimSuffix(f, ".txt"))
	}
	want := slices.Sorted(slices.Values(templates.LetterNames))
	if !slices.Equal(names, want) {
		t.Errorf("files %v, names %v", names, want)
	}
	for _, name := range templates.LetterNames {
		if templates.Letter(name).Lookup(name+".txt") == nil {
			t.Errorf("%s has no text", name)
		}
	}
}

// TestLettersNameNoLimit: words and layout alone, no figure of the law.
func TestLettersNameNoLimit(t *testing.T) {
	for _, name := range templates.LetterNames {
		data, err := os.ReadFile("letters/" + name + ".txt")
		if err != nil {
			t.Fatal(err)
		}
		if words := regexp.MustCompile(`\{\{.*?\}\}`).ReplaceAllString(string(data), ""); strings.ContainsAny(words,
			"0123456789") {
			t.Errorf("%s.txt holds a figure", name)
		}
	}
}
