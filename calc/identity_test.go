package calc

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

func numbered(s *ingredients.Sheet, cas ...string) *ingredients.Sheet {
	for i, c := range cas {
		s.Composition.Constituents[i].CAS = c
	}
	return s
}

func preservative(s *ingredients.Sheet) *ingredients.Sheet {
	s.Functions = []string{"preservative"}
	return s
}

// One substance under two names counts once: benzyl alcohol 0.76 % and the same
// as phenylmethanol 0.675 % are 1.435 %, above the 1.0 % of Annex V/34. Worked
// by hand.
func TestOneSubstanceUnderTwoNames(t *testing.T) {
	for _, second := range []string{"Phenylmethanol", "Benzylalcohol", "Benzyl Alcohol"} {
		p := formula(t, Percent, "water", "q.s.", "one", "0.76", "two", "0.9")
		r := assessed(t, p, &Variant{}, "body-lotion", law.EU, 20261125, sheet(t, "water", "Aqua", "100"),
			preservative(numbered(sheet(t, "one", "Benzyl Alcohol", "100"), "100-51-6")),
			preservative(numbered(sheet(t, "two", second, "75", "Aqua", "25"), "100-51-6", "7732-18-5")))
		var found *LimitCheck
		for i := range r.Limits {
			if r.Limits[i].Row.Entry == "34" && r.Limits[i].Row.Annex == "V" {
				require.Nil(t, found, "one check for one substance")
				found = &r.Limits[i]
			}
		}
		require.NotNil(t, found, second)
		assert.Equal(t, "1.435", found.Content.Max.Exact(), second)
		assert.Equal(t, LimitExceeded, found.Verdict, second)
	}
}

// Two listed names with one CAS number are joined for limits and margins, and
// stay two names in the list: limonene 0.1 % and d-limonene 0.05 % give one
// margin at 0.15 %.
func TestMarginsJoinByNumber(t *testing.T) {
	a := declared(t, scentSheet("fo-a"), ingredients.List2023, "Limonene", "10")
	b := declared(t, scentSheet("fo-b"), ingredients.List2023, "d-Limonene", "5")
	a.Allergens.Declared[0].CAS, b.Allergens.Declared[0].CAS = "5989-27-5", "5989-27-5"
	p := formula(t, Percent, "base", "q.s.", "fo-a", "1", "fo-b", "1")
	r := assessed(t, p, &Variant{}, "body-lotion", law.EU, 20261125, sheet(t, "base", "Squalane", "100"), a, b)
	var contents []string
	for _, m := range r.Margins {
		if m.CAS == "5989-27-5" {
			contents = append(contents, m.Content.Max.Exact())
		}
	}
	assert.Equal(t, []string{"0.15"}, contents)
	assert.Equal(t, "0.15", totals(r)["Limonene"][1])
}

func TestIdentityFindings(t *testing.T) {
	tables := law.Builtin()
	one := func(name, cas string) string {
		fs := Identity(numbered(sheet(t, "m", name, "100"), cas), tables)
		if len(fs) == 0 {
			return ""
		}
		return fs[0].Severity.String() + " " + fs[0].Code
	}
	assert.Equal(t, "", one("Tocopherol", ""))
	assert.Equal(t, "", one("Tocopherol", "10191-41-0")) // a number of one isomer, which the inventory has
	assert.Equal(t, "note cas-unknown", one("Tocopherol", "999999-99-4"))
	assert.Equal(t, "ask cas-contradicts", one("Cera Alba", "8006-44-8"))
	assert.Equal(t, "ask named-by-number", one("Exemplum Alcohol", "100-51-6"))
	assert.Equal(t, "ask unknown-inci", one("Exemplum Borealis Quintessence", ""))
	assert.Equal(t, "ask unknown-inci", one("Phenoxyethanl", ""))
}

func TestDeclarationsThatCannotBe(t *testing.T) {
	dict := law.Builtin().Dictionary()
	over := Prepare(declared(t, scentSheet("fo"), ingredients.List2023, "Linalool", "94", "Limonene", "7"), dict)
	assert.Equal(t, []string{"stop declared-over-100"}, codes(over.Findings))
	full := Prepare(declared(t, scentSheet("fo"), ingredients.List2023, "Linalool", "93", "Limonene", "7"), dict)
	assert.Empty(t, full.Findings)
	twice := Prepare(declared(t, scentSheet("fo"), ingredients.List2023, "Linalool", "34", "Limonene", "7", "linalool", "3"), dict)
	assert.Equal(t, []string{"ask declared-twice"}, codes(twice.Findings))
}

// A label name that is misspelt and has no number is asked about: it would be
// missing on the label.
func TestMisspeltAllergenIsAsked(t *testing.T) {
	p := formula(t, Percent, "base", "q.s.", "fo", "0.5")
	r := assessed(t, p, &Variant{}, "body-lotion", law.EU, 20261125, sheet(t, "base", "Squalane", "100"),
		declared(t, scentSheet("fo"), ingredients.List2023, "Linalyl Acetat", "32.5"))
	assert.Contains(t, codes(r.Findings), "ask unlisted-allergen")
}

// Names for look-ups: the nano form has the name of its substance; a sheet says in one
// of two spellings that a material colours.
func TestNamesAndColours(t *testing.T) {
	silver := &Substance{INCI: "Silver", Nano: true, key: substanceKey("Silver", true)}
	assert.Equal(t, ingredients.NameKey("Silver"), silver.nameKey(), "the nano form has the name of the substance")
	assert.NotEqual(t, silver.nameKey(), silver.Key())
	for function, want := range map[string]bool{"colorant": true, "colourant": true, "cosmetic colour": true, "COLOR": true, "opacifying": false} {
		assert.Equal(t, want, (colourNames{law.Builtin()}).colours([]string{function}), function)
	}
}

// Two sets of tables, two answers about one material.
func TestIdentityByTables(t *testing.T) {
	m := Prepare(coded(sheet(t, "m", "Glycerin", "100"), "111-46-6"), ingredients.NewDictionary())
	tables := law.Builtin()
	more := tables.WithLimits([]*law.Limit{{Annex: "own", Entry: "x", Names: []string{"Exemplum"}}})
	require.NotSame(t, tables, more)
	require.NotEmpty(t, m.identityFindings(tables))
	first := m.identity.found.Load()
	m.identityFindings(tables)
	assert.Same(t, first, m.identity.found.Load(), "kept")
	m.identityFindings(more)
	assert.NotSame(t, first, m.identity.found.Load(), "other tables are asked anew")
}
