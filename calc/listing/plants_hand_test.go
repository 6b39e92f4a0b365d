package listing

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// Which entry a plant material counts for, by hand from what its name says: an entry of an
// oil takes the oil of any part, an entry of the oil of one part no other; what the name
// leaves open is counted and asked about; the number of the entry says which plant it is and
// never which part.
func TestPlantsOfEntriesByHand(t *testing.T) {
	oil := &annex.Allergen{Botanical: true, LabelName: "Exemplum Borealis Oil",
		Members: []annex.Member{{Name: "Exemplum Borealis Flower Oil", CAS: "999999-99-4"}}}
	bud := &annex.Allergen{Botanical: true, LabelName: "Exemplum buds",
		Members: []annex.Member{{Name: "Exemplum Australis Bud Extract", CAS: "999998-99-5"},
			{Name: "Another name of it", CAS: "999997-99-6"}, {Name: "A third name of it"}}}
	pure := &annex.Allergen{LabelName: "Exemplol", Members: []annex.Member{{Name: "Exemplol", CAS: "888888-88-8"},
		{Name: "Exemplum Rarum Oil", CAS: "888887-88-9"}}}
	two := &annex.Allergen{Botanical: true, LabelName: "Two plants", Members: []annex.Member{
		{Name: "Exemplum Duplex Flower Oil", CAS: "777777-77-7"}, {Name: "Exemplum Novum Oil", CAS: "777776-77-8"}}}
	ix := indexAllergens(formulatest.Session(table.Builtin()), []*annex.Allergen{oil, bud, pure, two})
	for _, c := range []struct {
		name, cas string
		rows      []*annex.Allergen
		open      bool
	}{
		{"Exemplum Borealis Flower Oil", "", []*annex.Allergen{oil}, false},
		{"Exemplum Borealis Oil", "", []*annex.Allergen{oil}, false},
		{"Exemplum Borealis Leaf Oil", "", []*annex.Allergen{oil}, false},
		{"Exemplum Borealis Extract", "", nil, false},
		{"Exemplum Borealis Flower Extract", "", nil, false},
		{"Exemplum Borealis Flower Extract", "999999-99-4", nil, false},
		{"Exemplum Borealis", "", []*annex.Allergen{oil}, true},
		{"exemplum  borealis", "", []*annex.Allergen{oil}, true},
		{"Exemplum Borealis Flower", "999999-99-4", []*annex.Allergen{oil}, true},
		{"a name of the maker's own", "999999-99-4", []*annex.Allergen{oil}, true},
		{"a name of the maker's own", "", nil, false},
		{"Exemplum Latifolia Flower Oil", "999999-99-4", []*annex.Allergen{oil}, true},
		{"Exemplum Latifolia Leaf Oil", "999999-99-4", nil, false},
		{"Exemplum Australis Bud Extract", "", []*annex.Allergen{bud}, false},
		{"Exemplum Australis Leaf Extract", "", nil, false},
		{"Exemplum Australis Bud Oil", "", nil, false},
		{"Exemplum Australis Extract", "", []*annex.Allergen{bud}, true},
		{"Exemplum Australis Extract", "999998-99-5", []*annex.Allergen{bud}, true},
		{"Exemplum Australis Bud", "", []*annex.Allergen{bud}, true},
		{"Exemplum Australis Leaf Extract", "999997-99-6", []*annex.Allergen{bud}, true},
		{"a name of the maker's own", "888888-88-8", []*annex.Allergen{pure}, false},
		// the name decides before the number
		{"Exemplum Borealis Oil", "888888-88-8", []*annex.Allergen{oil}, false},
		{"Exemplol", "999999-99-4", []*annex.Allergen{pure}, false},
		// a number that is none of the entry's says nothing
		{"Exemplum Australis Leaf Extract", "666666-66-6", nil, false},
		// the entry of a substance takes no plant by part and preparation
		{"Exemplum Rarum Leaf Oil", "", nil, false},
		// of an entry of two plants each decides for itself
		{"Exemplum Duplex Flower Oil", "", []*annex.Allergen{two}, false},
		{"Exemplum Duplex Leaf Oil", "", nil, false},
		{"Exemplum Novum Leaf Oil", "", []*annex.Allergen{two}, false},
	} {
		got := ix.claimOf(&formula.Substance{INCI: c.name, CAS: c.cas})
		assert.Equal(t, c.rows, got.rows, c.name+" "+c.cas)
		assert.Equal(t, c.open, got.open, c.name+" "+c.cas)
	}
	// a name that it may stand for is counted, and asked about
	maybe := &formula.Substance{INCI: "Exemplum mixture", OtherNames: formula.OtherNames{Maybe: []string{"Exemplol"}}}
	assert.Equal(t, []*annex.Allergen{pure}, ix.claimOf(maybe).rows)
	assert.True(t, ix.claimOf(maybe).open)
	maybe = &formula.Substance{INCI: "Exemplol", OtherNames: formula.OtherNames{Maybe: []string{"Exemplol"}}}
	assert.False(t, ix.claimOf(maybe).open, "its own name says it")
	// claimed by two: both count, and neither is said to be open
	both := &formula.Substance{INCI: "Exemplum mixture",
		OtherNames: formula.OtherNames{Also: []string{"Exemplol", "Exemplum Borealis Oil", "Exemplol"}}}
	assert.Equal(t, []*annex.Allergen{pure, oil}, ix.claimOf(both).rows)
	assert.Equal(t, []int{2, 0}, ix.claimOf(both).places)
	assert.False(t, ix.claimOf(both).open)

	// the members of rows, by row and then in the order of the mixture
	pct := func(name, text string, c ...formula.Contribution) *formula.Substance {
		return &formula.Substance{INCI: name, CAS: "cas of " + name, Total: formulatest.Range(t, text), Contributions: c}
	}
	mix := &formula.Composition{Substances: []*formula.Substance{pct("Exemplol", "1",
		formula.Contribution{Ingredient: "a"}),
		pct("Exemplum Borealis Leaf Oil", "2", formula.Contribution{Ingredient: "b"}),
		pct("Exemplum Borealis", "3", formula.Contribution{Ingredient: "c"})}}
	ambiguous := map[string]bool{}
	members := membersOf(mix, ix.claimsIn(mix), ambiguous)
	assert.Equal(t, []int{0, 0, 2}, []int{members[0].place, members[1].place, members[2].place})
	assert.Equal(t, map[string]bool{mix.Substances[2].Key(): true}, ambiguous)
	of, later := cutAt(members, 0)
	assert.Len(t, of, 2)
	assert.Len(t, later, 1)
	total, from, cas := totalOf(of)
	assert.Equal(t, "5", total.Max.Exact())
	assert.Equal(t, []string{"b", "c"}, []string{from[0].Ingredient, from[1].Ingredient})
	assert.Equal(t, "cas of Exemplum Borealis Leaf Oil, cas of Exemplum Borealis", cas)
	total, from, cas = totalOf(later)
	assert.Equal(t, []string{"1", "a", "cas of Exemplol"}, []string{total.Max.Exact(), from[0].Ingredient, cas})
}

// Two lists of totals are alike where the same names go onto the label with the same
// contents; what does not go there may differ.
func TestDeclareAlike(t *testing.T) {
	of := func(pairs ...string) []AllergenTotal {
		var list []AllergenTotal
		for i := 0; i < len(pairs); i += 2 {
			a := AllergenTotal{LabelName: pairs[i], Verdict: Declare}
			if pairs[i+1] == "" {
				a.Verdict = Below
			} else {
				a.Whole = formulatest.Range(t, pairs[i+1])
			}
			list = append(list, a)
		}
		return list
	}
	for _, c := range []struct {
		a, b []AllergenTotal
		want bool
	}{
		{nil, nil, true},
		{of("A", "1"), of("A", "1"), true},
		{of("A", "1"), of("B", "1"), false},
		{of("A", "1"), of("A", "2"), false},
		{of("A", "1-3"), of("A", "2-2"), false},
		{of("A", "1-3"), of("A", "0-4"), false}, // the same on average
		{of("A", "1"), nil, false},
		{nil, of("A", "1"), false},
		{of("A", "1", "B", "2"), of("A", "1"), false},
		{of("A", "1"), of("A", "1", "B", "2"), false},
		{of("A", "1", "B", ""), of("A", "1"), true},
		{of("B", "", "A", "1"), of("A", "1"), true},
		{of("A", "1"), of("B", "", "C", "", "A", "1", "D", ""), true},
		{of("A", "1", "B", "2"), of("A", "1", "C", "", "B", "2"), true},
		{of("A", "1", "B", "2"), of("A", "1", "B", "3"), false},
		{of("B", ""), nil, true},
		{nil, of("B", ""), true},
		{of("A", "1", "A", "1"), of("A", "1"), false},
	} {
		assert.Equal(t, c.want, DeclareAlike(c.a, c.b), c)
	}
	x, y := of("A", "1")[0], of("A", "1")[0]
	for _, change := range []func(*exact.Range){func(r *exact.Range) { r.Min = exact.Int(0) },
		func(r *exact.Range) { r.Typ = exact.Int(0) }, func(r *exact.Range) { r.Max = exact.Int(2) }} {
		other := y
		change(&other.Whole)
		assert.False(t, DeclareAlike([]AllergenTotal{x}, []AllergenTotal{other}))
	}
	y.Verdict = Open
	assert.True(t, DeclareAlike([]AllergenTotal{x}, []AllergenTotal{y}), "possible excess goes onto the label too")
}

// The sheet that an entry stands for, and which parts: the first by its id.
func TestSheetOfAnEntry(t *testing.T) {
	in := &room{}
	var e ListEntry
	for _, x := range []struct {
		id   string
		part int
	}{{"b", 1}, {"b", 1}, {"b", 2}, {"a", 0}, {"gone", 3}} {
		e.take(x.id, x.part, in)
	}
	assert.Equal(t, []partsOf{{"b", []int{1, 2}}, {"a", []int{0}}, {"gone", []int{3}}}, e.From)
	a, b := &ingredients.Sheet{ID: "a"}, &ingredients.Sheet{ID: "b"}
	assert.Same(t, a, e.Sheet(map[string]*ingredients.Sheet{"a": a, "b": b}))
	assert.Same(t, b, e.Sheet(map[string]*ingredients.Sheet{"b": b}))
	assert.Nil(t, e.Sheet(nil))
}
