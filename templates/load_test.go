package templates_test

import (
	"io/fs"
	"slices"
	"strings"
	"testing"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/table"
	"gallipot/dossier/workshop"
	"gallipot/templates"
)

// TestWorkshopsLoad reads both workshops as the program does. The starter raises
// nothing at all; the demo the two papers that are missing on purpose.
func TestWorkshopsLoad(t *testing.T) {
	want := map[string][]string{
		"begin": nil,
		"demo":  {"evidence/phytate-50-coa.txt", "evidence/rapeseed-oil-specification.txt"},
	}
	for label, fsys := range workshops(t) {
		t.Run(label, func(t *testing.T) {
			w, findings := workshop.LoadFS(label, fsys, table.Builtin())
			var missing []string
			for _, f := range findings {
				if f.Code == workshop.CodeEvidenceMissing {
					missing = append(missing, f.Subject)
					continue
				}
				t.Errorf("%s:%d: %s: %s", f.Pos.File, f.Pos.Line, f.Code, f.Subject)
			}
			if !slices.Equal(missing, want[label]) {
				t.Errorf("missing are %v, wanted %v", missing, want[label])
			}
			if w == nil || len(w.Products) == 0 {
				t.Error("no product was read")
			}
		})
	}
}

// TestOwnLimitsExample reads the table that limits/README.txt shows.
func TestOwnLimitsExample(t *testing.T) {
	readme, err := fs.ReadFile(templates.Begin(), "limits/README.txt")
	if err != nil {
		t.Fatal(err)
	}
	var tab []string
	for _, line := range strings.Split(string(readme), "\n") {
		if strings.HasPrefix(line, "key,") || strings.HasPrefix(line, "mine-") {
			tab = append(tab, line)
		}
	}
	rows, findings := annex.ReadOwn("limits/example.csv", []byte(strings.Join(tab, "\n")+"\n"))
	for _, f := range findings {
		t.Error(f.Subject)
	}
	if len(rows) != 1 || rows[0].MaxPct == nil || rows[0].MaxPct.Exact() != "0.8" || len(rows[0].Markets) != 2 {
		t.Errorf("read %d rows: %+v", len(rows), rows)
	}
}
