package calc

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// Every function of the common raw materials is understood.
func TestFunctionsOfMaterialsAreUnderstood(t *testing.T) {
	for _, m := range law.Builtin().Materials() {
		for _, f := range m.Functions {
			_, ok := testSession(law.Builtin()).functionOf(f)
			assert.True(t, ok, "%s: %q", m.Key, f)
		}
	}
}

func TestFunctionOf(t *testing.T) {
	for wording, want := range map[string]string{
		"preservative": fnPreservative, "Preserving": fnPreservative, "UV FILTER": fnUVFilter, "colour": fnColorant, "PERFUMING": fnFragrance,
		"pH adjuster": "ph-adjuster", "buffering": "ph-adjuster", "denaturant": "denaturant", "antioxidant": fnOther, "cleansing": fnOther,
		"ANTIMICROBIAL": fnOther, "essential oil": fnFragrance, "carrier oil": fnOther, "peroxide stabiliser": "peroxide-stabiliser",
	} {
		got, ok := testSession(law.Builtin()).functionOf(wording)
		assert.True(t, ok, wording)
		assert.Equal(t, want, got, wording)
	}
	_, ok := testSession(law.Builtin()).functionOf("makes it nice")
	assert.False(t, ok)
}

// A claim counts where a sentence plainly makes it.
func TestClaims(t *testing.T) {
	of := func(text string) []string { return claimsOf(law.Builtin(), []Claim{{Text: text}}) }
	assert.Equal(t, []string{"sun-protection"}, of("with SPF 15"))
	assert.Equal(t, []string{"sun-protection"}, of("protects from the sun"))
	assert.Equal(t, []string{"bronzing"}, of("a gentle self-tanning milk"))
	assert.Equal(t, []string{"uv-exposure"}, of("for the sunbed"))
	assert.Empty(t, of("contains no SPF"))
	assert.Empty(t, of("this is not a sunscreen"))
	assert.Empty(t, of("smells of a sunny shore"))
}

// The product file adds to the product type and takes nothing away.
func TestSituationOfProduct(t *testing.T) {
	pt, ok := law.Builtin().ProductType("baby-lotion")
	require.True(t, ok)
	in := &Input{Session: testSession(law.Builtin()), Product: &Product{IntendedFor: Adults, BodyAreas: []string{"face"}}, Type: pt}
	s := baseSituation(in)
	assert.Contains(t, s.Areas, "face")
	assert.Contains(t, s.Areas, "body")
	assert.Equal(t, &law.Ages{From: 0, To: 1200}, s.Ages) // babies by type, adults by file
	assert.Equal(t, law.Unknown, s.Professional)
}

func TestNatural(t *testing.T) {
	assert.True(t, isBotanical(law.Builtin(), "Citrus Limon Peel Oil"))
	assert.True(t, isBotanical(law.Builtin(), "Rosa Damascena Flower Water"))
	assert.False(t, isBotanical(law.Builtin(), "Mineral Oil"))
	assert.False(t, isBotanical(law.Builtin(), "Aqua"))
	r := limitCase{product: "body-lotion"}.of(t, declared(t, material(t, "oil", "fragrance", "Rosa Damascena Flower Oil", "100"), ingredients.List2023, "Methyl Eugenol", "1"), "0.1")
	s := r.Whole().Find("Methyl Eugenol")
	require.NotNil(t, s)
	assert.Equal(t, law.Yes, naturalOf(r.Input, s))
}

// What a material is for, from its sheet: a scent is there for its smell, a trace for
// nothing, and a wording that is not understood leaves it open.
func TestRolesByHand(t *testing.T) {
	of := func(s *ingredients.Sheet, route Route) roles {
		in := &Input{Session: testSession(law.Builtin()), Sheets: map[string]*ingredients.Sheet{s.ID: s}}
		return rolesOf(in, &Substance{INCI: "Exemplum", Contributions: []Contribution{{Ingredient: s.ID, Route: route}}})
	}
	scent := scentSheet("fo")
	scent.Functions = []string{"preservative"}
	assert.Equal(t, roles{main: []string{fnFragrance}, all: []string{fnFragrance}, known: true}, of(scent, ByComposition))
	oil := material(t, "oil", "skin conditioning", "Exemplum", "100")
	assert.Equal(t, roles{main: []string{fnFragrance}, all: []string{fnFragrance}, known: true}, of(oil, ByDeclaration))
	assert.Equal(t, roles{known: true}, of(oil, ByImpurity))
	odd := of(material(t, "odd", "exemplary;preservative", "Exemplum", "100"), ByComposition)
	assert.False(t, odd.known)
	assert.Equal(t, []string{fnPreservative}, odd.all)
	assert.Empty(t, odd.main, "the first wording is not understood")
	assert.Equal(t, roles{known: true}, rolesOf(&Input{Session: testSession(law.Builtin())}, &Substance{INCI: "Exemplum", Contributions: []Contribution{{Ingredient: "gone"}}}))
}

// A denial speaks against a claim where it stands before it in the sentence, also at
// its very start.
func TestClaimAtTheStart(t *testing.T) {
	all := claimsOf(law.Builtin(), []Claim{{Text: "protects from the sun"}, {Text: "does not protect from the sun"}})
	first := claimsOf(law.Builtin(), []Claim{{Text: "protects from the sun"}})
	assert.Equal(t, first, all)
	assert.Empty(t, claimsOf(law.Builtin(), []Claim{{Text: "does not protect from the sun"}}))
}

// The highest butadiene of the materials that bring a gas in decides its bans (II/464,
// II/465: 0.1 % or more); one paper that is silent leaves it open.
func TestButadieneOfMaterials(t *testing.T) {
	gas := func(id string, pairs ...string) *ingredients.Sheet {
		return traced(t, sheet(t, id, "Butane", "100"), pairs...)
	}
	of := func(sheets ...*ingredients.Sheet) *ingredients.Num {
		in, s := &Input{Session: testSession(law.Builtin()), Sheets: map[string]*ingredients.Sheet{}}, &Substance{INCI: "Butane"}
		for _, x := range sheets {
			in.Sheets[x.ID] = x
			s.Contributions = append(s.Contributions, Contribution{Ingredient: x.ID})
		}
		return butadieneOf(in, s)
	}
	require.NotNil(t, of(gas("a", "1,3-Butadiene", "0.05")))
	assert.Equal(t, "0.05", of(gas("a", "1,3-Butadiene", "0.05")).Exact())
	assert.Equal(t, "0.08", of(gas("a", "1,3-Butadiene", "0.05"), gas("b", "Sulfur", "0.2", "1,3-Butadiene", "0.08")).Exact())
	assert.Nil(t, of(gas("a", "1,3-Butadiene", "0.05"), gas("b", "Sulfur", "0.2")))
	r := limitCase{product: "body-lotion"}.of(t, traced(t, pure(t, "propellant", "Butane"), "1,3-Butadiene", "0.2"), "5")
	assert.Contains(t, limitCodes(r), "stop prohibited")
	r = limitCase{product: "body-lotion"}.of(t, traced(t, pure(t, "propellant", "Butane"), "1,3-Butadiene", "0.05"), "5")
	assert.NotContains(t, limitCodes(r), "stop prohibited")
}
