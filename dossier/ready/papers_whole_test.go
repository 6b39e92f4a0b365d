package ready_test

import (
	"crypto/sha256"
	"encoding/hex"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/evidence"
	"gallipot/dossier/ready"
	"gallipot/dossier/words/wordstest"
	"gallipot/dossier/workshop"
	"gallipot/dossier/workshop/workshoptest"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
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
		for _, f := range run(w, w.Product("cream"),
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
		for _, f := range demo(t, c.product).Findings {
			found = found || f.Code == c.code && strings.Contains(f.Subject,
				c.subject) && strings.Contains(wordstest.Said(f).Text(), c.words)
		}
		assert.True(t, found, "fault %s: %s about %s", c.fault, c.code, c.subject)
	}
	assert.Equal(t, evidence.ReadyMissing, itemOf(t, demo(t, "salt-scrub"), "A2c").State, "fault 24")
	assert.Equal(t, evidence.ReadyPartly, itemOf(t, demo(t, "lip-balm"), "A1f").State, "fault 23")
	for _, id := range []string{"P3", "P4", "A1d", "A1f", "A2b", "A3b", "A4c", "A9", "G1"} {
		assert.Equal(t, evidence.ReadyPresent, itemOf(t, demo(t, "heath-wash"), id).State,
			"heath-wash is nearly in order: %s", id)
	}
	for _, id := range []string{"A2c", "A2d", "A3c"} { // no test and no reason for the scrub
		assert.Equal(t, evidence.ReadyPartly, itemOf(t, demo(t, "heath-wash"), id).State, id)
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
