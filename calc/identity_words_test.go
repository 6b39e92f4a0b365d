package calc

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

func TestColourNumbers(t *testing.T) {
	for name, want := range map[string]bool{"CI 77891": true, "ci 10006": true, "CI 0": true, "CI 9": true, "CI ": false, "CI": false, "CI x": false,
		"CI :": false, "CI /": false, "Citric Acid": false, "": false, "DI 77891": false} {
		assert.Equal(t, want, isCI(name), name)
	}
	for function, want := range map[string]bool{"Cosmetic Colorant": true, "COLOURANT": true, "hair colouring": true, "color": true, "emollient": false, "UV filter": false} {
		assert.Equal(t, want, (colourNames{law.Builtin()}).colours([]string{"opacifying", function}), function)
	}
	names := colourNames{law.Builtin()}
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

// A number stands for a name only where the name is unknown and the number fits one
// substance, or several that are no preparations of one plant and no colourants.
func TestNamedByNumber(t *testing.T) {
	d := ingredients.NewDictionary()
	d.Add("Exemplum Acid", []string{"50-00-0"}, nil, "Acid of Example")
	d.Add("Exemplum Flower Oil", []string{"64-17-5"}, nil)
	d.Add("Exemplum Flower", []string{"64-17-5"}, nil)
	d.Add("CI 12345", []string{"67-56-1"}, nil)
	d.Add("Exemplum Red", []string{"67-56-1"}, nil)
	d.Add("Exemplum Sweet", []string{"56-81-5"}, nil)
	d.Add("Exemplum Sweeter", []string{"56-81-5"}, nil)
	d.Add("Exemplum Leaf Extract", []string{"57-55-6"}, nil)
	d.SetPreparation(law.Builtin().Words(law.WordsPreparation).In)
	for _, c := range []struct{ name, cas, want string }{
		{"a name of the maker's own", "50-00-0", "Exemplum Acid"},
		{"acid of example", "64-17-5", ""},
		{"a name of the maker's own", "", ""},
		{"a name of the maker's own", "75-09-2", ""},
		{"a name of the maker's own", "64-17-5", ""},
		{"a name of the maker's own", "67-56-1", ""},
		{"a name of the maker's own", "56-81-5", "Exemplum Sweet"},
		{"a name of the maker's own", "57-55-6", "Exemplum Leaf Extract"},
	} {
		assert.Equal(t, c.want, namedByNumber(d, c.name, c.cas), c.cas)
		want := c.want
		if want == "" {
			want = d.Canonical(c.name)
		}
		assert.Equal(t, want, canonical(d, c.name, c.cas))
	}
	for name, want := range map[string]bool{"Exemplum Seed Oil": true, "EXEMPLUM LEAF EXTRACT": true, "Rosa Damascena Flower Water": true, "Exemplum Butter": true,
		"Exemplum Wax": true, "Exemplum Powder": true, "Exemplum Juice": true, "Exemplum": false, "Waterlily": false} {
		assert.Equal(t, want, law.Builtin().Words(law.WordsPreparation).In(name), name)
	}
}

func TestIdentityInWords(t *testing.T) {
	tables := law.Builtin()
	one := func(name, cas string) ingredients.Finding {
		fs := Identity(supplied(numbered(sheet(t, "m", name, "100"), cas), "Alder Supplies (invented)", ""), tables)
		require.Len(t, fs, 1)
		return fs[0]
	}
	f := one("Phenylmethanol", "100-51-6")
	assert.Equal(t, "this name is not in our tables; by its CAS number 100-51-6 it is counted as Benzyl Alcohol", said(f).Message)
	assert.Equal(t, "write Benzyl Alcohol, if that is what the document means", said(f).Fix)
	f = one("Phenoxyethanl", "")
	assert.Equal(t, "it is in none of the tables, so no limit, allergen or toxicological value is found for this name", said(f).Message)
	assert.Equal(t, "did you mean Phenoxyethanol? check the spelling against the glossary of ingredient names", said(f).Fix)
	f = one("Tocopherol", "10191-41-0")
	assert.Contains(t, said(f).Message, "its CAS number 10191-41-0 is not in our tables, which have ")
	f = one("Cera Alba", "8006-44-8")
	assert.Contains(t, said(f).Message, "its CAS number 8006-44-8 stands for ")
	assert.Equal(t, "Cera Alba", f.Subject)
	assert.Equal(t, "Alder Supplies (invented)", said(f).Ask)

	// declared names: a number that contradicts is asked about, an unknown name is left to
	// the market's list
	fo := declared(t, scentSheet("fo"), ingredients.List2023, "Exemplum Fragrans", "1", "Linalool", "1")
	assert.Empty(t, Identity(fo, tables))
	fo.Allergens.Declared[1].CAS = "8012-89-3" // beeswax
	assert.Equal(t, []string{"ask cas-contradicts"}, codes(Identity(fo, tables)))

	// once for each product that uses the material
	m := Prepare(sheet(t, "m", "Phenoxyethanl", "100"), tables.Dictionary())
	assert.Len(t, m.identityFindings(tables), 1)
	assert.Len(t, m.identityFindings(tables), 1)
}
