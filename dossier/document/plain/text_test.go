package plain

import (
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
	"gallipot/dossier/document/documenttest"
)

func textOf(t *testing.T, d *document.Document) string {
	t.Helper()
	var b strings.Builder
	require.NoError(t, Write(&b, d))
	return b.String()
}

func TestTextFitsAndObeysNothing(t *testing.T) {
	d := documenttest.Rich()
	d.Sections[0].Add(document.Para("\x1b[31mred\x07 and a bell\u202e"), document.Para(strings.Repeat("漢", 200)))
	text := textOf(t, d)
	for _, l := range strings.Split(text, "\n") {
		require.LessOrEqual(t, textWidth(l), textColumns, "%q", l)
		require.Equal(t, strings.TrimRight(l, " "), l)
	}
	require.NotContains(t, text, "\x1b")
	require.NotContains(t, text, "\x07")
	require.NotContains(t, text, "\u202e")
	for _, want := range []string{
		"6  For the assessor\n===", "3.1  Notes that are long\n---", "not supplied", "† rests on a value from memory",
		"[1] limits.csv, row V-29 (invented)", "Nothing is entered here.", "no finding about the labels",
		"No constituent is declared as a nanomaterial.",
		"  [ ] safe under the conditions below", "| ▲ Not a safety assessment",
	} {
		require.Contains(t, text, want)
	}
	require.Equal(t, text, textOf(t, func() *document.Document {
		d := documenttest.Rich()
		d.Sections[0].Add(document.Para("\x1b[31mred\x07 and a bell\u202e"), document.Para(strings.Repeat("漢", 200)))
		return d
	}()))
}

func TestWrapKeepsFiguresAndPartsNames(t *testing.T) {
	for _, c := range []struct {
		width int
		in    string
		want  []string
	}{
		{20, "Acrylates/C10-30 Alkyl Acrylate", []string{"Acrylates/C10-30", "Alkyl Acrylate"}},
		{12, "Acrylates/C10-30 Alkyl", []string{"Acrylates/", "C10-30 Alkyl"}},
		{10, "1,2-Hexanediol", []string{"1,2-Hexane", "diol"}}, // no place to break: cut
		{9, "10–15 (12.5)", []string{"10–15", "(12.5)"}},
		{12, "about mg/kg bw/d", []string{"about mg/kg", "bw/d"}},
		{9, "about mg/kg", []string{"about", "mg/kg"}},
		{30, "one\ntwo\n", []string{"one", "two", ""}},
		{30, "", []string{""}},
		{1, "ab", []string{"a", "b"}},
		{16, "see products/a.yaml now", []string{"see products/", "a.yaml now"}},
		{22, "it is all in products/a.yaml", []string{"it is all in products/", "a.yaml"}},
		{20, "it is all in products/a.yaml", []string{"it is all in", "products/a.yaml"}},
	} {
		require.Equal(t, c.want, textWrap(c.in, c.width), "%q at %d", c.in, c.width)
	}
}

func TestChanceDocumentsPrint(t *testing.T) {
	for seed := range uint64(12) {
		require.NoError(t, Write(io.Discard, documenttest.Chance(seed)), "seed %d", seed)
	}
}
