package ready_test

import (
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/dossiertest"
	"gallipot/dossier/evidence"
	"gallipot/dossier/letters"
	"gallipot/dossier/ready"
	"gallipot/dossier/words/wordstest"
	"gallipot/dossier/workshop"
	"gallipot/dossier/workshop/workshoptest"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
	"gallipot/templates"
)

// TestWantedPapers holds which papers a kind of material has to have; the rows
// are those of dossier-contents.csv.
func TestWantedPapers(t *testing.T) {
	for _, c := range []struct {
		name, sheet string
		want        []string
	}{
		{"tap water of one's own", "supplier: {name: M}\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 100}]}", []string{"microbiology"}},
		{"one substance", "supplier: {name: S}\ncomposition: {complete: true, constituents: [{inci: Cetyl Alcohol, pct: 100}]}", []string{"sds", "animal-testing"}},
		{"blend", "supplier: {name: S}\ncomposition: {complete: true, constituents: [{inci: Cetyl Alcohol, pct: 60}, {inci: Stearyl Alcohol, pct: 40}]}", []string{"sds", "composition", "animal-testing"}},
		{"solution", "supplier: {name: S}\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 40}, {inci: Sodium Lactate, pct: 60}]}", []string{"sds", "composition", "animal-testing"}},
		{"fragrance", "supplier: {name: S}\nlabel_as: parfum", []string{"sds", "allergens", "certificate", "animal-testing"}},
		{"essential oil", "supplier: {name: S}\nfunctions: [perfuming]\ncomposition: {complete: true, constituents: [{inci: Pinus Sylvestris Leaf Oil, pct: 100}]}",
			[]string{"sds", "allergens", "certificate", "coa", "animal-testing"}},
		{"colour", "supplier: {name: S}\ncomposition: {complete: true, constituents: [{inci: CI 77491, pct: 100}]}",
			[]string{"sds", "purity", "animal-testing"}},
		{"gum", "supplier: {name: S}\ncomposition: {complete: true, constituents: [{inci: Xanthan Gum, pct: 100}]}",
			[]string{"sds", "microbiology", "animal-testing"}},
		{"clay", "supplier: {name: S}\ncomposition: {complete: true, constituents: [{inci: Kaolin, pct: 100}]}",
			[]string{"sds", "microbiology", "animal-testing"}},
		{"plant water", "supplier: {name: S}\ncomposition: {complete: true, constituents: [{inci: Rosa Damascena Flower Water, pct: 100}]}", []string{"sds", "microbiology", "animal-testing"}},
		{"plant extract", "supplier: {name: S}\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 80}, {inci: Calendula Officinalis Flower Extract, pct: 20}]}",
			[]string{"sds", "composition", "microbiology", "animal-testing"}},
		{"pressed oil", "supplier: {name: S}\ncomposition: {complete: true, constituents: [{inci: Olea Europaea Fruit Oil, pct: 100}]}", []string{"sds", "animal-testing"}},
		{"composition not complete", "supplier: {name: S}\ncomposition: {complete: false, constituents: [{inci: Cetyl Alcohol, pct: 60}]}", []string{"sds", "composition", "animal-testing"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			files := workshoptest.FullFiles()
			files["ingredients/x.yaml"] = "id: x\nname: X\n" + c.sheet + "\n"
			files["products/cream.yaml"] = strings.Replace(files["products/cream.yaml"],
				"{ingredient: pearl, amount: 0.1}", "{ingredient: x, amount: 0.1}", 1)
			f := ready.Questioned(assessFiles(t, files))
			var got []string
			missing, _ := ready.MissingPapersOf(f, f.W.Sheets["x"])
			for _, w := range missing {
				got = append(got, w.Kind)
				_, known := ingredients.DocumentKinds[w.Kind]
				assert.True(t, known, w.Kind)
			}
			assert.Equal(t, c.want, got)
		})
	}
}

// TestPapersThatAnswer counts other papers that say the same.
func TestPapersThatAnswer(t *testing.T) {
	const solution = "id: x\nname: X\nsupplier: {name: S}\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 40}, {inci: Sodium Lactate, pct: 60}]}\ndocuments:\n  - {kind: sds, file: evidence/sds.txt}\n  - {kind: animal-testing, file: evidence/animal-testing.txt}\n"
	for kind, open := range map[string]bool{"coa": false, "specification": false, "composition": false, "purity": true} {
		files := workshoptest.FullFiles()
		files["ingredients/x.yaml"] = solution + "  - {kind: " + kind + ", file: evidence/sds.txt}\n"
		files["products/cream.yaml"] = strings.Replace(files["products/cream.yaml"],
			"{ingredient: pearl, amount: 0.1}", "{ingredient: x, amount: 0.1}", 1)
		f := ready.Questioned(assessFiles(t, files))
		missing, _ := ready.MissingPapersOf(f, f.W.Sheets["x"])
		assert.Equal(t, open, len(missing) > 0, kind)
	}
}

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
	for _, l := range letters.LettersOf(a.Workshop, []*assess.Assessment{a}, testDay).Suppliers {
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
	l := letters.LettersOf(a.Workshop, []*assess.Assessment{a}, testDay)
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

// TestChangedDocument changes a paper behind a figure.
func TestChangedDocument(t *testing.T) {
	dir := t.TempDir()
	files := workshoptest.FullFiles()
	sum := sha256.Sum256([]byte("sds"))
	noted := hex.EncodeToString(sum[:])
	files["ingredients/pearl.yaml"] = strings.Replace(files["ingredients/pearl.yaml"],
		"{kind: sds, file: evidence/sds.txt,", "{kind: sds, file: evidence/sds.txt, sha256: "+noted[:16]+",", 1)
	for name, text := range files {
		path := filepath.Join(dir, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
	}
	changed := func() (list []finding.Finding) {
		w, _ := workshop.Load(dir, table.Builtin())
		for _, f := range dossier.Assess(w, w.Product("cream"),
			assess.Options{Date: testDay, Law: table.Builtin()}).Findings {
			if f.Code == "document-changed" {
				list = append(list, f)
			}
		}
		return list
	}
	assert.Empty(t, changed())
	require.NoError(t, os.WriteFile(filepath.Join(dir, "evidence", "sds.txt"), []byte("sds, new edition"), 0o644))
	list := changed()
	require.Len(t, list, 1)
	sum = sha256.Sum256([]byte("sds, new edition"))
	assert.Contains(t, wordstest.Said(list[0]).Message, noted[:16])
	assert.Contains(t, wordstest.Said(list[0]).Fix, hex.EncodeToString(sum[:])[:16])
	assert.Equal(t, "ingredients/pearl.yaml", list[0].Pos.File)
}

// TestDemoEvidence looks for the faults that the demo's README plants in papers,
// tests, claims and the assessment.
func TestDemoEvidence(t *testing.T) {
	for _, c := range []struct {
		fault, product, code, subject, words string
	}{
		{"02", "heath-wash", "old-document", "Xanthan gum", "its safety data sheet is dated"},
		{"03", "heath-wash", "evidence-missing", "evidence/phytate-50-coa.txt", ""},
		{"05", "salt-scrub", "missing-document", "Sea salt", "safety data sheet, animal-testing statement"},
		{"07", "body-cream", "old-document", "Bothy Hearth fragrance", "its fragrance conformity certificate is dated"},
		{"17", "body-cream", "claim-medicinal", "heals eczema within a week", "“heals”"},
		{"18", "salt-scrub", "claim-authority", "approved by the authorities", "this wording is restricted"},
		{"20", "body-cream", "evidence-missing", "evidence/rapeseed-oil-specification.txt", ""},
		{"21", "body-cream", "assessed-other-figures", "Slack Water Body Cream", "for the figures 0000000000000000"},
		{"22", "lip-balm", "claim-free-from", "free from lead and mercury", "this wording is restricted"},
		{"23", "lip-balm", "missing-document", "", "purity statement"},
		{"24", "salt-scrub", "no-stability", "Shingle Salt Scrub", "no stability test"},
		{"26", "body-cream", "short-stability", "Slack Water Body Cream", "says 6 months but the tests support only 2.6"},
	} {
		found := false
		for _, f := range dossiertest.Demo(t, c.product).Findings {
			found = found || f.Code == c.code && strings.Contains(f.Subject,
				c.subject) && strings.Contains(wordstest.Said(f).Text(), c.words)
		}
		assert.True(t, found, "fault %s: %s about %s", c.fault, c.code, c.subject)
	}
	assert.Equal(t, evidence.ReadyMissing, itemOf(t, dossiertest.Demo(t, "salt-scrub"), "A2c").State, "fault 24")
	assert.Equal(t, evidence.ReadyPartly, itemOf(t, dossiertest.Demo(t, "lip-balm"), "A1f").State, "fault 23")
	for _, id := range []string{"P3", "P4", "A1d", "A1f", "A2b", "A3b", "A4c", "A9", "G1"} {
		assert.Equal(t, evidence.ReadyPresent, itemOf(t, dossiertest.Demo(t, "heath-wash"), id).State,
			"heath-wash is nearly in order: %s", id)
	}
	for _, id := range []string{"A2c", "A2d", "A3c"} { // no test and no reason for the scrub
		assert.Equal(t, evidence.ReadyPartly, itemOf(t, dossiertest.Demo(t, "heath-wash"), id).State, id)
	}
}

// TestPapersTypedIn: a declaration whose dated figures are in the sheet was there; it is
// asked of the maker's own folder and not of the supplier.
func TestPapersTypedIn(t *testing.T) {
	const scent = "id: x\nname: X\nsupplier: {name: S}\nlabel_as: parfum\ncomposition: {complete: true, constituents: [{inci: Linalool, pct: 100}]}\ndocuments:\n  - {kind: sds, file: evidence/sds.txt}\n" +
		"  - {kind: animal-testing, file: evidence/animal-testing.txt}\n  - {kind: composition, file: evidence/sds.txt}\n"
	kinds := func(more string) (lacking, own []string) {
		files := workshoptest.FullFiles()
		files["ingredients/x.yaml"] = scent + more
		files["products/cream.yaml"] = strings.Replace(files["products/cream.yaml"],
			"{ingredient: pearl, amount: 0.1}", "{ingredient: x, amount: 0.1}", 1)
		f := ready.Questioned(assessFiles(t, files))
		missing, typed := ready.MissingPapersOf(f, f.W.Sheets["x"])
		for _, w := range missing {
			lacking = append(lacking, w.Kind)
		}
		for _, w := range typed {
			own = append(own, w.Kind)
		}
		return lacking, own
	}
	lacking, own := kinds("")
	assert.Subset(t, lacking, []string{"allergens", "certificate"})
	assert.Empty(t, own)
	lacking, own = kinds("allergens: {list: 2023-1545, dated: 2025-01-01, declared: [{name: Linalool, pct: 100}]}\nfragrance_limits: {amendment: 51, dated: 2025-01-01, max_pct: {\"5A\": 2}}\n")
	assert.NotContains(t, lacking, "allergens")
	assert.NotContains(t, lacking, "certificate")
	assert.ElementsMatch(t, []string{"allergens", "certificate"}, own)
	lacking, _ = kinds("allergens: {list: 2023-1545, declared: [{name: Linalool, pct: 100}]}\n") // without a date nobody knows of a paper
	assert.Contains(t, lacking, "allergens")
}
