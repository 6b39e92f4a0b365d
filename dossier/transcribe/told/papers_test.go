package told

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/transcribe/filing"
	"gallipot/dossier/transcribe/reading"
)

// dated is an invented reading of a declaration with one content.
func dated(file, day, linalool string) *filing.Filing {
	r := &reading.Reading{File: file, SHA256: file, Allergens: &reading.Allergens{Rows: []reading.Allergen{{
		Name: "Linalool", Key: "linalool", CAS: []string{"78-70-6"}, Printed: linalool, Low: &linalool, High: &linalool,
		LowIn: true, HighIn: true, Status: "value"}}}}
	r.Document.Kind = "allergen-declaration"
	r.Document.Issued = &reading.Fact{Value: day}
	return &filing.Filing{Reading: r, Sheet: "fell-mint", Kind: "allergens"}
}

func said(list ...*filing.Filing) string {
	var b strings.Builder
	Printer{Out: &b, Shown: func(s string) string { return s }}.Pairs(list)
	return b.String()
}

func TestPairs(t *testing.T) {
	old, mid, now := dated("a.csv", "2024-01-02", "1"), dated("b.csv", "2025-01-02", "2"),
		dated("c.csv", "2026-01-02", "3")
	t.Run("each version is put beside the one before it", func(t *testing.T) {
		out := said(now, old, mid)
		require.Contains(t, out, "c.csv is a newer version of b.csv; what differs:")
		require.Contains(t, out, "b.csv is a newer version of a.csv; what differs:")
		require.NotContains(t, out, "c.csv is a newer version of a.csv")
		require.Contains(t, out, "allergens.linalool  older: 2  newer: 3")
	})
	t.Run("a version that is outdated contradicts nothing", func(t *testing.T) {
		sheet := dated("s.csv", "2026-01-05", "1")
		sheet.Kind = "sds"
		require.NotContains(t, said(old, now, sheet), "in a.csv")
		require.Contains(t, said(old, now, sheet), "Linalool: 3 in c.csv and 1 in s.csv: ask the supplier which holds")
	})
	t.Run("papers of two materials are not compared", func(t *testing.T) {
		other := dated("d.csv", "2026-02-02", "9")
		other.Sheet = "moor"
		require.Empty(t, said(now, other))
	})
}

func TestTable(t *testing.T) {
	var b strings.Builder
	f := dated("a.csv", "2024-01-02", "1")
	f.Filed = "evidence/a.csv"
	Printer{Out: &b, Shown: func(s string) string { return s }}.Table([]Line{{File: "a.csv", Filing: f},
		{File: "torn.pdf", Why: "the file is damaged and cannot be read, which is a long text"}})
	require.Equal(t, `
  paper     kind                  sheet                      fills  differs  questions
  a.csv     allergen-declaration  fell-mint (filed already)  0      0        0
  torn.pdf  not read: the file is damaged and cannot be read, which is a long text
`, b.String())
}
