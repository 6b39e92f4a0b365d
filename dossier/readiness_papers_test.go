package dossier

import (
	"crypto/sha256"
	"encoding/hex"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/ingredients"
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
		{"colour", "supplier: {name: S}\ncomposition: {complete: true, constituents: [{inci: CI 77491, pct: 100}]}", []string{"sds", "purity", "animal-testing"}},
		{"gum", "supplier: {name: S}\ncomposition: {complete: true, constituents: [{inci: Xanthan Gum, pct: 100}]}", []string{"sds", "microbiology", "animal-testing"}},
		{"clay", "supplier: {name: S}\ncomposition: {complete: true, constituents: [{inci: Kaolin, pct: 100}]}", []string{"sds", "microbiology", "animal-testing"}},
		{"plant water", "supplier: {name: S}\ncomposition: {complete: true, constituents: [{inci: Rosa Damascena Flower Water, pct: 100}]}", []string{"sds", "microbiology", "animal-testing"}},
		{"plant extract", "supplier: {name: S}\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 80}, {inci: Calendula Officinalis Flower Extract, pct: 20}]}",
			[]string{"sds", "composition", "microbiology", "animal-testing"}},
		{"pressed oil", "supplier: {name: S}\ncomposition: {complete: true, constituents: [{inci: Olea Europaea Fruit Oil, pct: 100}]}", []string{"sds", "animal-testing"}},
		{"composition not complete", "supplier: {name: S}\ncomposition: {complete: false, constituents: [{inci: Cetyl Alcohol, pct: 60}]}", []string{"sds", "composition", "animal-testing"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			files := fullFiles()
			files["ingredients/x.yaml"] = "id: x\nname: X\n" + c.sheet + "\n"
			files["products/cream.yaml"] = strings.Replace(files["products/cream.yaml"], "{ingredient: pearl, amount: 0.1}", "{ingredient: x, amount: 0.1}", 1)
			f := newFiling(assessFiles(t, files))
			var got []string
			for _, w := range f.missingPapersOf(f.w.Sheets["x"]) {
				got = append(got, w.kind)
				_, known := ingredients.DocumentKinds[w.kind]
				assert.True(t, known, w.kind)
			}
			assert.Equal(t, c.want, got)
		})
	}
}

// TestPapersThatAnswer counts other papers that say the same.
func TestPapersThatAnswer(t *testing.T) {
	const solution = "id: x\nname: X\nsupplier: {name: S}\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 40}, {inci: Sodium Lactate, pct: 60}]}\ndocuments:\n  - {kind: sds, file: evidence/sds.txt}\n  - {kind: animal-testing, file: evidence/animal-testing.txt}\n"
	for kind, open := range map[string]bool{"coa": false, "specification": false, "composition": false, "purity": true} {
		files := fullFiles()
		files["ingredients/x.yaml"] = solution + "  - {kind: " + kind + ", file: evidence/sds.txt}\n"
		files["products/cream.yaml"] = strings.Replace(files["products/cream.yaml"], "{ingredient: pearl, amount: 0.1}", "{ingredient: x, amount: 0.1}", 1)
		f := newFiling(assessFiles(t, files))
		assert.Equal(t, open, len(f.missingPapersOf(f.w.Sheets["x"])) > 0, kind)
	}
}

// TestMissingDocument wants one finding a material, with every paper, its reason
// and the statement of the same supplier that may cover it.
func TestMissingDocument(t *testing.T) {
	files := fullFiles()
	files["ingredients/pearl.yaml"] = strings.NewReplacer("name: C, code: C1", "name: S, code: C1", "  - {kind: purity, file: evidence/purity.txt, dated: 2026-02-03}\n", "",
		"  - {kind: animal-testing, file: evidence/animal-testing.txt, dated: 2026-02-03}\n", "").Replace(files["ingredients/pearl.yaml"])
	var got []ingredients.Finding
	for _, f := range assessFiles(t, files).Findings {
		if f.Code == "missing-document" {
			got = append(got, f)
		}
	}
	require.Len(t, got, 1)
	f := got[0]
	assert.Equal(t, ingredients.Ask, f.Severity)
	assert.Equal(t, "S", f.Ask)
	assert.Equal(t, "no purity statement or animal-testing statement of pearl is in the workshop", f.Message)
	require.Len(t, f.Sum, 2)
	assert.Contains(t, f.Sum[0].Text, "dossier-contents.csv, row A1f")
	assert.Contains(t, f.Sum[1].Text, "evidence/animal-testing.txt, which blend names")
}

// TestChangedDocument changes a paper behind a figure.
func TestChangedDocument(t *testing.T) {
	dir := t.TempDir()
	files := fullFiles()
	sum := sha256.Sum256([]byte("sds"))
	noted := hex.EncodeToString(sum[:])
	files["ingredients/pearl.yaml"] = strings.Replace(files["ingredients/pearl.yaml"], "{kind: sds, file: evidence/sds.txt,", "{kind: sds, file: evidence/sds.txt, sha256: "+noted[:16]+",", 1)
	for name, text := range files {
		path := filepath.Join(dir, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
	}
	changed := func() (list []ingredients.Finding) {
		w, _ := Load(dir)
		for _, f := range w.Assess(w.Product("cream"), Options{Date: testDay, Law: law.Builtin()}).Findings {
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
	assert.Contains(t, list[0].Message, noted[:16])
	assert.Contains(t, list[0].Fix, hex.EncodeToString(sum[:])[:16])
	assert.Equal(t, "ingredients/pearl.yaml", list[0].Pos.File)
}

// TestDemoEvidence looks for the faults that the demo's README plants in papers,
// tests, claims and the assessment.
func TestDemoEvidence(t *testing.T) {
	for _, c := range []struct {
		fault, product, code, subject, words string
	}{
		{"02", "heath-wash", "old-document", "xanthan", "safety data sheet of xanthan"},
		{"03", "heath-wash", "evidence-missing", "evidence/phytate-50-coa.txt", ""},
		{"05", "salt-scrub", "missing-document", "sea-salt", "no safety data sheet or animal-testing statement of sea-salt"},
		{"07", "body-cream", "old-document", "fo-bothy", "fragrance conformity certificate of fo-bothy"},
		{"17", "body-cream", "claim-medicinal", "heals eczema within a week", "“heals”"},
		{"18", "salt-scrub", "claim-authority", "approved by the authorities", "“approved by the authorities”"},
		{"20", "body-cream", "evidence-missing", "evidence/rapeseed-oil-specification.txt", ""},
		{"21", "body-cream", "assessed-other-figures", "body-cream", "for the figures 0000000000000000"},
		{"22", "lip-balm", "claim-free-from", "free from lead and mercury", "“free from lead and mercury”"},
		{"23", "lip-balm", "missing-document", "mica-moss", "purity statement"},
		{"24", "salt-scrub", "no-stability", "salt-scrub", "no stability test"},
		{"26", "body-cream", "short-stability", "body-cream", "promises 6 months, the tests carry 2.6"},
	} {
		found := false
		for _, f := range demoAssessment(t, c.product).Findings {
			found = found || f.Code == c.code && f.Subject == c.subject && strings.Contains(f.Message, c.words)
		}
		assert.True(t, found, "fault %s: %s about %s", c.fault, c.code, c.subject)
	}
	assert.Equal(t, ReadyMissing, itemOf(t, demoAssessment(t, "salt-scrub"), "A2c").State, "fault 24")
	assert.Equal(t, ReadyPartly, itemOf(t, demoAssessment(t, "lip-balm"), "A1f").State, "fault 23")
	for _, id := range []string{"P3", "P4", "A1d", "A1f", "A2b", "A2c", "A2d", "A3b", "A3c", "A4c", "A9", "G1"} {
		assert.Equal(t, ReadyPresent, itemOf(t, demoAssessment(t, "heath-wash"), id).State, "heath-wash is nearly in order: %s", id)
	}
}
