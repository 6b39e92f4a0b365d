package formula

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

func TestColourNumbers(t *testing.T) {
	for name, want := range map[string]bool{"CI 77891": true, "ci 10006": true, "CI 0": true, "CI 9": true,
		"CI ": false, "CI": false, "CI x": false,
		"CI :": false, "CI /": false, "Citric Acid": false, "": false, "DI 77891": false} {
		assert.Equal(t, want, IsCI(name), name)
	}
	for function, want := range map[string]bool{"Cosmetic Colorant": true, "COLOURANT": true,
		"hair colouring": true, "color": true, "emollient": false, "UV filter": false} {
		assert.Equal(t, want, (ColourNames{table.Builtin()}).Colours([]string{"opacifying", function}), function)
	}
	names := ColourNames{table.Builtin()}
	for _, c := range []struct {
		inci, function, want string
		ok                   bool
	}{
		{"ci 77891", "", "CI 77891", true},
		{"Titanium Dioxide", "colorant", "CI 77891", true},
		{"Titanium Dioxide", "UV filter", "", false},
		{"Glycerin", "colorant", "", false},
	} {
		got, ok := names.ColourName(c.inci, []string{c.function})
		assert.Equal(t, c.want, got)
		assert.Equal(t, c.ok, ok, c.inci)
	}
}

// A number stands for a name only where the name is in no list and the number is
// one substance's; the number of a plant never does.
func TestNamedByNumber(t *testing.T) {
	d := ingredients.NewDictionary()
	d.Add("Exemplum Acid", []string{"50-00-0"}, nil, "Acid of Example")
	d.Add("Exemplum Flower Oil", []string{"64-17-5"}, nil)
	d.Add("Exemplum Flower", []string{"64-17-5"}, nil)
	d.Add("CI 12345", []string{"67-56-1"}, nil)
	d.Add("Exemplum Red", []string{"67-56-1"}, nil)
	d.Add("Exemplum Leaf Extract", []string{"57-55-6"}, nil)
	for _, c := range []struct{ name, cas, want, ask string }{
		{"a name of the maker's own", "50-00-0", "Exemplum Acid", "named-by-number"},
		{"acid of example", "64-17-5", "Exemplum Acid", ""},
		{"a name of the maker's own", "", "a name of the maker's own", "name-unknown"},
		{"a name of the maker's own", "99999-99-9", "a name of the maker's own", "name-unknown"},
		{"a name of the maker's own", "64-17-5", "a name of the maker's own", "plant-number"},
		{"a name of the maker's own", "67-56-1", "Exemplum Red", "named-by-number"},
		{"a name of the maker's own", "57-55-6", "a name of the maker's own", "plant-number"},
	} {
		reading := d.Resolve(c.name, c.cas, "")
		assert.Equal(t, c.want, reading.First().Name, c.cas)
		if c.ask == "" {
			assert.Empty(t, reading.Asks)
			continue
		}
		require.Len(t, reading.Asks, 1)
		assert.Equal(t, c.ask, string(reading.Asks[0].Code), c.cas)
	}
}

func TestIdentityInWords(t *testing.T) {
	tables := table.Builtin()
	one := func(name, cas string) finding.Finding {
		fs := findIdentity(supplied(numbered(sheet(t, "m", name, "100"), cas), "Alder Supplies (invented)", ""), tables)
		require.Len(t, fs, 1)
		return fs[0]
	}
	f := one("Exemplum Alcohol", "100-51-6")
	assert.Equal(t, "no list of names has this name; by its number 100-51-6 it is counted as Benzyl Alcohol",
		wordstest.Said(f).Message)
	assert.Equal(t, "write Benzyl Alcohol if that is what the document means", wordstest.Said(f).Fix)
	f = one("Phenoxyethanl", "")
	assert.Equal(t, "no list of names has it, so no limit, allergen or toxicological value is found for this name", wordstest.Said(f).Message)
	assert.Contains(t, wordstest.Said(f).Fix, "did you mean Phenoxyethanol")
	f = one("Tocopherol", "999999-99-4")
	assert.Contains(t, wordstest.Said(f).Message, "its CAS number 999999-99-4 is not in the tables, which have ")
	f = one("Cera Alba", "8006-44-8")
	assert.Contains(t, wordstest.Said(f).Message, "its CAS number 8006-44-8 stands for ")
	assert.Equal(t, "Cera Alba", f.Subject)
	assert.Equal(t, "Alder Supplies (invented)", wordstest.Said(f).Ask)

	// declared names: a number that contradicts is asked about, an unknown name is left to
	// the market's list
	fo := declared(t, scentSheet("fo"), ingredients.List2023, "Exemplum Fragrans", "1", "Linalool", "1")
	assert.Empty(t, findIdentity(fo, tables))
	fo.Allergens.Declared[1].CAS = "8012-89-3" // beeswax
	assert.Equal(t, []string{"ask cas-contradicts"}, codes(findIdentity(fo, tables)))

	// once for each product that uses the material
	m := Prepare(sheet(t, "m", "Phenoxyethanl", "100"), tables.Dictionary())
	assert.Len(t, m.IdentityFindings(tables), 1)
	assert.Len(t, m.IdentityFindings(tables), 1)
}
