package letters

import (
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/assess"
	"gallipot/dossier/ready"
	"gallipot/dossier/words/wordstest"
	"gallipot/dossier/workshop/workshoptest"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
	"gallipot/templates"
)

// TestMissingDocument wants one finding a supplier, with every paper of each of
// its materials, each reason once, and the statement of the same supplier that
// may cover them.
func TestMissingDocument(t *testing.T) {
	files := workshoptest.FullFiles()
	files["ingredients/pearl.yaml"] = strings.NewReplacer("name: C, code: C1", "name: S, code: C1",
		"  - {kind: purity, file: evidence/purity.txt, dated: 2026-02-03}\n", "",
		"  - {kind: animal-testing, file: evidence/animal-testing.txt, dated: 2026-02-03}\n",
		"").Replace(files["ingredients/pearl.yaml"])
	f := onlyFinding(t, assessFiles(t, files).Findings, "missing-document")
	assert.Equal(t, finding.Ask, f.Severity)
	assert.Equal(t, "S", wordstest.Said(f).Ask)
	assert.Equal(t, "documents are missing", wordstest.Said(f).Message)
	assert.Equal(t, []string{"Pearl: purity statement, animal-testing statement"}, wordstest.Said(f).Items)
	assert.Equal(t, "ingredients/pearl.yaml", f.Pos.File)
	require.Len(t, f.Sum, 2)
	assert.Contains(t, wordstest.Term(f.Sum[0]), "dossier-contents.csv, row A1f")
	assert.Contains(t, wordstest.Term(f.Sum[1]), "evidence/animal-testing.txt, which the sheet of Blend names")

	// two materials of one supplier, and one whose own supplier is another
	sheet := func(id, supplier string) string {
		return "id: " + id + "\nname: Name of " + id + "\nsupplier: {name: " + supplier + "}\nfunctions: [emollient]\ncomposition: {complete: true, constituents: [{inci: Cetyl Alcohol, pct: 100}]}\n"
	}
	files = workshoptest.FullFiles()
	files["ingredients/z.yaml"], files["ingredients/x.yaml"], files["ingredients/y.yaml"] = sheet("z", "T"),
		sheet("x", "T"), sheet("y", "U")
	files["products/cream.yaml"] = strings.Replace(files["products/cream.yaml"],
		"{ingredient: pearl, amount: 0.1}",
		"{ingredient: z, amount: 0.1}, {ingredient: y, amount: 0.1}, {ingredient: x, amount: 0.1}", 1)
	a := assessFiles(t, files)
	got := map[string][]string{}
	for _, f := range a.Findings {
		if f.Code == "missing-document" {
			got[wordstest.Said(f).Ask] = wordstest.Said(f).Items
			assert.Len(t, f.Sum, 2, "each reason once: %v", f.Sum)
		}
	}
	both := []string{"Name of x: safety data sheet, animal-testing statement",
		"Name of z: safety data sheet, animal-testing statement"}
	assert.Equal(t, map[string][]string{"T": both, "U": {"Name of y: safety data sheet, animal-testing statement"}}, got)

	// the letters ask for the same, material by material
	for _, l := range LettersOf(a.Workshop, []*assess.Assessment{a}, testDay).Suppliers {
		for _, m := range l.Materials {
			if l.To == "T" || l.To == "U" {
				var wants []string
				for _, r := range m.Requests {
					wants = append(wants, r.Want)
				}
				assert.Contains(t, got[l.To], "Name of "+m.ID+": "+strings.Join(wants, ", "))
			}
		}
	}
}

// onlyFinding returns the one finding of a code.
func onlyFinding(t *testing.T, fs []finding.Finding, code string) finding.Finding {
	t.Helper()
	var got []finding.Finding
	for _, f := range fs {
		if f.Code == code {
			got = append(got, f)
		}
	}
	require.Len(t, got, 1, code)
	return got[0]
}

// TestSupplierNotEntered: a sheet with the starter file's words asks for its
// supplier and gets no letter; the maker's own name is pointed out.
func TestSupplierNotEntered(t *testing.T) {
	files := workshoptest.FullFiles()
	maker := assessFiles(t, files).Workshop.Maker.Name
	files["ingredients/pearl.yaml"] = strings.Replace(files["ingredients/pearl.yaml"], "name: C, code: C1",
		"name: Your supplier, code: C1", 1)
	files["ingredients/pearl.yaml"], _, _ = strings.Cut(files["ingredients/pearl.yaml"], "documents:")
	files["ingredients/blend.yaml"] = strings.Replace(files["ingredients/blend.yaml"], "name: S", "name: "+maker, 1)
	a := assessFiles(t, files)
	var asked, noted []string
	for _, f := range a.Findings {
		if f.Code == "supplier-not-entered" && f.Severity == finding.Ask {
			asked = wordstest.Said(f).Items
		} else if f.Code == "supplier-not-entered" {
			noted = wordstest.Said(f).Items
		}
	}
	assert.Equal(t, []string{"Pearl"}, asked)
	assert.Equal(t, []string{"Blend"}, noted)
	f := onlyFinding(t, a.Findings, "missing-document")
	assert.Equal(t, "the supplier", wordstest.Said(f).Ask)
	assert.Contains(t, wordstest.Said(f).Fix, "enter the supplier on each sheet")
	l := LettersOf(a.Workshop, []*assess.Assessment{a}, testDay)
	assert.Equal(t, []string{"pearl"}, l.Nameless)
	for _, s := range l.Suppliers {
		assert.NotContains(t, []string{"Your supplier", maker}, s.To)
	}
	// the words are those of the starter files
	require.NoError(t, fs.WalkDir(templates.Begin(), "ingredients", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(templates.Begin(), name)
		s, _ := ingredients.ReadSheet(source.NewSource(name, data))
		assert.True(t, ready.IsStarterSupplier(s.Supplier.Name), name)
		return err
	}))
}
