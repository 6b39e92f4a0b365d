package limits_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/limits"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

// Preservatives are a closed list (annex V): a material that is there to preserve
// with nothing on the list is not allowed; carriers beside a listed one are.
func TestClosedListOfPreservatives(t *testing.T) {
	c := limitCase{product: "face-cream"}
	list := func(s *ingredients.Sheet) []finding.Finding {
		return findingsOf(c.of(t, s, "1"), "not-listed-preservative")
	}

	stop := list(material(t, "ferment", "preservative", "Leuconostoc/Radish Root Ferment Filtrate", "100"))
	assert.Len(t, stop, 1)
	assert.Equal(t, finding.Stop, stop[0].Severity)

	assert.Empty(t, list(material(t, "blend", "preservative", "Aqua", "50", "Glycerin", "20", "Sodium Benzoate", "30")))
	assert.Empty(t, list(material(t, "blend", "preservative;skin conditioning", "Phenoxyethanol", "90", "Ethylhexylglycerin", "10")))

	ask := list(material(t, "blend", "preservative", "Phenoxyethanol", "70", "Ethylhexylglycerin", "10", "Aqua", "20"))
	assert.Len(t, ask, 1)
	assert.Equal(t, finding.Ask, ask[0].Severity)
	assert.Equal(t, "Ethylhexylglycerin in it is not on the list of permitted preservatives (annex V): is it meant to preserve?", said(ask[0]).Message)

	ask = list(material(t, "moist", "humectant;preservative", "Pentylene Glycol", "100"))
	assert.Len(t, ask, 1)
	assert.Equal(t, finding.Ask, ask[0].Severity)

	assert.Empty(t, list(material(t, "ba", "fragrance", "Benzyl Alcohol", "100"))) // not used for it
	assert.Empty(t, list(material(t, "pea", "fragrance;masking", "Phenethyl Alcohol", "100")))

	part := material(t, "secret", "preservative", "Glycerin", "50")
	part.Composition.Complete = false
	ask = list(part) // what preserves may be in the part that is not disclosed
	assert.Len(t, ask, 1)
	assert.Equal(t, finding.Ask, ask[0].Severity)
}

// Colourants are a closed list (annex IV) with fields of use.
func TestClosedListOfColourants(t *testing.T) {
	face, lips := limitCase{product: "face-cream"}, limitCase{product: "lipstick"}
	assert.Contains(t, limitCodes(face.of(t, material(t, "algae", "colour", "Spirulina Platensis Powder", "100"), "1")), "stop not-listed-colourant")
	assert.Contains(t, limitCodes(face.of(t, material(t, "x", "colour", "CI 99999", "100"), "1")), "stop not-listed-colourant")
	mica := material(t, "mica", "colour;opacifying", "Mica", "60", "CI 77891", "39", "Tin Oxide", "1")
	assert.Empty(t, findingsOf(face.of(t, mica, "1"), "not-listed-colourant"))

	// CI 10020, field 3: not on mucous membranes.
	r := face.of(t, material(t, "green", "colour", "CI 10020", "100"), "0.1")
	assert.Equal(t, limits.LimitKept, checkOf(t, r, "IV-2-eugb-01").Verdict)
	f := findingOf(t, lips.of(t, material(t, "green", "colour", "CI 10020", "100"), "0.1"), "colourant-not-here")
	assert.Equal(t, finding.Stop, f.Severity)
	assert.Equal(t, "it may not be used as a colourant in lipstick: it is listed for use in products other than those for mucous membranes", said(f).Message)

	// A row of the list that prohibits: CI 77947 where users can breathe it in.
	powder := limitCase{product: "face-powder"}.of(t, material(t, "zinc white", "colour", "CI 77947", "100"), "5")
	assert.Equal(t, limits.LimitExceeded, checkOf(t, powder, "IV-144-eugb-02").Verdict)
	assert.Contains(t, limitCodes(powder), "stop colourant-not-here")
	assert.NotContains(t, limitCodes(face.of(t, material(t, "zinc white", "colour", "CI 77947", "100"), "5")), "stop colourant-not-here")

	// A substance of the list that does not colour is not ruled by it.
	clay := lips.of(t, material(t, "kaolin", "absorbent", "Kaolin", "100"), "5")
	assert.NotContains(t, limitCodes(clay), "stop colourant-not-here")
}

func TestClosedListOfUVFilters(t *testing.T) {
	c := limitCase{product: "sunscreen"}
	assert.Contains(t, limitCodes(c.of(t, material(t, "carrot", "UV filter", "Daucus Carota Sativa Seed Oil", "100"), "3")), "stop not-listed-uv-filter")
	assert.Empty(t, findingsOf(c.of(t, material(t, "ehs", "UV filter", "Ethylhexyl Salicylate", "100"), "5"), "not-listed-uv-filter"))
	// 4-MBC: listed in GB to 2026-07-14, prohibited from the day after.
	mbc := material(t, "mbc", "UV filter", "4-Methylbenzylidene Camphor", "100")
	before := limitCase{product: "sunscreen", market: rows.GB, day: 20260714}.of(t, mbc, "4")
	assert.NotContains(t, limitCodes(before), "stop prohibited")
	coming := findingsOf(before, "coming-limit")
	assert.NotEmpty(t, coming)
	after := limitCase{product: "sunscreen", market: rows.GB, day: 20260715}.of(t, mbc, "4")
	assert.Contains(t, limitCodes(after), "stop prohibited")
	assert.Contains(t, limitCodes(after), "stop not-listed-uv-filter")
}

// No line is not a pass: from 2027 benzyl salicylate has EU limits, of which none
// is for lip products (product-types.md).
func TestNoLine(t *testing.T) {
	aroma := declared(t, scentSheet("aroma"), ingredients.List2023, "Benzyl Salicylate", "1")
	r := limitCase{product: "lip-balm", day: 20270101}.of(t, aroma, "0.5")
	f := findingOf(t, r, "no-line")
	assert.Equal(t, finding.Ask, f.Severity)
	assert.Equal(t, "Benzyl Salicylate", f.Subject)
	assert.Empty(t, findingsOf(limitCase{product: "body-lotion", day: 20270101}.of(t, aroma, "0.5"), "no-line"))
	assert.Empty(t, findingsOf(limitCase{product: "lip-balm"}.of(t, aroma, "0.5"), "no-line")) // labelling only until then
	// methyl salicylate in nail varnish, hexyl salicylate in a mouth spray (EU)
	ms := declared(t, scentSheet("ms"), ingredients.List2023, "Methyl Salicylate", "1")
	assert.Len(t, findingsOf(limitCase{product: "nail-varnish"}.of(t, ms, "0.5"), "no-line"), 1)
	hs := declared(t, scentSheet("hs"), ingredients.List2023, "Hexyl Salicylate", "1")
	assert.Len(t, findingsOf(limitCase{product: "mouth-spray"}.of(t, hs, "0.5"), "no-line"), 1)
}

// Water-soluble zinc salts: 1 % everywhere until the EU lists toothpaste and
// mouthwash by age from 2027 on (III/24); mouthwash below 6 is then not named.
func TestRowReplacedInTheEU(t *testing.T) {
	zinc := pure(t, "oral care", "Zinc Chloride")
	child := limitCase{product: "mouthwash", audience: formula.ChildrenThree, day: 20270101}
	r := child.of(t, zinc, "0.1")
	for _, c := range r.Limits {
		assert.NotEqual(t, "III-24-eugb-01", c.Row.Key)
	}
	assert.Equal(t, limits.LimitKept, verdictOfRow(t, r, "III-24-eu-03"))
	baby := limitCase{product: "mouthwash", audience: formula.UnderThree, day: 20270101}
	assert.Len(t, findingsOf(baby.of(t, zinc, "0.1"), "no-line"), 1)
	gb := limitCase{product: "mouthwash", day: 20270101, market: rows.GB}
	assert.Equal(t, limits.LimitKept, verdictOfRow(t, gb.of(t, zinc, "0.1"), "III-24-eugb-01"))
}

// Diethylene glycol is prohibited as an ingredient (II/1370) and allowed up to
// 0.1 % as a trace (III/186).
func TestTracesRuledByAnEntry(t *testing.T) {
	glycerin := impure(t, pure(t, "humectant", "Glycerin"), "Diethylene Glycol", "0.5")
	c := limitCase{product: "body-lotion"}
	r := c.of(t, glycerin, "20") // 0.1
	assert.Equal(t, limits.LimitKept, verdictOfRow(t, r, "III-186-eugb-01"))
	assert.Equal(t, limits.LimitNotApplicable, verdictOfRow(t, r, "II-1370-eugb-01"))
	assert.Equal(t, limits.LimitExceeded, verdictOfRow(t, c.of(t, glycerin, "20.1"), "III-186-eugb-01"))
	deg := pure(t, "solvent", "Diethylene Glycol")
	assert.Contains(t, limitCodes(c.of(t, deg, "0.05")), "stop prohibited")
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
			fo := declared(t, scentSheet("fo"), ingredients.List2023, m.Name, "0.1")
			fo.Allergens.Declared[0].CAS = m.CAS
			r := limitCase{product: "body-lotion", market: a.Market, day: int(a.From)}.of(t, fo, "1")
			assert.Contains(t, limitCodes(r), "stop prohibited", "%s %s %s", a.Key, m.Name, a.Market)
			n++
		}
	}
	assert.GreaterOrEqual(t, n, 4)
}

// Class entries match what they list; a name that holds the element of one and is
// not listed is asked about, unless the entry lets it out.
func TestClassMembers(t *testing.T) {
	c := limitCase{product: "face-cream"}
	f := findingOf(t, c.of(t, material(t, "x", "bulking", "Barium Exemplate", "100"), "1"), "class-member")
	assert.Equal(t, finding.Ask, f.Severity)
	assert.Contains(t, said(f).Message, "II/46")
	assert.Empty(t, findingsOf(c.of(t, material(t, "x", "bulking", "Barium Sulfate", "100"), "1"), "class-member"))
	later := limitCase{product: "face-cream", day: 20270101}
	starch := material(t, "x", "absorbent", "Sodium Aluminum Chlorohydroxy Lactate", "100")
	assert.Empty(t, findingsOf(later.of(t, starch, "10"), "class-member"))  // whole, it is within 10.59 %
	assert.Len(t, findingsOf(later.of(t, starch, "11"), "class-member"), 1) // III/379, by class
	assert.Empty(t, findingsOf(c.of(t, starch, "11"), "class-member"))      // not before 2027
	assert.NotEmpty(t, findingsOf(c.of(t, starch, "11"), "coming-limit"))   // but it is announced
	assert.Empty(t, findingsOf(limitCase{product: "face-cream", market: rows.GB, day: 20270101}.of(t, starch, "11"), "class-member"))
}

// "Lead and its compounds" (Annex II/289) names lead itself; a lead compound of
// another name is asked about.
func TestClassEntryNamesTheElement(t *testing.T) {
	r := limitCase{product: "body-lotion"}.of(t, impure(t, material(t, "clay", "absorbent", "Kaolin", "100"), "Lead", "10 ppm"), "5")
	assert.Contains(t, said(findingOf(t, r, "prohibited-trace")).Message, "a trace of 0.00005 %")
	assert.Empty(t, findingsOf(r, "class-member"))
}

// A match in doubt is asked about and never a stop.
func TestMatchInDoubt(t *testing.T) {
	c := limitCase{product: "body-lotion"}
	r := c.of(t, coded(material(t, "x", "humectant", "Glycerin", "100"), "111-46-6"), "5") // diethylene glycol's number
	f := findingOf(t, r, "limit-entry")
	assert.Equal(t, finding.Ask, f.Severity)
	assert.NotContains(t, limitCodes(r), "stop over-limit")
}
