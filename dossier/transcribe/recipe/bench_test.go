package recipe

import (
	"os"
	"strings"
	"testing"

	"gallipot/dossier/transcribe/paper"
)

func BenchmarkText(b *testing.B) {
	data, _ := os.ReadFile("../../../testdata/formulas/alder-toner.md")
	w := words(b)
	f, _ := paper.NewReader().Read("alder-toner.md", data)
	for b.Loop() {
		Read(f, w)
	}
}

func BenchmarkLong(b *testing.B) {
	data := []byte(strings.Repeat("some words and 3 more of them 5 g then 4 % of it (and so on) to pH 5\n", 200))
	w := words(b)
	f, _ := paper.NewReader().Read("x.txt", data)
	for b.Loop() {
		Read(f, w)
	}
}
