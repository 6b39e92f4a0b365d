package calc

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// Organisms are told by the first letter of the genus and the species.
func TestOrganismsByName(t *testing.T) {
	assert.True(t, sameOrganism("Staphylococcus aureus", "S. aureus"))
	assert.True(t, sameOrganism("E. coli", "Escherichia coli"))
	assert.False(t, sameOrganism("P. aeruginosa", "S. aeruginosa"), "another genus")
	assert.False(t, sameOrganism("Candida albicans", "Candida auris"))
	assert.False(t, sameOrganism("mould", "mould"))
}

// What a material is for, from its sheet: a scent is there for its smell, a trace for
// nothing, and a wording that is not understood leaves it open.
func TestRolesByHand(t *testing.T) {
	of := func(s *ingredients.Sheet, route Route) roles {
		in := &Input{Sheets: map[string]*ingredients.Sheet{s.ID: s}}
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
	assert.Equal(t, roles{known: true}, rolesOf(&Input{}, &Substance{INCI: "Exemplum", Contributions: []Contribution{{Ingredient: "gone"}}}))
}

// A denial speaks against a claim where it stands before it in the sentence, also at
// its very start.
func TestClaimAtTheStart(t *testing.T) {
	all := claimsOf([]Claim{{Text: "protects from the sun"}, {Text: "does not protect from the sun"}})
	first := claimsOf([]Claim{{Text: "protects from the sun"}})
	assert.Equal(t, first, all)
	assert.Empty(t, claimsOf([]Claim{{Text: "does not protect from the sun"}}))
}

// The highest butadiene of the materials that bring a gas in decides its bans (II/463
// and others: below 0.1 %); one paper that is silent leaves it open.
func TestButadieneOfMaterials(t *testing.T) {
	gas := func(id string, pairs ...string) *ingredients.Sheet {
		return traced(t, sheet(t, id, "Butane", "100"), pairs...)
	}
	of := func(sheets ...*ingredients.Sheet) *ingredients.Num {
		in, s := &Input{Sheets: map[string]*ingredients.Sheet{}}, &Substance{INCI: "Butane"}
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

// Contents that cannot add up to 100: too much at the least, or too little at the most.
func TestImpossibleCompositionWords(t *testing.T) {
	words := func(parts ...string) string {
		m := Prepare(sheet(t, "m", parts...), ingredients.NewDictionary())
		for _, f := range m.Findings {
			if f.Code == "impossible-composition" {
				return f.Message
			}
		}
		return ""
	}
	assert.Equal(t, "the constituents cannot add up to 100 %: the lowest contents already make 60 + 50 = 110", words("Aqua", "60-70", "Glycerin", "50"))
	assert.Equal(t, "the constituents cannot add up to 100 %: the highest contents make only 70 + 20 = 90", words("Aqua", "60-70", "Glycerin", "20"))
	assert.Equal(t, "", words("Aqua", "60-70", "Glycerin", "30-40"))
	assert.Equal(t, "0 short of 100", besideHundred(ingredients.Num{}))
	assert.Equal(t, "2 above 100", besideHundred(num(t, "2")))
}

// Masses that a balance cannot weigh, with the digits of a weighing sheet: 2 g in steps
// of 0.1 g is 5 % uncertain, 3 g 3.3 %.
func TestLoadsInWords(t *testing.T) {
	p := formula(t, Percent, "water", "q.s.", "a", "0.3")
	b := Balance{DivisionG: num(t, "0.1")}
	plan, fs := planned(t, p, &Variant{}, "1000", b) // 3 g
	require.Len(t, plan.Lines, 2)
	require.Len(t, fs, 1)
	assert.Equal(t, "3 g of a is weighed with an uncertainty of 3.3 % in steps of 0.1 g", fs[0].Message)
	p = formula(t, Percent, "water", "q.s.", "a", "0.0012345")
	_, fs = planned(t, p, &Variant{}, "1000", b) // 0.012345 g
	assert.Equal(t, "0.0123 g of a cannot be weighed in steps of 0.1 g: it would be left out", fs[0].Message)

	// what is stirred in after 100 is weighed last
	p = formula(t, Percent, "water", "q.s.", "a", "10")
	plan, _ = planned(t, p, &Variant{ThenAdd: []Addition{{Ingredient: "scent", Parts: num(t, "2")}}}, "1000", b)
	assert.Equal(t, "scent", plan.Lines[len(plan.Lines)-1].Ingredient)
}

// A child between three years and twelve uses what is made for the youngest as the
// youngest do; covered skin takes up more, which is said.
func TestAudiencesAndNappies(t *testing.T) {
	e, _ := exposureOf(t, "baby-lotion", ChildrenThree, nil)
	assert.Equal(t, UnderThree, e.Audience)
	e, _ = exposureOf(t, "body-lotion", ChildrenThree, nil)
	assert.Equal(t, ChildrenThree, e.Audience)
	e, _ = exposureOf(t, "body-lotion", Adults, own(t, "g", "5"))
	require.NotNil(t, e.Retention)
	assert.Equal(t, "retention not given: all of it is taken to stay", e.Retention.Note)
	tables := law.Builtin()
	var nappy string
	for _, key := range []string{"nappy-cream", "baby-cream", "baby-lotion", "baby-powder", "baby-oil"} {
		if pt, ok := tables.ProductType(key); ok && nappy == "" {
			for _, a := range pt.Areas {
				if a == "nappy" {
					nappy = key
				}
			}
		}
	}
	require.NotEmpty(t, nappy)
	e, _ = exposureOf(t, nappy, UnderThree, nil)
	assert.Contains(t, e.Notes, "nappy area: covered, moist or broken skin takes up more; the assessor judges it case by case")
}
