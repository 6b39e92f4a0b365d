package formula

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
)

func numbered(s *ingredients.Sheet, cas ...string) *ingredients.Sheet {
	for i, c := range cas {
		s.Composition.Constituents[i].CAS = c
	}
	return s
}

func TestIdentityFindings(t *testing.T) {
	tables := table.Builtin()
	one := func(name, cas string) string {
		fs := findIdentity(numbered(sheet(t, "m", name, "100"), cas), tables)
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
	dict := table.Builtin().Dictionary()
	over := Prepare(declared(t, scentSheet("fo"), ingredients.List2023, "Linalool", "94", "Limonene", "7"), dict)
	assert.Equal(t, []string{"stop declared-over-100"}, codes(over.Findings))
	full := Prepare(declared(t, scentSheet("fo"), ingredients.List2023, "Linalool", "93", "Limonene", "7"), dict)
	assert.Empty(t, full.Findings)
	twice := Prepare(declared(t, scentSheet("fo"), ingredients.List2023, "Linalool", "34", "Limonene", "7",
		"linalool", "3"), dict)
	assert.Equal(t, []string{"ask declared-twice"}, codes(twice.Findings))
}

// Names for look-ups: the nano form has the name of its substance; a sheet says in one
// of two spellings that a material colours.
func TestNamesAndColours(t *testing.T) {
	silver := &Substance{INCI: "Silver", Nano: true, MergeKey: SubstanceKey("Silver", true)}
	assert.Equal(t, ingredients.NameKey("Silver"), silver.NameKey(), "the nano form has the name of the substance")
	assert.NotEqual(t, silver.NameKey(), silver.Key())
	for function, want := range map[string]bool{"colorant": true, "colourant": true, "cosmetic colour": true,
		"COLOR": true, "opacifying": false} {
		assert.Equal(t, want, (ColourNames{table.Builtin()}).Colours([]string{function}), function)
	}
}

// Two sets of tables, two answers about one material.
func TestIdentityByTables(t *testing.T) {
	m := Prepare(coded(sheet(t, "m", "Glycerin", "100"), "111-46-6"), ingredients.NewDictionary())
	tables := table.Builtin()
	more := tables.WithLimits([]*annex.Limit{{Annex: "own", Entry: "x", Names: []string{"Exemplum"}}})
	require.NotSame(t, tables, more)
	require.NotEmpty(t, m.IdentityFindings(tables))
	first := m.identity.found.Load()
	m.IdentityFindings(tables)
	assert.Same(t, first, m.identity.found.Load(), "kept")
	m.IdentityFindings(more)
	assert.NotSame(t, first, m.identity.found.Load(), "other tables are asked anew")
}
