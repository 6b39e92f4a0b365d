package calc

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// What is said of a list that cannot be printed as it stands.
func TestListFindingsInWords(t *testing.T) {
	blend := supplied(sheet(t, "blend", "A", "9-16", "B", "4-12", "Aqua", "q.s."), "Alder Supplies (invented)", "")
	blend.Composition.Pos = ingredients.Pos{File: "ingredients/blend.yaml", Line: 5}
	in := &Input{Session: testSession(law.Builtin()), Product: &Product{ID: "test", Pos: ingredients.Pos{File: "p", Line: 1}, TailPos: ingredients.Pos{File: "p", Line: 9}}, Sheets: map[string]*ingredients.Sheet{"blend": blend}}
	pair := OpenPair{First: "A", Second: "B", LeastPct: num(t, "-0.31234"), Materials: []string{"blend", "other"}}
	list := func(pair OpenPair) ingredients.Finding {
		fs := listFindings(in, &Result{List: &List{Open: []OpenPair{pair}}})
		require.Equal(t, []string{"ask open-order"}, codes(fs))
		return fs[0]
	}
	f := list(pair)
	assert.Equal(t, "listed in this order by typical content, but within the ranges declared the first could be less than the second", said(f).Message)
	assert.Equal(t, "ask for the exact composition of blend or other", said(f).Fix)
	assert.Equal(t, "Alder Supplies (invented)", said(f).Ask)
	assert.Equal(t, blend.Composition.Pos, f.Pos)
	assert.Equal(t, "smallest possible difference: -0.312 % of the product", termText(f.Sum[0]))
	pair.Together = true
	assert.Equal(t, "ask for the exact composition of blend and other", said(list(pair)).Fix)
	pair.Materials = []string{"unknown"}
	f = list(pair)
	assert.Equal(t, "the supplier", said(f).Ask)
	assert.Equal(t, in.Product.Pos, f.Pos)
	pair.Materials = nil
	assert.Equal(t, in.Product.Pos, list(pair).Pos)
	pair.Materials = []string{"lye reaction of rose"}
	assert.Equal(t, "ask for the exact composition of lye reaction of rose", said(list(pair)).Fix)
	in.Product.Saponify = &Saponification{}
	assert.Equal(t, "ask for the saponification values of the lots and enter them under saponify: values; the order rests on their ranges", said(list(pair)).Fix)
	pair.Materials = []string{"blend"}
	assert.Equal(t, "ask for the exact composition of blend", said(list(pair)).Fix)

	entries := &List{Entries: []ListEntry{{Name: "Aqua"}, {Name: "undeclared part of blend", Kind: EntryUndeclared}}}
	fs := listFindings(in, &Result{List: entries})
	require.Equal(t, []string{"ask list-incomplete"}, codes(fs))
	assert.Equal(t, "the ingredient list cannot be printed, because undeclared part of blend stands for substances with no name", said(fs[0]).Message)
	in.Product.TailOrder = []string{"AQUA", "Aqau", "Exemplum"}
	fs = listFindings(in, &Result{List: &List{Entries: entries.Entries[:1]}})
	require.Equal(t, []string{"note tail-order", "note tail-order"}, codes(fs))
	assert.Equal(t, "it is named in tail_order but is not in the list", said(fs[0]).Message)
	assert.Equal(t, "did you mean Aqua?", said(fs[0]).Fix)
	assert.Equal(t, "take it out of tail_order", said(fs[1]).Fix)
	assert.Equal(t, in.Product.TailPos, fs[0].Pos)
}

// Doses per area, by hand: body lotion 7.82 g over 15670 cm² = 0.499043 mg/cm²; 1 %
// of it 4.99043 µg/cm². Of children the same film. Exposure SCCS/1647/22.
func TestLocalDosesInWords(t *testing.T) {
	fo := declared(t, scentSheet("fo"), ingredients.List2023, "Linalool", "50")
	run := func(product string, audience Audience, o *OwnExposure) *Result {
		p := formula(t, Percent, "base", "q.s.", "fo", "2")
		p.IntendedFor, p.Exposure = audience, o
		return assessed(t, p, &Variant{}, product, law.GB, 20261125, squalane(t), fo)
	}
	r := run("body-lotion", Adults, nil)
	require.Len(t, r.LocalDoses, 1)
	d := r.LocalDoses[0]
	assert.InDelta(t, 0.499043, d.ProductMgCm2.Value, 1e-6)
	assert.InDelta(t, 4.99043, d.UgCm2, 1e-5)
	assert.InDelta(t, 4.99043, d.TypicalUgCm2, 1e-5)
	assert.Equal(t, "0.499 mg/cm² × 1 % × 1000 = 4.99 µg/cm² a day", d.Arithmetic)
	assert.Equal(t, "7820 mg/d over 15670 cm²", d.ProductMgCm2.Note)
	assert.True(t, d.OnLabel)
	assert.Equal(t, "", d.Reason)
	assert.Empty(t, findingsOf(r, "no-skin-area"))
	assert.InDelta(t, 4.99043, run("body-lotion", ChildrenThree, nil).LocalDoses[0].UgCm2, 1e-5)
	// from an exposure per body weight: 10 mg/kg × 60 kg = 600 mg over 300 cm² = 2
	r = run("body-lotion", Adults, own(t, "relative", "10", "area", "300"))
	assert.InDelta(t, 2, r.LocalDoses[0].ProductMgCm2.Value, 1e-9)
	assert.Equal(t, "600 mg/d over 300 cm²", r.LocalDoses[0].ProductMgCm2.Note)
	// no area: the first such type of the table
	for _, pt := range law.Builtin().ProductTypes() {
		if e, _ := exposureOf(t, pt.Key, Adults, nil); e.Known() && e.AreaCm2 == nil {
			r = run(pt.Key, Adults, nil)
			require.Len(t, r.LocalDoses, 1)
			assert.Equal(t, "the skin area treated is not known", r.LocalDoses[0].Reason)
			assert.Zero(t, r.LocalDoses[0].UgCm2)
			f := findingOf(t, r, "no-skin-area")
			assert.Equal(t, ingredients.Ask, f.Severity)
			assert.Equal(t, []string{"Linalool"}, said(f).Items)
			require.Len(t, gapsBy(r, "no-skin-area"), 1)
			assert.Empty(t, findingsOf(assessed(t, formula(t, Percent, "base", "100"), &Variant{}, pt.Key, law.GB, 20261125, squalane(t)), "no-skin-area"), "nothing to compute")
			break
		}
	}
	r = run("nail-oil", Adults, nil)
	assert.Equal(t, "the exposure to the product is not known", r.LocalDoses[0].Reason)
	assert.Empty(t, findingsOf(r, "no-skin-area"), "asked for with the exposure")
}

// Poor absorption: molar mass above 500 g/mol and log Pow below −1 or above 4, EU technical
// guidance 2003 as in facts.csv; at the figures themselves no case is made.
func TestPoorAbsorptionCase(t *testing.T) {
	m := &marginer{in: exposureInput(t, "body-lotion", Adults, nil)}
	row := func(mw, logP float64) *law.Tox {
		r := &law.Tox{}
		if mw > 0 {
			r.MW = &law.Figure{Value: mw, Text: figureText(mw)}
		}
		if logP < 99 {
			r.LogP = &law.Figure{Value: logP, Text: figureText(logP)}
		}
		return r
	}
	for _, c := range []struct {
		mw, logP float64
		want     string
	}{
		{600, 5, "molar mass 600 g/mol above 500 and log Pow 5 outside -1 to 4"}, {600, -2, "molar mass 600 g/mol above 500 and log Pow -2 outside -1 to 4"},
		{600, 4, ""}, {600, -1, ""}, {600, 2, ""}, {500, 5, ""}, {400, 5, ""}, {0, 5, ""}, {600, 99, ""},
	} {
		r := row(c.mw, c.logP)
		assert.Equal(t, c.want, m.poorCase(&knowledge{published: &published{rows: []*law.Tox{r}, mw: r.MW}}), "%v %v", c.mw, c.logP)
	}
	rows := []*law.Tox{row(400, 5), row(0, 5)}
	assert.NotEmpty(t, m.poorCase(&knowledge{published: &published{rows: rows, mw: row(600, 5).MW}}), "the substance's own mass counts")
}

// One substance under several names is one check; nano forms and traces stay apart.
func TestUsesByNumber(t *testing.T) {
	use := func(inci, cas string, nano, trace bool) *limitUse {
		u := brought(t, inci, "m", "1")
		u.s.CAS, u.s.Nano = cas, nano
		if trace {
			u.s.Contributions[0].Route = ByImpurity
		}
		return u
	}
	groups := func(uses ...*limitUse) (out []string) {
		for _, g := range byNumber(uses) {
			text := ""
			for _, u := range g {
				text += u.s.INCI
			}
			out = append(out, text)
		}
		return out
	}
	assert.Equal(t, []string{"AC", "B", "D", "E", "F", "G"}, groups(use("A", "64-17-5", false, false), use("B", "67-56-1", false, false), use("C", "64-17-5", false, false), use("D", "", false, false),
		use("E", "", false, false), use("F", "64-17-5", true, false), use("G", "64-17-5", false, true)))
}

// A prohibited substance: certain, as a trace, in a range that begins at 0, and where the
// condition is open.
func TestProhibitionsByHand(t *testing.T) {
	run := handRun(t, "a", "1")
	row := &law.Limit{Annex: "II", Entry: "1"}
	check := func(u *limitUse, a answer) LimitCheck {
		return run.prohibit(LimitCheck{Row: row}, []term{{u: u, factor: ingredients.Int(1), sure: true, own: true}}, a)
	}
	holds := answer{Answer: law.Answer{Verdict: law.Holds}}
	c := check(brought(t, "A", "a", "1"), holds)
	assert.Equal(t, LimitExceeded, c.Verdict)
	assert.Equal(t, "not permitted in any product", c.Reason)
	assert.Equal(t, checkProhibited, c.shape.kind)
	assert.True(t, c.shape.certain)
	c = check(brought(t, "A", "a", "0-1"), holds)
	assert.Equal(t, LimitUndecided, c.Verdict)
	assert.Equal(t, "not permitted in any product; its range begins at 0, so it may not be there", c.Reason)
	assert.Equal(t, []string{"whether it is in the material at all"}, c.Missing)
	trace := brought(t, "A", "a", "1")
	trace.s.Contributions[0].Route = ByImpurity
	c = check(trace, holds)
	assert.True(t, c.shape.traces)
	assert.Equal(t, []string{"whether the trace can be avoided"}, c.Missing)
	assert.Equal(t, "not permitted, and present as a trace only: Article 17 allows small traces that cannot be avoided in good practice, if the product stays safe", c.Reason)
	c = check(brought(t, "A", "a", "1"), answer{Answer: law.Answer{Verdict: law.Undecided, Missing: []string{law.MissingFunction}}})
	assert.Equal(t, LimitUndecided, c.Verdict)
	assert.True(t, c.shape.open)
	assert.Contains(t, c.Reason, "not permitted in any product; whether that applies depends on ")

	// remarks on a reason
	terms := []term{{remark: "counted whole"}, {}}
	c = LimitCheck{Reason: "kept", Row: &law.Limit{Annex: "III", OnlyForm: "hair dyes"}, shape: checkShape{doubt: "which entry"}}
	assert.Equal(t, "kept; counted whole; which entry; the row is for nothing but hair dyes", run.remarks(c, terms))
	c.Row = &law.Limit{Annex: "IV", Own: true}
	c.shape.doubt = ""
	assert.Equal(t, "your own rule; kept", run.remarks(c, terms[1:]))
	c.Row = &law.Limit{Annex: "III", Class: law.ClassExamples}
	assert.Equal(t, "kept; the entry is a class and wider than the names listed", run.remarks(c, nil))
	assert.Equal(t, "just below 1 % as acid", limitText(&law.Limit{Basis: law.Basis{Text: "as acid"}}, ingredients.Int(1), true))
	assert.Equal(t, "1 %", limitText(&law.Limit{}, ingredients.Int(1), false))
}
