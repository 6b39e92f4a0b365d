package exposure_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/calctest"
	"gallipot/calc/exposure"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

// A toxicology entry is about the substance that the sheet has under the same printed name,
// wherever on it that stands; else about the one that the name is.
func TestWhatAToxicologyEntryIsAbout(t *testing.T) {
	dict := table.Builtin().Dictionary()
	s := formulatest.Coded(formulatest.Sheet(t, "m", "Own Word One", "99"), "100-51-6")
	s.Impurities = []ingredients.Impurity{{Name: "Own Word Two", CAS: "122-99-6"}}
	s.Allergens = &ingredients.AllergenDeclaration{Declared: []ingredients.DeclaredAllergen{{Name: "Own Word Three",
		CAS: "78-70-6"}}}
	for printed, want := range map[string]string{"own word one": "Benzyl Alcohol", "Own word two": "Phenoxyethanol",
		"Own Word Three": "Linalool", "Glycerol": "Glycerin", "Own Word Four": "Own Word Four"} {
		assert.Equal(t, want, exposure.ToxName(dict, s, printed).INCI, printed)
	}
	s.Allergens = nil
	assert.Equal(t, "Own Word Three", exposure.ToxName(dict, s, "Own Word Three").INCI)
}

// Values that are no dose without effect are asked about, whatever they are; a value that
// stands in for a lower one of the table too.
func TestSheetValuesThatAreAskedAbout(t *testing.T) {
	codes := func(kind, pod string) []string {
		m := formulatest.Sheet(t, "m", "Phenoxyethanol", "100")
		formulatest.Tox(t, m, kind, pod, "", "").Replaces = true
		r := calctest.Job(t, "body-lotion", "0.5", m, nil)
		var out []string
		for _, code := range []string{"not-a-pod", "toxicology-replaced"} {
			for _, f := range calctest.Findings(r, code) {
				assert.Equal(t, finding.Ask, f.Severity)
				assert.Equal(t, []finding.Party{finding.TheAssessor}, f.Who)
				out = append(out, code)
				if code == "toxicology-replaced" {
					v, _ := f.Values.Get("sheet")
					assert.Equal(t, []any{pod, finding.AsIs}, []any{v.Low.Exact(), v.Round})
				}
			}
		}
		return out
	}
	var of []float64 // what the table has of it
	for _, row := range law.Tox(table.Builtin(), "Phenoxyethanol") {
		if row.PoD != nil {
			of = append(of, row.PoD.Value)
		}
	}
	require.Equal(t, []float64{357}, of, "SCCS/1575/16")
	assert.Equal(t, []string{"toxicology-replaced"}, codes("NOAEL", "357.25"))
	assert.Empty(t, codes("NOAEL", "357"))
	assert.Empty(t, codes("NOAEL", "356"))
	for _, kind := range []string{"ADI", "T25", "LD50", "about"} {
		assert.Equal(t, []string{"not-a-pod"}, codes(kind, "1"), kind)
	}
	assert.Empty(t, codes("LOAEL", "1"))

	// an entry for what the material does not hold names what it may mean
	m := formulatest.Sheet(t, "m", "Phenoxyethanol", "100")
	formulatest.Tox(t, m, "NOAEL", "1", "", "").INCI = "Phenoxyethanoll"
	f := calctest.Finding(t, calctest.Job(t, "body-lotion", "0.5", m, nil), "toxicology-unmatched")
	assert.Equal(t, finding.Ask, f.Severity)
	near, _ := f.Values.Get("near")
	assert.Equal(t, "Phenoxyethanol", near.Text)
}

// What is taken for insoluble particles is said in one finding, and nothing else is.
func TestParticlesAreConfirmed(t *testing.T) {
	r := calctest.Job(t, "body-lotion", "2", formulatest.Sheet(t, "m", "Kaolin", "60", "Mica", "30",
		"Phenoxyethanol", "10"), nil)
	f := calctest.Finding(t, r, "insoluble-particles")
	assert.Equal(t, finding.Ask, f.Severity)
	assert.ElementsMatch(t, []string{"Kaolin", "Mica"}, wordstest.Said(f).Items)
	assert.Empty(t, calctest.Findings(calctest.Job(t, "body-lotion", "0.5", formulatest.Sheet(t, "m", "Phenoxyethanol",
		"100"), nil), "insoluble-particles"))
	// an absorption of 0 by the sheet is no matter of particles
	m := formulatest.Sheet(t, "m", "Exemplum Acid", "100")
	formulatest.Tox(t, m, "NOAEL", "100", "0", "")
	assert.Empty(t, calctest.Findings(calctest.Job(t, "body-lotion", "0.5", m, nil), "insoluble-particles"))
	nano := formulatest.Sheet(t, "m", "Kaolin", "100")
	nano.Composition.Constituents[0].Nano = true
	assert.Empty(t, calctest.Findings(calctest.Job(t, "body-lotion", "2", nano, nil), "insoluble-particles"),
		"in nano form it is not taken for that")
}

// One substance alone without any value is asked about, by its name.
func TestOneSubstanceWithoutAValue(t *testing.T) {
	r := calctest.Job(t, "body-lotion", "0.5", formulatest.Sheet(t, "m", "Exemplum Acid", "100"), nil)
	f := calctest.Finding(t, r, "no-point-of-departure")
	assert.Equal(t, []string{"Exemplum Acid"}, wordstest.Said(f).Items)
}

// Two sums are listed by their words.
func TestTwoSums(t *testing.T) {
	m := formulatest.Sheet(t, "m", "Exemplum A", "25", "Exemplum B", "25", "Exemplum C", "25", "Exemplum D", "25")
	for i, word := range []string{"second", "second", "first", "first"} {
		v := formulatest.Tox(t, m, "NOAEL", "100", "", "")
		v.INCI, v.SumWith = m.Composition.Constituents[i].INCI, word
	}
	r := calctest.Job(t, "body-lotion", "0.5", m, nil)
	require.Len(t, r.SumMargins, 2)
	assert.Equal(t, []string{"first", "second"}, []string{r.SumMargins[0].Name, r.SumMargins[1].Name})
}
