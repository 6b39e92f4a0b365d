package listing_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/calctest"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/listing"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

// The aluminium hydroxide of a lake does not colour and is listed under its own
// name; sold as a colourant it is CI 77002. The glossary lists both names.
func TestSubstrateOfALakeIsNoColourant(t *testing.T) {
	names := func(parts ...string) (out []string) {
		for _, e := range calctest.Job(t, "lip-balm", "5", formulatest.Material(t, "m", "colorant", parts...),
			nil).List.Entries {
			out = append(out, e.Name)
		}
		return out
	}
	assert.Contains(t, names("CI 15850", "60", "Aluminum Hydroxide", "40"), "Aluminum Hydroxide")
	assert.Contains(t, names("Titanium Dioxide", "95", "Aluminum Hydroxide", "5"), "Aluminum Hydroxide")
	assert.Contains(t, names("Aluminum Hydroxide", "100"), "CI 77002")
	// beside what does not colour it is the colourant, and of two colourants each is
	assert.Contains(t, names("Aluminum Hydroxide", "50", "Glycerin", "50"), "CI 77002")
	assert.Subset(t, names("Titanium Dioxide", "60", "Zinc Oxide", "40"), []string{"CI 77891", "CI 77947"})
}

// Who counts for a name of the list, and whose papers are silent on it: squalane is not
// asked, a scent declared against the list of 2003 is silent on the names of 2023 alone, one
// without a declaration on all.
func TestMembersAndSilence(t *testing.T) {
	young := formulatest.Declared(t, formulatest.ScentSheet("young"), ingredients.List2023, "Linalool", "20")
	old := formulatest.Declared(t, formulatest.ScentSheet("old"), ingredients.List2003, "Linalool", "20")
	r := calctest.Case{Product: "body-lotion", Market: rows.EU}.Of(t, young, "1", old, "1",
		formulatest.ScentSheet("silent"), "1", formulatest.Squalane(t), "1",
		formulatest.Pure(t, "fragrance", "Limonene"), "1")
	keyOf := func(label string) string {
		for _, a := range r.Allergens {
			if a.LabelName == label {
				return a.Row.Key
			}
		}
		require.Fail(t, label)
		return ""
	}
	members := listing.AllergenMembers(r.Input, r.Whole())
	linalool := keyOf("Linalool")
	require.Len(t, members[linalool], 1)
	assert.Equal(t, "Linalool", members[linalool][0].INCI)
	silent := listing.SilentMaterials(r.Input, r.Compositions)
	limonene := formulatest.Pure(t, "fragrance", "Limonene").ID
	assert.ElementsMatch(t, []string{"silent", limonene}, silent[linalool])
	menthol := keyOf("Menthol") // of the list of 2023 alone
	assert.ElementsMatch(t, []string{"old", "silent", limonene}, silent[menthol])
	n := 0
	for _, a := range r.Allergens {
		want := []string{"old", "silent", limonene}
		if a.Row.Regime == "2003-list" {
			want = want[1:]
		}
		if len(a.Uncovered) > 0 {
			assert.ElementsMatch(t, want, a.Uncovered, a.LabelName)
			n++
		}
	}
	assert.Greater(t, n, 20)

	counts := listing.CountsIn(r.Input, r.Whole())
	for i, s := range r.Whole().Substances {
		for _, a := range r.Allergens {
			assert.Equal(t, s.INCI == a.LabelName, counts(i, a.Row), s.INCI+" "+a.LabelName)
		}
	}
}

// A scent of which there is no more than the threshold cannot lift any name above it, and
// nobody is asked for its declaration. The threshold is 0.001 % (Annex III, leave-on).
func TestScentUpToTheThreshold(t *testing.T) {
	for pct, asked := range map[string]int{"0.001": 0, "0.0011": 1} {
		r := calctest.Case{Product: "body-lotion", Market: rows.EU}.Of(t, formulatest.ScentSheet("fo"), pct,
			formulatest.Squalane(t), "50")
		assert.Len(t, calctest.Findings(r, "no-declaration"), asked, pct)
	}
}

// A content that is just the threshold is below it; a range that reaches above is open. Told
// with four digits, the threshold as the law has it. 1 % of a scent, 0.001 % is the threshold.
func TestAllergensAtTheThreshold(t *testing.T) {
	for given, want := range map[string]listing.Verdict{"0.1": listing.Below, "0.1001": listing.Declare,
		"0.1-0.2":  listing.Open,
		"0.05-0.1": listing.Below, "0.05-0.1234567": listing.Open} {
		fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Linalool", given)
		r := calctest.Case{Product: "body-lotion", Market: rows.EU}.Of(t, fo, "1")
		var got listing.Verdict
		for _, a := range r.Allergens {
			if a.LabelName == "Linalool" {
				got = a.Verdict
			}
		}
		assert.Equal(t, want, got, given)
		for _, f := range calctest.Findings(r, "allergen-open") {
			content, _ := f.Values.Get("content")
			threshold, _ := f.Values.Get("threshold")
			assert.Equal(t, []finding.Rounding{finding.FourDigits, finding.AsIs}, []finding.Rounding{content.Round,
				threshold.Round})
			assert.NotEmpty(t, f.Sum)
		}
	}
	// a misspelt name is asked about with the listed one beside it, and a declaration of a later
	// day is none yet
	fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Linaloool", "3")
	fo.Allergens.Dated = 20261126
	r := calctest.Case{Product: "body-lotion", Market: rows.EU}.Of(t, fo, "1")
	near, _ := calctest.Finding(t, r, "unlisted-allergen").Values.Get("near")
	assert.Equal(t, "Linalool", near.Text)
	f := calctest.Finding(t, r, "no-declaration")
	assert.Equal(t, "later", f.Form)
	fo.Allergens.Dated = 20261125
	assert.Empty(t, calctest.Findings(calctest.Case{Product: "body-lotion", Market: rows.EU}.Of(t, fo, "1"),
		"no-declaration"))
}
