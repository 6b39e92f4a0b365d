package limits

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
)

// Every function of the common raw materials is understood.
func TestFunctionsOfMaterialsAreUnderstood(t *testing.T) {
	for _, m := range law.Materials(table.Builtin()) {
		for _, f := range m.Functions {
			_, ok := functionOf(testSession(table.Builtin()), f)
			assert.True(t, ok, "%s: %q", m.Key, f)
		}
	}
}

func TestFunctionOf(t *testing.T) {
	for wording, want := range map[string]string{
		"preservative": fnPreservative, "Preserving": fnPreservative, "UV FILTER": fnUVFilter, "colour": fnColorant, "PERFUMING": FnFragrance,
		"pH adjuster": "ph-adjuster", "buffering": "ph-adjuster", "denaturant": "denaturant", "antioxidant": fnOther, "cleansing": fnOther,
		"ANTIMICROBIAL": fnOther, "essential oil": FnFragrance, "carrier oil": fnOther, "peroxide stabiliser": "peroxide-stabiliser",
	} {
		got, ok := functionOf(testSession(table.Builtin()), wording)
		assert.True(t, ok, wording)
		assert.Equal(t, want, got, wording)
	}
	_, ok := functionOf(testSession(table.Builtin()), "makes it nice")
	assert.False(t, ok)
}

// A claim counts where a sentence plainly makes it.
func TestClaims(t *testing.T) {
	of := func(text string) []string { return claimsOf(table.Builtin(), []formula.Claim{{Text: text}}) }
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
	pt, ok := law.ProductType(table.Builtin(), "baby-lotion")
	require.True(t, ok)
	in := &formula.Input{Session: testSession(table.Builtin()), Product: &formula.Product{IntendedFor: formula.Adults, BodyAreas: []string{"face"}}, Type: pt}
	s := BaseSituation(in)
	assert.Contains(t, s.Areas, "face")
	assert.Contains(t, s.Areas, "body")
	assert.Equal(t, &law.Ages{From: 0, To: 1200}, s.Ages) // babies by type, adults by file
	assert.Equal(t, law.Unknown, s.Professional)
}

// What a material is for, from its sheet: a scent is there for its smell, a trace for
// nothing, and a wording that is not understood leaves it open.
func TestRolesByHand(t *testing.T) {
	of := func(s *ingredients.Sheet, route formula.Route) roles {
		in := &formula.Input{Session: testSession(table.Builtin()), Sheets: map[string]*ingredients.Sheet{s.ID: s}}
		return rolesOf(in, &formula.Substance{INCI: "Exemplum", Contributions: []formula.Contribution{{Ingredient: s.ID, Route: route}}})
	}
	scent := scentSheet("fo")
	scent.Functions = []string{"preservative"}
	assert.Equal(t, roles{Main: []string{FnFragrance}, All: []string{FnFragrance}, Known: true}, of(scent, formula.ByComposition))
	oil := material(t, "oil", "skin conditioning", "Exemplum", "100")
	assert.Equal(t, roles{Main: []string{FnFragrance}, All: []string{FnFragrance}, Known: true}, of(oil, formula.ByDeclaration))
	assert.Equal(t, roles{Known: true}, of(oil, formula.ByImpurity))
	odd := of(material(t, "odd", "exemplary;preservative", "Exemplum", "100"), formula.ByComposition)
	assert.False(t, odd.Known)
	assert.Equal(t, []string{fnPreservative}, odd.All)
	assert.Empty(t, odd.Main, "the first wording is not understood")
	assert.Equal(t, roles{Known: true}, rolesOf(&formula.Input{Session: testSession(table.Builtin())}, &formula.Substance{INCI: "Exemplum", Contributions: []formula.Contribution{{Ingredient: "gone"}}}))
}

// A denial speaks against a claim where it stands before it in the sentence, also at
// its very start.
func TestClaimAtTheStart(t *testing.T) {
	all := claimsOf(table.Builtin(), []formula.Claim{{Text: "protects from the sun"}, {Text: "does not protect from the sun"}})
	first := claimsOf(table.Builtin(), []formula.Claim{{Text: "protects from the sun"}})
	assert.Equal(t, first, all)
	assert.Empty(t, claimsOf(table.Builtin(), []formula.Claim{{Text: "does not protect from the sun"}}))
}
