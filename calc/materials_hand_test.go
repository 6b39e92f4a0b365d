package calc

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// What is said of sheets whose compositions do not add up, by hand.
func TestCompositionsInWords(t *testing.T) {
	dict := ingredients.NewDictionary()
	one := func(s *ingredients.Sheet) ingredients.Finding {
		m := Prepare(supplied(s, "Alder Supplies (invented)", "A-7"), dict)
		require.Len(t, m.Findings, 1)
		return m.Findings[0]
	}
	f := one(sheet(t, "m", "A", "60-70", "B", "50", "C", "0-1"))
	assert.Equal(t, []string{"stop impossible-composition"}, codes([]ingredients.Finding{f}))
	assert.Equal(t, "the constituents cannot add up to 100 %: the lowest contents already make 60 + 50 + 0 = 110 %", said(f).Message)
	assert.Equal(t, "correct the contents against the supplier's document; a range in ppm needs its unit", said(f).Fix)
	f = one(sheet(t, "m", "A", "60-70", "B", "10"))
	assert.Equal(t, "the constituents cannot add up to 100 %: the highest contents make only 70 + 10 = 80 %", said(f).Message)
	assert.Equal(t, "add the missing constituent, write q.s. for the one that takes the rest, or set complete: false", said(f).Fix)
	f = one(sheet(t, "m", "A", "70", "Aqua", "q.s.", "B", "40"))
	assert.Equal(t, "the constituents cannot add up to 100 %: the lowest contents already make 70 + 40 = 110 %", said(f).Message)

	part := sheet(t, "m", "A", "40")
	part.Composition.Complete = false
	f = one(part)
	assert.Equal(t, []string{"ask undeclared-remainder"}, codes([]ingredients.Finding{f}))
	assert.Equal(t, "part of it is undisclosed, so it could not be checked against any limit", said(f).Message)
	assert.Equal(t, "ask Alder Supplies (invented) for the full composition of m (code A-7)", said(f).Fix)
	m := Prepare(part, dict)
	require.Len(t, m.Parts, 2)
	assert.Equal(t, []string{"undeclared part of m", "60", "not supplied"}, []string{m.Parts[1].INCI, m.Parts[1].Pct.Typ.Exact(), m.Parts[1].Given})
	assert.True(t, m.Parts[1].Undeclared)
	part.Composition.HeldByAssessor = true
	f = one(part)
	assert.Equal(t, []string{"note undeclared-remainder"}, codes([]ingredients.Finding{f}))
	assert.Equal(t, "part of its composition is known only to the assessor, who holds it in confidence", said(f).Message)
	assert.Equal(t, "let the assessor check limits and allergens of the part that is not disclosed here", said(f).Fix)

	// all of it declared after all: no part is left
	full := sheet(t, "m", "A", "100")
	full.Composition.Complete = false
	assert.Len(t, Prepare(full, dict).Parts, 1)
	none := sheet(t, "m", "A", "100", "B", "0")
	assert.Len(t, Prepare(none, dict).Parts, 2, "a constituent of 0 % stays")

	scent := scentSheet("fo")
	m = Prepare(scent, dict)
	require.Len(t, m.Parts, 1)
	assert.Empty(t, m.Findings)
	assert.Equal(t, []string{"Parfum", "100", "not disclosed"}, []string{m.Parts[0].INCI, m.Parts[0].Pct.Typ.Exact(), m.Parts[0].Given})
	assert.False(t, m.Parts[0].Undeclared)
	scent.LabelAs = ingredients.LabelAroma
	assert.Equal(t, "Aroma", Prepare(scent, dict).Parts[0].INCI)

	// declared contents: exactly 100 % can be, and lowest contents count
	fs := declarationFindings(declared(t, scentSheet("fo"), ingredients.List2023, "A", "60-90", "B", "40-80"), dict)
	assert.Empty(t, fs)
	fs = declarationFindings(declared(t, scentSheet("fo"), ingredients.List2023, "A", "60", "B", "40.5"), dict)
	require.Len(t, fs, 1)
	assert.Equal(t, "the declared allergens add up to 100.5 % of it, which is more than the whole", said(fs[0]).Message)
	twice := declared(t, scentSheet("fo"), ingredients.List2023, "A", "1", "B", "1", "a", "2")
	twice.Allergens.Declared[0].Pos.Line = 4
	fs = declarationFindings(twice, dict)
	require.Len(t, fs, 1)
	assert.Equal(t, "a is declared twice, first on line 4, and both are added", said(fs[0]).Message)
}

// What the conditions of the law ask of materials.
func TestSituationOfMaterials(t *testing.T) {
	in := &Input{Session: testSession(law.Builtin()), Sheets: map[string]*ingredients.Sheet{}, Materials: map[string]*Material{}}
	add := func(id string, change func(*ingredients.Sheet)) {
		s := sheet(t, id, "Exemplum", "100")
		if change != nil {
			change(s)
		}
		in.Sheets[id], in.Materials[id] = s, Prepare(s, ingredients.NewDictionary())
	}
	from := func(ids ...string) *Substance {
		s := &Substance{INCI: "Exemplum"}
		for _, id := range ids {
			s.Contributions = append(s.Contributions, Contribution{Ingredient: id})
		}
		return s
	}
	for _, form := range []string{"powder", "liquid", "paste", "gas", "solid", ""} {
		add("form-"+form, func(s *ingredients.Sheet) { s.Form = form })
		want := law.No
		if form == "solid" || form == "" {
			want = law.Unknown
		}
		assert.Equal(t, want, massiveOf(in, from("form-"+form)), form)
	}
	assert.Equal(t, law.Unknown, massiveOf(in, from("form-powder", "form-solid")))
	assert.Equal(t, law.Unknown, massiveOf(in, from("missing")))

	add("paper", func(s *ingredients.Sheet) {
		s.Documents = []ingredients.Document{{Kind: "sds", File: "x"}, {Kind: "purity", File: "evidence/p.txt"}}
	})
	add("mentioned", func(s *ingredients.Sheet) { s.Documents = []ingredients.Document{{Kind: "purity"}} })
	add("plain", nil)
	assert.Equal(t, "evidence/p.txt", paperOf(in.Sheets["paper"], 20261128))
	assert.Equal(t, "purity statement", paperOf(in.Sheets["mentioned"], 20261128))
	assert.Equal(t, "", paperOf(in.Sheets["plain"], 20261128))
	assert.Equal(t, law.Yes, refiningOf(in, from("paper", "mentioned")))
	assert.Equal(t, law.Unknown, refiningOf(in, from("paper", "plain")))
	assert.Equal(t, law.Unknown, refiningOf(in, from("missing")))

	trace := func(name, cas, amount string) func(*ingredients.Sheet) {
		return func(s *ingredients.Sheet) {
			impure(t, s, "Lead", "5")
			impure(t, s, name, amount)
			s.Impurities[1].CAS = cas
		}
	}
	add("by-name", trace("1,3-Butadiene", "", "0.02"))
	add("by-number", trace("divinyl", "106-99-0", "0.01-0.05"))
	add("other", trace("Isobutane", "75-28-5", "0.4"))
	assert.Equal(t, "0.02", butadieneOf(in, from("by-name")).Exact())
	assert.Equal(t, "0.05", butadieneOf(in, from("by-name", "by-number")).Exact(), "the highest")
	assert.Equal(t, "0.05", butadieneOf(in, from("by-number", "by-name")).Exact())
	assert.Nil(t, butadieneOf(in, from("by-name", "other")), "one does not state it")
	assert.Nil(t, butadieneOf(in, from("missing")))

	// natural: what plants bring in; added as such it is not, and of a perfume nobody knows
	in.Sheets["plant"] = sheet(t, "plant", "Exemplum Flower Oil", "50", "Aqua", "50")
	in.Sheets["thin"] = sheet(t, "thin", "Exemplum Flower Oil", "49", "Aqua", "51")
	in.Sheets["scent"] = scentSheet("scent")
	for _, id := range []string{"plant", "thin", "scent"} {
		in.Materials[id] = Prepare(in.Sheets[id], ingredients.NewDictionary())
	}
	assert.Equal(t, law.Yes, naturalOf(in, from("plant")), "half of it is enough")
	assert.Equal(t, law.No, naturalOf(in, from("thin")))
	assert.Equal(t, law.Unknown, naturalOf(in, from("plant", "scent")))
	assert.Equal(t, law.No, naturalOf(in, from("scent", "plain")))
	byTrace := from("plain", "plant")
	byTrace.Contributions[0].Route = ByImpurity
	assert.Equal(t, law.Yes, naturalOf(in, byTrace))

	a, b := &law.Ages{From: 3, To: 12}, &law.Ages{From: 1, To: 10}
	assert.Equal(t, &law.Ages{From: 1, To: 12}, widest(a, b))
	assert.Equal(t, a, widest(a, nil))
	assert.Equal(t, b, widest(nil, b))
	assert.Nil(t, widest(nil, nil))

	pt, _ := law.Builtin().ProductType("body-lotion")
	yes := true
	s := baseSituation(&Input{Session: testSession(law.Builtin()), Product: &Product{IntendedFor: Adults, Professional: &yes, Claims: []Claim{{Text: "with SPF 15"}, {Text: "a sunscreen"}}}, Type: pt})
	assert.Equal(t, law.Yes, s.Professional)
	n := 0
	for _, c := range s.Claims {
		if c == "sun-protection" {
			n++
		}
	}
	assert.Equal(t, 1, n)
	for name, want := range map[string]bool{"Oil": false, " Oil ": false, "Hydrogenated Rapeseed Oil": false, "Sea Water": false, "PEG-40 Castor Oil": false, "Exemplum Absolute": true, "Exemplum Oils": false} {
		assert.Equal(t, want, isBotanical(law.Builtin(), name), name)
	}
}

// Substances under one CAS number are joined, nano forms apart; what has no number or
// is undeclared is left alone.
func TestJoinedNumbers(t *testing.T) {
	s := func(inci, cas, pct string) *Substance {
		return &Substance{INCI: inci, CAS: cas, key: substanceKey(inci, false), Pct: rangeOf(t, pct), Total: rangeOf(t, pct), Contributions: []Contribution{{Ingredient: inci}}}
	}
	comp := func(ss ...*Substance) *Composition { return &Composition{Substances: ss} }
	assert.Equal(t, []string{"64-17-5", "64-17-5 (nano)", "", ""}, []string{numberKey(&Substance{CAS: "64-17-5"}), numberKey(&Substance{CAS: "64-17-5", Nano: true}),
		numberKey(&Substance{}), numberKey(&Substance{CAS: "64-17-5", Undeclared: true})})
	single := []*Composition{comp(s("A", "64-17-5", "1"), s("B", "67-56-1", "2"), s("C", "", "3"), s("D", "", "4"))}
	assert.Same(t, single[0], joinNumbers(single)[0])
	pair := []*Composition{comp(s("A", "64-17-5", "1"), s("B", "67-56-1", "2"), s("E", "64-17-5", "0.5")), comp(s("E", "64-17-5", "0.5"))}
	got := joinNumbers(pair)
	require.Len(t, got, 2)
	require.Len(t, got[0].Substances, 2)
	a := got[0].Substances[0]
	assert.Equal(t, []string{"A", "1.5", "1.5"}, []string{a.INCI, a.Pct.Typ.Exact(), a.Total.Max.Exact()})
	assert.Len(t, a.Contributions, 2)
	assert.Same(t, a, got[0].byKey["a"])
	assert.Equal(t, "A", got[1].Substances[0].INCI, "under the first name of the whole in a portion too")
	assert.Equal(t, "1", pair[0].Substances[0].Pct.Typ.Exact(), "what was joined stays as it was")
}

// The order of a list: by content from 1 %, below it as wished, colourants last by name.
// Regulation (EC) 1223/2009, article 19(1)(g).
func TestOrderOfEntries(t *testing.T) {
	e := func(name, pct string, kind EntryKind) ListEntry {
		return ListEntry{Name: name, Kind: kind, Pct: rangeOf(t, pct)}
	}
	rules := ListRules{SortedFromPct: ingredients.Int(1), Tail: []string{"Tail B", "Tail A"}}
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
	assert.Equal(t, []int{0, 0, 1, 2, 3, 0}, []int{e("A", "2", plain).rank(rules.SortedFromPct), e("A", "1", plain).rank(rules.SortedFromPct), e("A", "0.5", plain).rank(rules.SortedFromPct),
		e("A", "0.5", EntryAllergen).rank(rules.SortedFromPct), e("A", "5", EntryColourant).rank(rules.SortedFromPct), e("A", "5", EntryAllergen).rank(rules.SortedFromPct)})
	assert.Equal(t, []int{0, 1, 2}, []int{wished("TAIL B", rules.Tail), wished("Tail A", rules.Tail), wished("other", rules.Tail)})
	total := AllergenTotal{LabelName: "Linalool", Verdict: Declare, Whole: rangeOf(t, "0.1")}
	assert.Len(t, addAllergens([]ListEntry{e("LINALOOL", "1", plain)}, []AllergenTotal{total}), 1)
	got := addAllergens(nil, []AllergenTotal{total, {LabelName: "Citral", Verdict: Below}, {LabelName: "Geraniol", Verdict: Unstated}})
	require.Len(t, got, 1)
	assert.Equal(t, EntryAllergen, got[0].Kind)
	assert.Equal(t, "0.1", got[0].Pct.Max.Exact())

	// a pair is open only where the second can reach 1 %: of 10 % of a blend of 4 to 12 and
	// 8 to 16 %, 0.8 … 1.2 could be more than 0.4 … 1.2
	open := func(low, high string) int {
		blend := sheet(t, "blend", "A", low, "B", high, "Aqua", "q.s.")
		l, _ := order(formula(t, Percent, "water", "q.s.", "blend", "10"), &Variant{}, nil, sheet(t, "water", "Aqua", "100"), blend)
		return len(l.Open)
	}
	assert.Equal(t, 1, open("9-16", "4-12"))
	assert.Equal(t, 1, open("9-16", "4-10"), "exactly 1 %")
	assert.Equal(t, 0, open("9-16", "4-9.9"))
	assert.Equal(t, 0, open("12-16", "4-12"), "at most as much")
}

// Studies of a sheet, their length and route, in words.
func TestStudiesOfASheet(t *testing.T) {
	for _, c := range []struct {
		study string
		days  float64
		ok    bool
	}{
		{"28 days", 28, true}, {"28-day", 28, true}, {"4 weeks", 28, true}, {"13 week", 91, true}, {"14 days, then 90 days", 90, true}, {"90 days after 14 days", 90, true},
		{"two generations", 0, false}, {"reproduction, 28 days", 0, false}, {"gestation, 14 days", 0, false}, {"teratology 10 days", 0, false}, {"development 10 days", 0, false}, {"", 0, false},
		{"99999999999999999999 days", 0, false},
	} {
		days, ok := studyDays(law.Builtin(), c.study)
		assert.Equal(t, c.days, days, c.study)
		assert.Equal(t, c.ok, ok, c.study)
	}
	for word, want := range map[string]podKind{"NOAEL": podEffect, " noel": podEffect, "BMDL10": podEffect, "LOAEL": podLowest, "LOEL": podLowest, "ADI": podIntake, "TDI": podIntake,
		"ARfD": podIntake, "T25": podTumour, "TD50": podTumour, "": podUnknown, "about 5": podUnknown} {
		assert.Equal(t, want, kindOf(law.Builtin(), word), word)
	}
	pod := func(podType, study, value string) PoD {
		m := sheet(t, "m", "Exemplum Acid", "100")
		tox(t, m, podType, value, "20", "60").Study = study
		x := marginOf(t, job(t, "body-lotion", "1", m, nil), "Exemplum Acid")
		if x.PoD != nil {
			return *x.PoD
		}
		require.NotEmpty(t, x.Others)
		return x.Others[0]
	}
	p := pod("NOAEL", "rat, oral, 28 days", "300")
	require.NotNil(t, p.DurationFactor)
	assert.Equal(t, "study of 28 days", p.DurationFactor.Note)
	assert.InDelta(t, 60, p.Sys, 1e-9) // 300 / 3 × 60 %
	assert.Equal(t, "oral absorption stated on sheet m", p.SystemicWhy)
	assert.Nil(t, pod("NOAEL", "rat, oral, 29 days", "300").DurationFactor)
	assert.Equal(t, "", pod("NOAEL", "rat", "300").Unusable)
	p = pod("LOAEL", "rat, oral, 90 days", "300")
	assert.Equal(t, 3.0, p.LOAELFactor.Value)
	assert.InDelta(t, 60, p.Sys, 1e-9)
	p = pod("NOAEL", "rabbit, dermal, 90 days", "300")
	assert.Equal(t, "dermal study: dermal absorption, taken as in the test species", p.SystemicWhy)
	assert.InDelta(t, 60, p.Sys, 1e-9) // 300 × 20 %
	assert.Equal(t, "inhalation study: the assessor converts it by breathing volume and absorption", pod("NOAEL", "rat, inhalation, 90 days", "300").Unusable)
	assert.Equal(t, "ADI is a safe intake already, not a point of departure: it is not divided again", pod("ADI", "", "5").Unusable)
	assert.Equal(t, "T25 is a dose that causes tumours, not one without effect: margin of exposure, not margin of safety", pod("T25", "", "5").Unusable)
	assert.Equal(t, `"guess" is not known as a point of departure`, pod("guess", "", "5").Unusable)
	assert.Equal(t, "a value of 0 is no point of departure", pod("NOAEL", "", "0").Unusable)
	assert.Equal(t, []string{"One", "One", ""}, []string{firstSentence("One. Two."), firstSentence("One."), firstSentence("")})
	assert.Equal(t, []int{0, 1}, []int{boolRank(false), boolRank(true)})
	for study, human := range map[string]bool{"Human volunteers": true, "rat; human data": false} {
		p := pod("NOAEL", study, "5")
		assert.Equal(t, human, p.Human(), study)
	}
}

func TestFiguresBesideBounds(t *testing.T) {
	assert.Equal(t, "1000", figureText(999.96))
	assert.Equal(t, "1", figureText(0.99999))
	assert.Equal(t, "-12.35", figureText(-12.345001))
	assert.Equal(t, "99.99", figureBeside(99.99, 100))
	assert.Equal(t, "99.996", figureBeside(99.996, 100), "with four digits it would stand at the bound")
	assert.Equal(t, "100", figureBeside(100, 100))
	assert.Equal(t, "100.1", figureBeside(100.1, 100))
	assert.Equal(t, "0", figureDown(0))
	assert.Equal(t, "0", figureDown(-1))
	assert.Equal(t, "123", figureDown(123.9))
	assert.Equal(t, "99.9", figureDown(99.99))
	assert.Equal(t, "0.3", figureDown(0.3))
	assert.Equal(t, "0.00123", figureDown(0.0012399))
	assert.Equal(t, 0.0, parseFigure("none"))
	assert.Equal(t, 2.5, parseFigure("2.5"))
}
