package formula

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
)

// shared is an input whose variants share what is multiplied out.
func shared(t testing.TB, sheets ...*ingredients.Sheet) *Input {
	t.Helper()
	dict := ingredients.NewDictionary()
	in := &Input{Sheets: map[string]*ingredients.Sheet{}, Session: &Session{Dict: dict}, Shared: &Shared{}}
	for _, s := range sheets {
		in.Sheets[s.ID] = s
	}
	in.Materials = PrepareAll(in.Sheets, dict)
	return in
}

func mixture(t testing.TB, pairs ...string) Mixture {
	t.Helper()
	var m Mixture
	for i := 0; i < len(pairs); i += 2 {
		m.Shares = append(m.Shares, Share{Ingredient: pairs[i], Pct: num(t, pairs[i+1])})
	}
	return m
}

// Mixtures that share what is multiplied out hold what each holds alone: lines in common
// bring the very same substance, and lines that differ another. By hand, Exemplum Acid of
// a (50 %), b and c (pure): 10 of a and 5 of b make 10; 10 of a and 8 of c make 13.
func TestSharedMixtures(t *testing.T) {
	a, b := sheet(t, "a", "Exemplum Acid", "50", "Aqua", "50"), sheet(t, "b", "Exemplum Acid", "100")
	c, rest := sheet(t, "c", "Exemplum Acid", "100"), sheet(t, "rest", "Squalane", "100")
	in := shared(t, a, b, c, rest)
	first := in.Compose(mixture(t, "a", "10", "b", "5", "rest", "85"))
	again := in.Compose(mixture(t, "a", "10", "b", "5", "rest", "80"))
	other := in.Compose(mixture(t, "a", "10", "c", "8", "rest", "82"))
	for i, want := range []struct {
		of   *Composition
		acid string
		rest string
	}{{first, "10", "85"}, {again, "10", "80"}, {other, "13", "82"}} {
		assert.Equal(t, want.acid, want.of.Find("Exemplum Acid").Pct.Typ.Exact(), i)
		assert.Len(t, want.of.Find("Exemplum Acid").Contributions, 2)
		assert.Equal(t, "5", want.of.Find("Aqua").Pct.Typ.Exact())
		assert.Equal(t, want.rest, want.of.Find("Squalane").Pct.Typ.Exact(), i)
		assert.Equal(t, "Squalane", want.of.Substances[0].INCI, "most of it comes first")
	}
	assert.Same(t, first.Find("Exemplum Acid"), again.Find("Exemplum Acid"))
	assert.Same(t, first.Find("Aqua"), other.Find("Aqua"))
	for _, x := range []struct {
		of   *Composition
		name string
		want bool
	}{{first, "Exemplum Acid", false}, {first, "Aqua", false}, {again, "Exemplum Acid", true}, {again, "Aqua", true},
		{again, "Squalane", false}, {other, "Exemplum Acid", false}, {other, "Aqua", true}} {
		assert.Equal(t, x.want, x.of.Again(x.of.Find(x.name)), x.name)
	}
	assert.Nil(t, first.Find("Glycerin"))

	// what one mixture has and the other has not
	small := in.Compose(mixture(t, "rest", "100"))
	assert.Nil(t, small.Same(first.Find("Aqua")))
	assert.Nil(t, small.Named("aqua"))
	assert.False(t, small.Again(first.Find("Aqua")))
	assert.Same(t, first.Find("Squalane"), first.Same(small.Find("Squalane")))
	// the substances of another product are told by their names
	elsewhere := shared(t, sheet(t, "oil", "Squalane", "100"), sheet(t, "more", "Aqua", "100")).
		Compose(mixture(t, "oil", "40", "more", "60"))
	assert.Equal(t, "85", first.Same(elsewhere.Find("Squalane")).Pct.Typ.Exact())
	assert.Equal(t, "5", first.Same(elsewhere.Find("Aqua")).Pct.Typ.Exact())
	assert.False(t, again.Again(elsewhere.Find("Aqua")), "of that number, but another product's")

	// what was put together by hand has no numbers
	loose := &Composition{Substances: []*Substance{{INCI: "Aqua"}, {INCI: "Squalane"}}}
	assert.Same(t, loose.Substances[0], loose.Find("Aqua"))
	assert.Same(t, loose.Substances[1], loose.Same(first.Find("Squalane")))
	assert.Nil(t, loose.Find("Glycerin"))
	assert.False(t, loose.Again(loose.Substances[0]))
	assert.Equal(t, "5", first.Same(&Substance{INCI: "Aqua"}).Pct.Typ.Exact())
}

// A substance that only a later line brings has a number beyond those of the first mixture.
func TestNumbersOfALaterMixture(t *testing.T) {
	in := shared(t, sheet(t, "a", "Aqua", "100"), sheet(t, "b", "Glycerin", "100"), sheet(t, "c", "Squalane", "100"))
	first := in.Compose(mixture(t, "a", "100"))
	later := in.Compose(mixture(t, "a", "50", "b", "20", "c", "30"))
	for _, name := range []string{"Glycerin", "Squalane"} {
		assert.Nil(t, first.Find(name))
		assert.Nil(t, first.Same(later.Find(name)))
		assert.False(t, first.Again(later.Find(name)))
	}
	assert.Equal(t, "20", later.Find("Glycerin").Pct.Typ.Exact())
}

// Equal contents are listed by the most there may be, then by name.
func TestOrderOfSubstances(t *testing.T) {
	of := func(name, pct string) *Substance {
		return &Substance{INCI: name, Pct: rangeOf(t, pct), Total: rangeOf(t, pct)}
	}
	assert.Negative(t, byContent(of("B", "2"), of("A", "1")))
	assert.Positive(t, byContent(of("A", "1"), of("B", "2")))
	assert.Negative(t, byContent(of("B", "2"), of("A", "0-3")), "2, not 1.5 which may be 3")
	assert.Positive(t, byContent(of("A", "0-3"), of("B", "2")))
	assert.Negative(t, byContent(of("B", "0-2"), of("A", "1")), "1 on average, but up to 2")
	assert.Positive(t, byContent(of("A", "1"), of("B", "0-2")))
	assert.Negative(t, byContent(of("A", "1"), of("B", "1")))
	assert.Positive(t, byContent(of("B", "1"), of("A", "1")))
}

// By hand: declared 0.2 % beside 0.5 to 1 % listed counts nothing more; a trace of 10 ppm in
// 20 % of the product makes 0.0002 %, and is no ingredient.
func TestRoutesOfASubstance(t *testing.T) {
	m := declared(t, sheet(t, "m", "Linalool", "0.5-1", "Aqua", "q.s."), ingredients.List2023, "Linalool",
		"0.2", "Limonene", "0.1")
	m.Impurities = []ingredients.Impurity{{Name: "Exemplum Trace", Amount: amount(t, "10 ppm")}}
	part := sheet(t, "part", "Glycerin", "40")
	part.Composition.Complete = false
	in := shared(t, m, part, sheet(t, "rest", "Squalane", "100"))
	c := in.Compose(mixture(t, "m", "20", "part", "10", "rest", "70"))
	trace := c.Find("Exemplum Trace")
	require.NotNil(t, trace)
	assert.Equal(t, [3]string{"0.0002", "0.0002", "0.0002"}, exactRange(trace.Total))
	assert.Equal(t, [3]string{"0", "0", "0"}, exactRange(trace.Pct))
	assert.Equal(t, [3]string{"0.1", "0.15", "0.2"}, exactRange(c.Find("Linalool").Total))
	assert.Equal(t, [3]string{"0.02", "0.02", "0.02"}, exactRange(c.Find("Limonene").Total))
	for name, is := range map[string]bool{"Exemplum Trace": false, "Limonene": false, "Linalool": true, "Aqua": true} {
		assert.Equal(t, is, c.Find(name).IsIngredient(), name)
	}
	assert.Equal(t, "0.0002", trace.ByRoute(ByImpurity).Max.Exact())
	assert.True(t, trace.ByRoute(ByComposition).IsZero())
	open := c.Find("undeclared part of part")
	require.NotNil(t, open)
	assert.True(t, open.Undeclared)
	assert.False(t, c.Find("Glycerin").Undeclared)
	mat := in.Materials["m"]
	assert.Equal(t, []Content{{ingredients.NameKey("Limonene"), rangeOf(t, "0.1")}}, mat.DeclaredAs(1))
	assert.Equal(t, []Content{{ingredients.NameKey("Exemplum Trace"), rangeOf(t, "10 ppm")}}, mat.ImpurityAs(0))
}

// Functions of the materials of a substance, each once, whatever the order they come in.
func TestFunctionsOfASubstance(t *testing.T) {
	none, a, b := sheet(t, "none", "Exemplum", "100"), sheet(t, "a", "Exemplum", "100"), sheet(t, "b", "Exemplum", "100")
	a.Functions, b.Functions = []string{"buffering", "buffering", "chelating"}, []string{"chelating", "masking"}
	in := shared(t, none, a, b)
	of := func(pairs ...string) []string { return in.Compose(mixture(t, pairs...)).Find("Exemplum").Functions }
	assert.Equal(t, []string{"buffering", "chelating", "masking"}, of("a", "50", "b", "50"))
	assert.Equal(t, []string{"chelating", "masking", "buffering"}, of("b", "50", "a", "50"))
	assert.Equal(t, []string{"buffering", "chelating"}, of("none", "50", "a", "50"))
	assert.Equal(t, []string{"buffering", "chelating"}, of("a", "50", "none", "50"))
	assert.Empty(t, of("none", "100"))
}

// Composed substances of one CAS number are joined too, and what has none is left alone.
func TestJoinedNumbersOfComposed(t *testing.T) {
	a, b := coded(sheet(t, "a", "Exemplum Acid", "100"), "999999-99-4"), coded(sheet(t, "b", "Acid of Example",
		"100"), "999999-99-4")
	in := shared(t, a, b, sheet(t, "c", "Aqua", "100"))
	got := JoinNumbers([]*Composition{in.Compose(mixture(t, "a", "60", "b", "40"))})
	require.Len(t, got[0].Substances, 1)
	assert.Equal(t, "100", got[0].Substances[0].Pct.Typ.Exact())
	apart := []*Composition{shared(t, a, sheet(t, "c", "Aqua", "100"), sheet(t, "d", "Glycerin", "100")).
		Compose(mixture(t, "a", "60", "c", "30", "d", "10"))}
	assert.Same(t, apart[0], JoinNumbers(apart)[0])
}

// A memory computes what it is asked for once.
func TestMemories(t *testing.T) {
	var m Memo[string, int]
	calls := 0
	compute := func() int { calls++; return 7 }
	assert.Equal(t, []int{7, 7, 7}, []int{m.Of("a", compute), m.Of("a", compute), OfBytes(&m, []byte("a"), compute)})
	assert.Equal(t, 1, calls)
	assert.Equal(t, []int{7, 7}, []int{OfBytes(&m, []byte("b"), compute), m.Of("b", compute)})
	assert.Equal(t, 2, calls)

	type memory struct{ Memo[string, int] }
	s := NewSession(table.Builtin())
	assert.Same(t, MemoryOf[memory](s), MemoryOf[memory](s))
	assert.NotSame(t, MemoryOf[memory](s), MemoryOf[memory](NewSession(table.Builtin())))
	in := &Input{Session: s}
	assert.Nil(t, SharedOf[memory](in))
	in.Shared = &Shared{}
	assert.Same(t, SharedOf[memory](in), SharedOf[memory](in))

	// of a material: for the tables that asked first
	mat := Prepare(sheet(t, "m", "Aqua", "100"), ingredients.NewDictionary())
	assert.Nil(t, MaterialMemory[memory](in, nil))
	kept := MaterialMemory[memory](in, mat)
	require.NotNil(t, kept)
	assert.Same(t, kept, MaterialMemory[memory](in, mat))
	more := table.Builtin().WithLimits([]*annex.Limit{{Annex: "own", Entry: "x", Names: []string{"Exemplum"}}})
	assert.Nil(t, MaterialMemory[memory](&Input{Session: NewSession(more)}, mat))
}

// A declaration against the list of 2023 answers for every entry, one against the list of
// 2003 for its own alone, and one against no list for none.
func TestWhatADeclarationCovers(t *testing.T) {
	old, young := &annex.Allergen{Regime: "2003-list"}, &annex.Allergen{Regime: "2023-list"}
	assert.Equal(t, []bool{true, true, true, false, false, false}, []bool{Covers(old, ingredients.List2023),
		Covers(young, ingredients.List2023), Covers(old, ingredients.List2003), Covers(young, ingredients.List2003),
		Covers(old, ""), Covers(young, "")})
}

// Half of a material under the names of plant materials makes it one.
func TestMostlyBotanical(t *testing.T) {
	tables := table.Builtin()
	for name, want := range map[string]bool{"Lavandula Angustifolia Oil": true, "Rosa Damascena Flower Water": true,
		"Oil": false, "Squalane": false, "Mineral Oil": false, "Glycerin": false} {
		assert.Equal(t, want, IsBotanical(tables, name), name)
	}
	for pct, want := range map[string]bool{"49.9": false, "50": true, "50.5": true, "100": true, "0": false} {
		m := Prepare(sheet(t, "m", "Lavandula Angustifolia Oil", pct, "Squalane", "q.s."), tables.Dictionary())
		assert.Equal(t, want, m.MostlyBotanical(tables), pct)
	}
}

// Whether two substances have one number is known before any mixture is looked into: nano
// forms are another substance, and what has no number pairs with nothing.
func TestSubstancesThatMayPair(t *testing.T) {
	n := &numbers{}
	for i, name := range []Name{{merge: "aqua"}, {merge: "a", cas: "50-00-0"}, {merge: "b", cas: "56-81-5"},
		{merge: "c"}, {merge: "a (nano)", cas: "50-00-0", nano: true}} {
		assert.Equal(t, i, n.number(&name))
		assert.Equal(t, i, n.number(&name), "once numbered it stays")
	}
	assert.False(t, n.mayPair())
	assert.Equal(t, 5, n.number(&Name{merge: "d", cas: "56-81-5"}))
	assert.True(t, n.mayPair())
}
