package listing

import (
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

type noColours struct{}

func (noColours) ColourName(inci string, _ []string) (string, bool) { return inci, formula.IsCI(inci) }

func (noColours) IsSubstrate(string) bool { return false }

// order resolves, composes and orders a plain variant.
func order(p *formula.Product, v *formula.Variant, tail []string, sheets ...*ingredients.Sheet) (*List,
	*formula.Composition) {
	dict := ingredients.NewDictionary()
	byID := map[string]*ingredients.Sheet{}
	for _, s := range sheets {
		byID[s.ID] = s
	}
	materials := formula.PrepareAll(byID, dict)
	r, _ := formula.Resolve(p, v, tolerance)
	c := formula.Compose(r.Whole, materials)
	return Gather(c, materials, noColours{}).Order(nil, ListRules{SortedFromPct: exact.Int(1), Tail: tail}), c
}

func TestOrderOfTheList(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "blend", "20", "mica", "2", "fo", "1",
		"gum", "0.3", "acid", "0.4", "exact", "1")
	l, _ := order(p, &formula.Variant{}, nil,
		formulatest.Sheet(t, "water", "Aqua", "100"),
		formulatest.Sheet(t, "blend", "Aqua", "60", "Decyl Glucoside", "40"),
		formulatest.Sheet(t, "mica", "Mica", "60", "CI 77891", "40"),
		formulatest.ScentSheet("fo"),
		formulatest.Sheet(t, "gum", "Xanthan Gum", "100"),
		formulatest.Sheet(t, "acid", "Citric Acid", "100"),
		formulatest.Sheet(t, "exact", "Zinc Oxide", "100"))
	// Exactly 1 % still stands in the sorted part (Article 19: "less than 1 %");
	// colourants come last even with 0.8 %.
	assert.Equal(t, "Aqua, Decyl Glucoside, Mica, Parfum, Zinc Oxide, Citric Acid, Xanthan Gum, CI 77891", l.Line())
	assert.Empty(t, l.Open)
}

func TestOrderBelowOnePercentAsWished(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "gum", "0.3", "acid", "0.4")
	l, _ := order(p, &formula.Variant{}, []string{"xanthan gum"},
		formulatest.Sheet(t, "water", "Aqua", "100"), formulatest.Sheet(t, "gum", "Xanthan Gum", "100"),
		formulatest.Sheet(t, "acid", "Citric Acid", "100"))
	assert.Equal(t, "Aqua, Xanthan Gum, Citric Acid", l.Line())
}

func TestOrderNano(t *testing.T) {
	s := formulatest.Sheet(t, "filter", "Titanium Dioxide", "100")
	s.Composition.Constituents[0].Nano = true
	p := formulatest.WithFormula(t, formula.Percent, "oil", "q.s.", "filter", "3")
	l, _ := order(p, &formula.Variant{}, nil, formulatest.Sheet(t, "oil", "Squalane", "100"), s)
	assert.Equal(t, "Squalane, Titanium Dioxide (nano)", l.Line())
}

func TestOrderUndeclaredRemainderStandsInTheList(t *testing.T) {
	s := formulatest.Sheet(t, "extract", "Glycerin", "60-80")
	s.Composition.Complete = false
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "extract", "10")
	l, _ := order(p, &formula.Variant{}, nil, formulatest.Sheet(t, "water", "Aqua", "100"), s)
	assert.Equal(t, "Aqua, Glycerin, [undeclared part of extract]", l.Line())
	s.Name = "Hedge Extract" // what the maker calls it, where that is known
	l, _ = order(p, &formula.Variant{}, nil, formulatest.Sheet(t, "water", "Aqua", "100"), s)
	assert.Equal(t, "Aqua, Glycerin, [undeclared part of Hedge Extract]", l.Line())
}

// One blend of 40-60 glucoside and the rest water, 50 % of the product: the two
// cannot vary apart. With 20 % added water the worst case is glucoside 60:
// Aqua 20 + 20 = 40, glucoside 30. The order holds.
// Taken apart, 20 + 0.5 × 40 − 0.5 × 60 would be the same here; with ranges 30-70
// it is Aqua 20 + 15 = 35 against 35: still not negative.
func TestOpenOrderOfOneBlend(t *testing.T) {
	for _, c := range []struct {
		glucoside string
		open      bool
		least     string
	}{{"40-60", false, ""}, {"30-70", false, ""}, {"30-71", true, "-1"}} {
		p := formulatest.WithFormula(t, formula.Percent, "water", "20", "blend", "50", "oil", "30")
		l, _ := order(p, &formula.Variant{}, nil, formulatest.Sheet(t, "water", "Aqua", "100"),
			formulatest.Sheet(t, "blend", "Decyl Glucoside", c.glucoside, "Aqua", "q.s."),
			formulatest.Sheet(t, "oil", "Squalane", "100"))
		// Squalane stands between the two in the list; the pair is tested directly.
		a, b := entryNamed(l, "Aqua"), entryNamed(l, "Decyl Glucoside")
		r, _ := formula.Resolve(p, &formula.Variant{}, tolerance)
		dict := ingredients.NewDictionary()
		materials := formula.PrepareAll(map[string]*ingredients.Sheet{
			"water": formulatest.Sheet(t, "water", "Aqua", "100"), "oil": formulatest.Sheet(t, "oil", "Squalane", "100"),
			"blend": formulatest.Sheet(t, "blend", "Decyl Glucoside", c.glucoside, "Aqua", "q.s."),
		}, dict)
		pair, open := openPair(&a, &b, shares(formula.UseOf(r.Whole)), materials)
		assert.Equal(t, c.open, open, c.glucoside)
		if c.open {
			assert.Equal(t, c.least, pair.LeastPct.Exact())
			assert.Equal(t, []string{"blend"}, pair.Materials)
		}
	}
}

func entryNamed(l *List, name string) ListEntry {
	i := slices.IndexFunc(l.Entries, func(e ListEntry) bool { return e.Name == name })
	return l.Entries[i]
}

// The smallest difference is compared with the smallest over every whole
// composition of two blends: whole bounds are reached at whole contents.
func TestLeastDifferenceAgainstEveryComposition(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for range 200 {
		lo, hi := make([]int, 3), make([]int, 3)
		var parts []string
		for i := range 3 {
			lo[i] = rng.IntN(50)
			hi[i] = min(100, lo[i]+rng.IntN(50))
			parts = append(parts, string(rune('A'+i)), rangeTextInt(lo[i], hi[i]))
		}
		if _, _, any := everyComposition(lo, hi); !any {
			continue
		}
		m := formula.Prepare(formulatest.Sheet(t, "m", parts...), ingredients.NewDictionary())
		least, _ := leastDifference(m, []int{0}, []int{1})
		want := 1000
		for a := lo[0]; a <= hi[0]; a++ {
			for b := lo[1]; b <= hi[1]; b++ {
				if c := 100 - a - b; c >= lo[2] && c <= hi[2] {
					want = min(want, a-b)
				}
			}
		}
		require.Equal(t, exact.Int(int64(want)).Exact(), least.Exact(), "%v %v", lo, hi)
	}
}

func rangeTextInt(lo, hi int) string { return strconv.Itoa(lo) + "-" + strconv.Itoa(hi) }

// article19 is the rule of Article 19(1)(g) taken step by step on exact
// contents: sort by weight, cut off what is below 1 %, colourants last.
func article19(names []string, pct map[string]exact.Num, colourant map[string]bool) (head []string, tail,
	colours map[string]bool) {
	tail, colours = map[string]bool{}, map[string]bool{}
	for _, n := range names {
		switch {
		case colourant[n]:
			colours[n] = true
		case pct[n].Less(exact.Int(1)):
			tail[n] = true
		default:
			head = append(head, n)
		}
	}
	for i := range head { // selection sort, the plainest there is
		for j := i + 1; j < len(head); j++ {
			if pct[head[i]].Less(pct[head[j]]) || pct[head[i]].Equal(pct[head[j]]) && head[j] < head[i] {
				head[i], head[j] = head[j], head[i]
			}
		}
	}
	return head, tail, colours
}

func TestOrderAgainstTheRuleStepByStep(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 300 {
		lines := []string{"water", "q.s."}
		sheets := []*ingredients.Sheet{formulatest.Sheet(t, "water", "Aqua", "100")}
		names := []string{"Aqua"}
		pct := map[string]exact.Num{}
		colourant := map[string]bool{}
		left := formula.Hundred
		for i := range 12 {
			name := "Substance " + string(rune('A'+i))
			if i%5 == 4 {
				name = "CI 7" + strconv.Itoa(7000+i)
				colourant[name] = true
			}
			n := exact.Frac(int64(rng.IntN(400)), 100)
			if i%3 == 0 {
				n = exact.Int(1) // ties at the boundary
			}
			if n.IsZero() {
				n = exact.Frac(1, 100)
			}
			id := "m" + strconv.Itoa(i)
			lines = append(lines, id, n.Exact())
			sheets = append(sheets, formulatest.Sheet(t, id, name, "100"))
			names, pct[name], left = append(names, name), n, left.Sub(n)
		}
		pct["Aqua"] = left
		l, _ := order(formulatest.WithFormula(t, formula.Percent, lines...), &formula.Variant{}, nil, sheets...)
		head, tail, colours := article19(names, pct, colourant)
		var got []string
		for _, e := range l.Entries {
			got = append(got, e.Name)
		}
		require.Equal(t, head, got[:len(head)])
		for _, n := range got[len(head) : len(head)+len(tail)] {
			require.True(t, tail[n], "%s in the free part", n)
		}
		for _, n := range got[len(head)+len(tail):] {
			require.True(t, colours[n], "%s among the colourants", n)
		}
	}
}

// What there is more of by the typical content comes first, whatever may be in it at
// most.
func TestSubstancesByTypicalContent(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "a", "10", "b", "90")
	_, c := order(p, &formula.Variant{}, nil, formulatest.Sheet(t, "a", "Glycerin", "10-80", "Aqua", "20-90"),
		formulatest.Sheet(t, "b", "Squalane", "94", "Betaine", "6"))
	var names []string
	for _, s := range c.Substances {
		names = append(names, s.INCI)
	}
	assert.Equal(t, []string{"Squalane", "Aqua", "Betaine", "Glycerin"}, names) // 84.6; 5.5, 5.4, 4.5: glycerin up to 8
	assert.Equal(t, "8", c.Substances[3].Total.Max.Exact())
}

// The order of a list: by content from 1 %, below it as wished, colourants last by name.
// Regulation (EC) 1223/2009, article 19(1)(g).
func TestOrderOfEntries(t *testing.T) {
	e := func(name, pct string, kind EntryKind) ListEntry {
		return ListEntry{Name: name, Kind: kind, Pct: formulatest.Range(t, pct)}
	}
	rules := ListRules{SortedFromPct: exact.Int(1), Tail: []string{"Tail B", "Tail A"}}
	plain := e("Plain", "50", "").Kind
	less := func(a, b ListEntry) {
		t.Helper()
		assert.Negative(t, compareEntries(a, b, rules))
		assert.Positive(t, compareEntries(b, a, rules))
	}
	less(e("B", "2", plain), e("A", "1", plain))
	less(e("A", "2", plain), e("B", "2", plain))
	less(e("Z", "1", plain), e("Tail B", "0.99", plain))
	less(e("Tail B", "0.1", plain), e("Tail A", "0.9", plain))
	less(e("tail b", "0.1", plain), e("X", "0.9", plain))
	less(e("X", "0.9", plain), e("Y", "0.8", plain))
	less(e("X", "0.1", plain), e("Linalool", "0.9", EntryAllergen))
	less(e("Linalool", "1", EntryAllergen), e("X", "0.9", plain))
	less(e("Linalool", "0.1", EntryAllergen), e("CI 10006", "5", EntryColourant))
	less(e("CI 10006", "1", EntryColourant), e("CI 77891", "5", EntryColourant))
	assert.Equal(t, []int{0, 0, 1, 2, 3, 0},
		[]int{e("A", "2", plain).Rank(rules.SortedFromPct), e("A", "1", plain).Rank(rules.SortedFromPct),
			e("A", "0.5", plain).Rank(rules.SortedFromPct),
			e("A", "0.5", EntryAllergen).Rank(rules.SortedFromPct),
			e("A", "5", EntryColourant).Rank(rules.SortedFromPct), e("A", "5", EntryAllergen).Rank(rules.SortedFromPct)})
	assert.Equal(t, []int{0, 1, 2},
		[]int{wished("TAIL B", rules.Tail), wished("Tail A", rules.Tail), wished("other", rules.Tail)})
	total := AllergenTotal{LabelName: "Linalool", Verdict: Declare, Whole: formulatest.Range(t, "0.1")}
	assert.Len(t, addAllergens([]ListEntry{e("LINALOOL", "1", plain)}, []AllergenTotal{total}), 1)
	got := addAllergens(nil, []AllergenTotal{total, {LabelName: "Citral", Verdict: Below},
		{LabelName: "Geraniol", Verdict: Unstated}})
	require.Len(t, got, 1)
	assert.Equal(t, EntryAllergen, got[0].Kind)
	assert.Equal(t, "0.1", got[0].Pct.Max.Exact())

	// a pair is open only where the second can reach 1 %: of 10 % of a blend of 4 to 12 and
	// 8 to 16 %, 0.8 … 1.2 could be more than 0.4 … 1.2
	open := func(low, high string) int {
		blend := formulatest.Sheet(t, "blend", "A", low, "B", high, "Aqua", "q.s.")
		l, _ := order(formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "blend", "10"),
			&formula.Variant{}, nil, formulatest.Sheet(t, "water", "Aqua", "100"), blend)
		return len(l.Open)
	}
	assert.Equal(t, 1, open("9-16", "4-12"))
	assert.Equal(t, 1, open("9-16", "4-10"), "exactly 1 %")
	assert.Equal(t, 0, open("9-16", "4-9.9"))
	assert.Equal(t, 0, open("12-16", "4-12"), "at most as much")
}
