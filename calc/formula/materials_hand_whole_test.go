package formula_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/calc/limits"
	"gallipot/calc/listing"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// What the conditions of the law ask of materials.
func TestSituationOfMaterials(t *testing.T) {
	in := &formula.Input{Session: testSession(table.Builtin()), Sheets: map[string]*ingredients.Sheet{}, Materials: map[string]*formula.Material{}}
	add := func(id string, change func(*ingredients.Sheet)) {
		s := sheet(t, id, "Exemplum", "100")
		if change != nil {
			change(s)
		}
		in.Sheets[id], in.Materials[id] = s, formula.Prepare(s, ingredients.NewDictionary())
	}
	from := func(ids ...string) *formula.Substance {
		s := &formula.Substance{INCI: "Exemplum"}
		for _, id := range ids {
			s.Contributions = append(s.Contributions, formula.Contribution{Ingredient: id})
		}
		return s
	}
	for _, form := range []string{"powder", "liquid", "paste", "gas", "solid", ""} {
		add("form-"+form, func(s *ingredients.Sheet) { s.Form = form })
		want := law.No
		if form == "solid" || form == "" {
			want = law.Unknown
		}
		assert.Equal(t, want, limits.MassiveOf(in, from("form-"+form)), form)
	}
	assert.Equal(t, law.Unknown, limits.MassiveOf(in, from("form-powder", "form-solid")))
	assert.Equal(t, law.Unknown, limits.MassiveOf(in, from("missing")))

	add("paper", func(s *ingredients.Sheet) {
		s.Documents = []ingredients.Document{{Kind: "sds", File: "x"}, {Kind: "purity", File: "evidence/p.txt"}}
	})
	add("mentioned", func(s *ingredients.Sheet) { s.Documents = []ingredients.Document{{Kind: "purity"}} })
	add("plain", nil)
	assert.Equal(t, "evidence/p.txt", limits.PaperOf(in.Sheets["paper"], 20261128))
	assert.Equal(t, "purity statement", limits.PaperOf(in.Sheets["mentioned"], 20261128))
	assert.Equal(t, "", limits.PaperOf(in.Sheets["plain"], 20261128))
	assert.Equal(t, law.Yes, limits.RefiningOf(in, from("paper", "mentioned")))
	assert.Equal(t, law.Unknown, limits.RefiningOf(in, from("paper", "plain")))
	assert.Equal(t, law.Unknown, limits.RefiningOf(in, from("missing")))

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
	assert.Equal(t, "0.02", limits.ButadieneOf(in, from("by-name")).Exact())
	assert.Equal(t, "0.05", limits.ButadieneOf(in, from("by-name", "by-number")).Exact(), "the highest")
	assert.Equal(t, "0.05", limits.ButadieneOf(in, from("by-number", "by-name")).Exact())
	assert.Nil(t, limits.ButadieneOf(in, from("by-name", "other")), "one does not state it")
	assert.Nil(t, limits.ButadieneOf(in, from("missing")))

	// natural: what plants bring in; added as such it is not, and of a perfume nobody knows
	in.Sheets["plant"] = sheet(t, "plant", "Exemplum Flower Oil", "50", "Aqua", "50")
	in.Sheets["thin"] = sheet(t, "thin", "Exemplum Flower Oil", "49", "Aqua", "51")
	in.Sheets["scent"] = scentSheet("scent")
	for _, id := range []string{"plant", "thin", "scent"} {
		in.Materials[id] = formula.Prepare(in.Sheets[id], ingredients.NewDictionary())
	}
	assert.Equal(t, law.Yes, limits.NaturalOf(in, from("plant")), "half of it is enough")
	assert.Equal(t, law.No, limits.NaturalOf(in, from("thin")))
	assert.Equal(t, law.Unknown, limits.NaturalOf(in, from("plant", "scent")))
	assert.Equal(t, law.No, limits.NaturalOf(in, from("scent", "plain")))
	byTrace := from("plain", "plant")
	byTrace.Contributions[0].Route = formula.ByImpurity
	assert.Equal(t, law.Yes, limits.NaturalOf(in, byTrace))

	a, b := &law.Ages{From: 3, To: 12}, &law.Ages{From: 1, To: 10}
	assert.Equal(t, &law.Ages{From: 1, To: 12}, limits.Widest(a, b))
	assert.Equal(t, a, limits.Widest(a, nil))
	assert.Equal(t, b, limits.Widest(nil, b))
	assert.Nil(t, limits.Widest(nil, nil))

	pt, _ := law.ProductType(table.Builtin(), "body-lotion")
	yes := true
	s := limits.BaseSituation(&formula.Input{Session: testSession(table.Builtin()), Product: &formula.Product{IntendedFor: formula.Adults, Professional: &yes, Claims: []formula.Claim{{Text: "with SPF 15"}, {Text: "a sunscreen"}}}, Type: pt})
	assert.Equal(t, law.Yes, s.Professional)
	n := 0
	for _, c := range s.Claims {
		if c == "sun-protection" {
			n++
		}
	}
	assert.Equal(t, 1, n)
	for name, want := range map[string]bool{"Oil": false, " Oil ": false, "Hydrogenated Rapeseed Oil": false, "Sea Water": false, "PEG-40 Castor Oil": false, "Exemplum Absolute": true, "Exemplum Oils": false} {
		assert.Equal(t, want, formula.IsBotanical(table.Builtin(), name), name)
	}
}

// The order of a list: by content from 1 %, below it as wished, colourants last by name.
// Regulation (EC) 1223/2009, article 19(1)(g).
func TestOrderOfEntries(t *testing.T) {
	e := func(name, pct string, kind listing.EntryKind) listing.ListEntry {
		return listing.ListEntry{Name: name, Kind: kind, Pct: rangeOf(t, pct)}
	}
	rules := listing.ListRules{SortedFromPct: exact.Int(1), Tail: []string{"Tail B", "Tail A"}}
	plain := e("Plain", "50", "").Kind
	less := func(a, b listing.ListEntry) {
		t.Helper()
		assert.Negative(t, listing.CompareEntries(a, b, rules))
		assert.Positive(t, listing.CompareEntries(b, a, rules))
	}
	less(e("B", "2", plain), e("A", "1", plain))
	less(e("A", "2", plain), e("B", "2", plain))
	less(e("Z", "1", plain), e("Tail B", "0.99", plain))
	less(e("Tail B", "0.1", plain), e("Tail A", "0.9", plain))
	less(e("tail b", "0.1", plain), e("X", "0.9", plain))
	less(e("X", "0.9", plain), e("Y", "0.8", plain))
	less(e("X", "0.1", plain), e("Linalool", "0.9", listing.EntryAllergen))
	less(e("Linalool", "1", listing.EntryAllergen), e("X", "0.9", plain))
	less(e("Linalool", "0.1", listing.EntryAllergen), e("CI 10006", "5", listing.EntryColourant))
	less(e("CI 10006", "1", listing.EntryColourant), e("CI 77891", "5", listing.EntryColourant))
	assert.Equal(t, []int{0, 0, 1, 2, 3, 0}, []int{e("A", "2", plain).Rank(rules.SortedFromPct), e("A", "1", plain).Rank(rules.SortedFromPct), e("A", "0.5", plain).Rank(rules.SortedFromPct),
		e("A", "0.5", listing.EntryAllergen).Rank(rules.SortedFromPct), e("A", "5", listing.EntryColourant).Rank(rules.SortedFromPct), e("A", "5", listing.EntryAllergen).Rank(rules.SortedFromPct)})
	assert.Equal(t, []int{0, 1, 2}, []int{listing.Wished("TAIL B", rules.Tail), listing.Wished("Tail A", rules.Tail), listing.Wished("other", rules.Tail)})
	total := listing.AllergenTotal{LabelName: "Linalool", Verdict: listing.Declare, Whole: rangeOf(t, "0.1")}
	assert.Len(t, listing.AddAllergens([]listing.ListEntry{e("LINALOOL", "1", plain)}, []listing.AllergenTotal{total}), 1)
	got := listing.AddAllergens(nil, []listing.AllergenTotal{total, {LabelName: "Citral", Verdict: listing.Below}, {LabelName: "Geraniol", Verdict: listing.Unstated}})
	require.Len(t, got, 1)
	assert.Equal(t, listing.EntryAllergen, got[0].Kind)
	assert.Equal(t, "0.1", got[0].Pct.Max.Exact())

	// a pair is open only where the second can reach 1 %: of 10 % of a blend of 4 to 12 and
	// 8 to 16 %, 0.8 … 1.2 could be more than 0.4 … 1.2
	open := func(low, high string) int {
		blend := sheet(t, "blend", "A", low, "B", high, "Aqua", "q.s.")
		l, _ := order(withFormula(t, formula.Percent, "water", "q.s.", "blend", "10"), &formula.Variant{}, nil, sheet(t, "water", "Aqua", "100"), blend)
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
		days, ok := exposure.StudyDays(table.Builtin(), c.study)
		assert.Equal(t, c.days, days, c.study)
		assert.Equal(t, c.ok, ok, c.study)
	}
	for word, want := range map[string]exposure.PodKind{"NOAEL": exposure.PodEffect, " noel": exposure.PodEffect, "BMDL10": exposure.PodEffect, "LOAEL": exposure.PodLowest, "LOEL": exposure.PodLowest, "ADI": exposure.PodIntake, "TDI": exposure.PodIntake,
		"ARfD": exposure.PodIntake, "T25": exposure.PodTumour, "TD50": exposure.PodTumour, "": exposure.PodUnknown, "about 5": exposure.PodUnknown} {
		assert.Equal(t, want, exposure.KindOf(table.Builtin(), word), word)
	}
	pod := func(podType, study, value string) exposure.PoD {
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
	assert.Equal(t, []string{"One", "One", ""}, []string{exposure.FirstSentence("One. Two."), exposure.FirstSentence("One."), exposure.FirstSentence("")})
	assert.Equal(t, []int{0, 1}, []int{exposure.BoolRank(false), exposure.BoolRank(true)})
	for study, human := range map[string]bool{"Human volunteers": true, "rat; human data": false} {
		p := pod("NOAEL", study, "5")
		assert.Equal(t, human, p.Human(), study)
	}
}
