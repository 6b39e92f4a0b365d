package limits_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/limits"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

// Preservatives are a closed list (annex V): a material that is there to preserve
// with nothing on the list is not allowed; carriers beside a listed one are.
func TestClosedListOfPreservatives(t *testing.T) {
	c := calctest.Case{Product: "face-cream"}
	list := func(s *ingredients.Sheet) []finding.Finding {
		return calctest.Findings(c.Of(t, s, "1"), "not-listed-preservative")
	}

	stop := list(formulatest.Material(t, "ferment", "preservative", "Leuconostoc/Radish Root Ferment Filtrate", "100"))
	assert.Len(t, stop, 1)
	assert.Equal(t, finding.Stop, stop[0].Severity)
	assert.Equal(t, []finding.Party{finding.TheMaker}, stop[0].Who)

	assert.Empty(t, list(formulatest.Material(t, "blend", "preservative", "Aqua", "50", "Glycerin", "20",
		"Sodium Benzoate", "30")))
	assert.Empty(t, list(formulatest.Material(t, "blend", "preservative;skin conditioning", "Phenoxyethanol",
		"90", "Ethylhexylglycerin", "10")))

	ask := list(formulatest.Material(t, "blend", "preservative", "Phenoxyethanol", "70", "Ethylhexylglycerin",
		"10", "Aqua", "20"))
	assert.Len(t, ask, 1)
	assert.Equal(t, finding.Ask, ask[0].Severity)
	assert.Equal(t, finding.TheSupplier.Role, ask[0].Who[0].Role)
	assert.Equal(t, "Ethylhexylglycerin in it is not on the list of permitted preservatives (annex V): is it meant to preserve?", wordstest.Said(ask[0]).Message)

	ask = list(formulatest.Material(t, "moist", "humectant;preservative", "Pentylene Glycol", "100"))
	assert.Len(t, ask, 1)
	assert.Equal(t, finding.Ask, ask[0].Severity)

	assert.Empty(t, list(formulatest.Material(t, "ba", "fragrance", "Benzyl Alcohol", "100"))) // not used for it
	assert.Empty(t, list(formulatest.Material(t, "pea", "fragrance;masking", "Phenethyl Alcohol", "100")))

	part := formulatest.Material(t, "secret", "preservative", "Glycerin", "50")
	part.Composition.Complete = false
	ask = list(part) // what preserves may be in the part that is not disclosed
	assert.Len(t, ask, 1)
	assert.Equal(t, finding.Ask, ask[0].Severity)
}

// Colourants are a closed list (annex IV) with fields of use.
func TestClosedListOfColourants(t *testing.T) {
	face, lips := calctest.Case{Product: "face-cream"}, calctest.Case{Product: "lipstick"}
	assert.Contains(t, limitCodes(face.Of(t,
		formulatest.Material(t, "algae", "colour", "Spirulina Platensis Powder", "100"), "1")), "stop not-listed-colourant")
	assert.Contains(t, limitCodes(face.Of(t, formulatest.Material(t, "x", "colour", "CI 99999", "100"), "1")),
		"stop not-listed-colourant")
	mica := formulatest.Material(t, "mica", "colour;opacifying", "Mica", "60", "CI 77891", "39", "Tin Oxide", "1")
	assert.Empty(t, calctest.Findings(face.Of(t, mica, "1"), "not-listed-colourant"))

	// CI 10020, field 3: not on mucous membranes.
	r := face.Of(t, formulatest.Material(t, "green", "colour", "CI 10020", "100"), "0.1")
	assert.Equal(t, limits.LimitKept, checkOf(t, r, "IV-2-eugb-01").Verdict)
	f := calctest.Finding(t, lips.Of(t, formulatest.Material(t, "green", "colour", "CI 10020", "100"), "0.1"),
		"colourant-not-here")
	assert.Equal(t, finding.Stop, f.Severity)
	assert.Equal(t, "it may not be used as a colourant in lipstick: it is listed for use in products other than those for mucous membranes", wordstest.Said(f).Message)

	// A row of the list that prohibits: CI 77947 where users can breathe it in.
	powder := calctest.Case{Product: "face-powder"}.Of(t,
		formulatest.Material(t, "zinc white", "colour", "CI 77947", "100"), "5")
	assert.Equal(t, limits.LimitExceeded, checkOf(t, powder, "IV-144-eugb-02").Verdict)
	assert.Contains(t, limitCodes(powder), "stop colourant-not-here")
	assert.NotContains(t, limitCodes(face.Of(t,
		formulatest.Material(t, "zinc white", "colour", "CI 77947", "100"), "5")), "stop colourant-not-here")

	// A substance of the list that does not colour is not ruled by it.
	clay := lips.Of(t, formulatest.Material(t, "kaolin", "absorbent", "Kaolin", "100"), "5")
	assert.NotContains(t, limitCodes(clay), "stop colourant-not-here")
}

func TestClosedListOfUVFilters(t *testing.T) {
	c := calctest.Case{Product: "sunscreen"}
	assert.Contains(t, limitCodes(c.Of(t,
		formulatest.Material(t, "carrot", "UV filter", "Daucus Carota Sativa Seed Oil", "100"), "3")),
		"stop not-listed-uv-filter")
	assert.Empty(t, calctest.Findings(c.Of(t,
		formulatest.Material(t, "ehs", "UV filter", "Ethylhexyl Salicylate", "100"), "5"), "not-listed-uv-filter"))
	// 4-MBC: listed in GB to 2026-07-14, prohibited from the day after.
	mbc := formulatest.Material(t, "mbc", "UV filter", "4-Methylbenzylidene Camphor", "100")
	before := calctest.Case{Product: "sunscreen", Market: rows.GB, Day: 20260714}.Of(t, mbc, "4")
	assert.NotContains(t, limitCodes(before), "stop prohibited")
	coming := calctest.Findings(before, "coming-limit")
	assert.NotEmpty(t, coming)
	after := calctest.Case{Product: "sunscreen", Market: rows.GB, Day: 20260715}.Of(t, mbc, "4")
	assert.Contains(t, limitCodes(after), "stop prohibited")
	assert.Contains(t, limitCodes(after), "stop not-listed-uv-filter")
}

// No line is not a pass: from 2027 benzyl salicylate has EU limits, of which none
// is for lip products (product-types.md).
func TestNoLine(t *testing.T) {
	aroma := formulatest.Declared(t, formulatest.ScentSheet("aroma"), ingredients.List2023, "Benzyl Salicylate", "1")
	r := calctest.Case{Product: "lip-balm", Day: 20270101}.Of(t, aroma, "0.5")
	f := calctest.Finding(t, r, "no-line")
	assert.Equal(t, finding.Ask, f.Severity)
	assert.Equal(t, "Benzyl Salicylate", f.Subject)
	assert.Empty(t, calctest.Findings(calctest.Case{Product: "body-lotion", Day: 20270101}.Of(t, aroma, "0.5"), "no-line"))
	assert.Empty(t, calctest.Findings(calctest.Case{Product: "lip-balm"}.Of(t, aroma, "0.5"),
		"no-line")) // labelling only until then
	// methyl salicylate in nail varnish, hexyl salicylate in a mouth spray (EU)
	ms := formulatest.Declared(t, formulatest.ScentSheet("ms"), ingredients.List2023, "Methyl Salicylate", "1")
	assert.Len(t, calctest.Findings(calctest.Case{Product: "nail-varnish"}.Of(t, ms, "0.5"), "no-line"), 1)
	hs := formulatest.Declared(t, formulatest.ScentSheet("hs"), ingredients.List2023, "Hexyl Salicylate", "1")
	assert.Len(t, calctest.Findings(calctest.Case{Product: "mouth-spray"}.Of(t, hs, "0.5"), "no-line"), 1)
}

// Water-soluble zinc salts: 1 % everywhere until the EU lists toothpaste and
// mouthwash by age from 2027 on (III/24); mouthwash below 6 is then not named.
func TestRowReplacedInTheEU(t *testing.T) {
	zinc := formulatest.Pure(t, "oral care", "Zinc Chloride")
	child := calctest.Case{Product: "mouthwash", Audience: formula.ChildrenThree, Day: 20270101}
	r := child.Of(t, zinc, "0.1")
	for _, c := range r.Limits {
		assert.NotEqual(t, "III-24-eugb-01", c.Row.Key)
	}
	assert.Equal(t, limits.LimitKept, verdictOfRow(t, r, "III-24-eu-03"))
	baby := calctest.Case{Product: "mouthwash", Audience: formula.UnderThree, Day: 20270101}
	assert.Len(t, calctest.Findings(baby.Of(t, zinc, "0.1"), "no-line"), 1)
	gb := calctest.Case{Product: "mouthwash", Day: 20270101, Market: rows.GB}
	assert.Equal(t, limits.LimitKept, verdictOfRow(t, gb.Of(t, zinc, "0.1"), "III-24-eugb-01"))
}

// Diethylene glycol is prohibited as an ingredient (II/1370) and allowed up to
// 0.1 % as a trace (III/186).
func TestTracesRuledByAnEntry(t *testing.T) {
	glycerin := formulatest.Impure(t, formulatest.Pure(t, "humectant", "Glycerin"), "Diethylene Glycol", "0.5")
	c := calctest.Case{Product: "body-lotion"}
	r := c.Of(t, glycerin, "20") // 0.1
	assert.Equal(t, limits.LimitKept, verdictOfRow(t, r, "III-186-eugb-01"))
	assert.Equal(t, limits.LimitNotApplicable, verdictOfRow(t, r, "II-1370-eugb-01"))
	assert.Equal(t, limits.LimitExceeded, verdictOfRow(t, c.Of(t, glycerin, "20.1"), "III-186-eugb-01"))
	deg := formulatest.Pure(t, "solvent", "Diethylene Glycol")
	assert.Contains(t, limitCodes(c.Of(t, deg, "0.05")), "stop prohibited")
}

// The former allergens that are prohibited now are in annex II for each market
// that names them, from their day on (allergens.csv, prohibited rows).
func TestProhibitedAllergensAreInAnnexII(t *testing.T) {
	n := 0
	for _, a := range law.AllergenRows(table.Builtin()) {
		if !a.Prohibited {
			continue
		}
		for _, m := range a.Members {
			fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, m.Name, "0.1")
			fo.Allergens.Declared[0].CAS = m.CAS
			r := calctest.Case{Product: "body-lotion", Market: a.Market, Day: int(a.From)}.Of(t, fo, "1")
			assert.Contains(t, limitCodes(r), "stop prohibited", "%s %s %s", a.Key, m.Name, a.Market)
			n++
		}
	}
	assert.GreaterOrEqual(t, n, 4)
}

// Class entries match what they list; a name that holds the element of one and is
// not listed is asked about, unless the entry lets it out.
func TestClassMembers(t *testing.T) {
	c := calctest.Case{Product: "face-cream"}
	f := calctest.Finding(t, c.Of(t, formulatest.Material(t, "x", "bulking", "Barium Exemplate", "100"), "1"),
		"class-member")
	assert.Equal(t, finding.Ask, f.Severity)
	assert.Contains(t, wordstest.Said(f).Message, "II/46")
	assert.Empty(t, calctest.Findings(c.Of(t, formulatest.Material(t, "x", "bulking", "Barium Sulfate", "100"),
		"1"), "class-member"))
	later := calctest.Case{Product: "face-cream", Day: 20270101}
	starch := formulatest.Material(t, "x", "absorbent", "Sodium Aluminum Chlorohydroxy Lactate", "100")
	assert.Empty(t, calctest.Findings(later.Of(t, starch, "10"), "class-member"))  // whole, it is within 10.59 %
	assert.Len(t, calctest.Findings(later.Of(t, starch, "11"), "class-member"), 1) // III/379, by class
	assert.Empty(t, calctest.Findings(c.Of(t, starch, "11"), "class-member"))      // not before 2027
	assert.NotEmpty(t, calctest.Findings(c.Of(t, starch, "11"), "coming-limit"))   // but it is announced
	assert.Empty(t, calctest.Findings(calctest.Case{Product: "face-cream", Market: rows.GB, Day: 20270101}.Of(t,
		starch, "11"), "class-member"))
}

// "Lead and its compounds" (Annex II/289) names lead itself; a lead compound of
// another name is asked about.
func TestClassEntryNamesTheElement(t *testing.T) {
	r := calctest.Case{Product: "body-lotion"}.Of(t,
		formulatest.Impure(t, formulatest.Material(t, "clay", "absorbent", "Kaolin", "100"), "Lead", "10 ppm"), "5")
	assert.Contains(t, wordstest.Said(calctest.Finding(t, r, "prohibited-trace")).Message, "a trace of 0.00005 %")
	assert.Empty(t, calctest.Findings(r, "class-member"))
}

// A match in doubt is asked about and never a stop.
func TestMatchInDoubt(t *testing.T) {
	c := calctest.Case{Product: "body-lotion"}
	r := c.Of(t, formulatest.Coded(formulatest.Material(t, "x", "humectant", "Glycerin", "100"), "111-46-6"),
		"5") // diethylene glycol's number
	f := calctest.Finding(t, r, "limit-entry")
	assert.Equal(t, finding.Ask, f.Severity)
	assert.NotContains(t, limitCodes(r), "stop over-limit")
}
