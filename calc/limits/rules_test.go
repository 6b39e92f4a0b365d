package limits

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/condition"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/purpose"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

const day = exact.Date(20261125)

// ruled is a body lotion of water and pairs of a material and its content in the EU, under
// further rows beside those of the tables; where they say nothing else, they are for every product.
func ruled(t testing.TB, more []*annex.Limit, parts ...any) *Run {
	t.Helper()
	for _, l := range more {
		if len(l.Condition.Clauses) == 0 {
			l.Condition = conditionOf(t, "all")
		}
	}
	in := formulatest.OfType(t, "body-lotion", formula.Adults, nil)
	in.Session = matched(more...).session
	in.Market, in.Date = rows.EU, day
	water := formulatest.Material(t, "water", "solvent", "Aqua", "100")
	in.Sheets = map[string]*ingredients.Sheet{"water": water}
	lines := []string{"water", "q.s."}
	for i := 0; i < len(parts); i += 2 {
		s := parts[i].(*ingredients.Sheet)
		in.Sheets[s.ID], lines = s, append(lines, s.ID, parts[i+1].(string))
	}
	in.Product = formulatest.WithFormula(t, formula.Percent, lines...)
	in.Product.IntendedFor = formula.Adults
	in.Materials = formula.PrepareAll(in.Sheets, in.Dict)
	in.Variant = &formula.Variant{}
	recipe, _ := formula.Resolve(in.Product, in.Variant, exact.Num{})
	return newRun(in, []*formula.Composition{formula.Compose(recipe.Whole, in.Materials)})
}

// further are the checks of the further rows.
func further(checks []LimitCheck) (out []LimitCheck) {
	for _, c := range checks {
		if c.Row.File == "more.csv" {
			out = append(out, c)
		}
	}
	return out
}

// of are the findings of a code about a substance.
func of(fs []finding.Finding, code, subject string) (out []finding.Finding) {
	for _, f := range fs {
		if f.Code == code && f.Subject == subject {
			out = append(out, f)
		}
	}
	return out
}

func conditionOf(t testing.TB, text string) condition.Condition {
	t.Helper()
	c, err := condition.Parse(text)
	require.NoError(t, err)
	return c
}

func pct(t testing.TB, text string) *exact.Num { return formulatest.Ptr(formulatest.Num(t, text)) }

// One row that names several substances and adds nothing compares each alone, with what it is
// called together where the number is the same: 0.8 and 0.7 % keep 1 %, 0.6 % twice of one
// number do not.
func TestEachSubstanceOfARow(t *testing.T) {
	row := &annex.Limit{Annex: "III", Entry: "900", Names: []string{"Exemplum One", "Exemplum Two"}, MaxPct: pct(t, "1")}
	one, two := formulatest.Pure(t, "solvent", "Exemplum One"), formulatest.Pure(t, "solvent", "Exemplum Two")
	checks := further(ruled(t, []*annex.Limit{row}, one, "0.8", two, "0.7").Checks(day))
	require.Len(t, checks, 2)
	for i, want := range []string{"Exemplum One", "Exemplum Two"} {
		assert.Equal(t, []string{want}, checks[i].Substances)
		assert.Equal(t, LimitKept, checks[i].Verdict)
	}
	formulatest.Coded(one, "999999-99-4")
	formulatest.Coded(two, "999999-99-4")
	checks = further(ruled(t, []*annex.Limit{row}, one, "0.6", two, "0.6").Checks(day))
	require.Len(t, checks, 1)
	assert.Equal(t, []string{"1.2", "exceeded"}, []string{checks[0].Content.Max.Exact(), string(checks[0].Verdict)})
}

// A row's own factor counts before that of another row with the same basis; a row without one
// takes the highest of the others. A row that counts whole has none.
func TestFactorOfARow(t *testing.T) {
	row := func(factor string, whole bool) *annex.Limit {
		l := &annex.Limit{Annex: "III", Entry: "900", Names: []string{"Exemplum Salt"},
			Basis: annex.Basis{Text: "as exemplum acid", As: []string{"exemplum acid"}, Whole: whole}}
		if factor != "" {
			l.Basis.Factors = []annex.Factor{{Name: "Exemplum Salt", Factor: formulatest.Num(t, factor)}}
		}
		return l
	}
	low, high, none, whole := row("0.5", false), row("0.8", false), row("", false), row("0.9", true)
	run := &Run{Matcher: matched(low, high, none, whole)}
	for want, l := range map[string]*annex.Limit{"0.5": low, "0.8": high, "0.9": none, "1": whole} {
		f, unknown := run.FactorOf(l, "Exemplum Salt")
		assert.Equal(t, want, f.Exact())
		assert.False(t, unknown)
	}
	f, unknown := run.FactorOf(none, "Exemplum Ester")
	assert.Equal(t, "1", f.Exact())
	assert.True(t, unknown, "counted whole for want of a factor")
}

// The later days on which something changes: when a row starts, when one has ended, when one
// is replaced in this market, when a class starts; each once, in their order.
func TestChangeDays(t *testing.T) {
	row := func(change func(l *annex.Limit)) *annex.Limit {
		l := &annex.Limit{Annex: "III", Entry: "900", Names: []string{"Exemplum Two"}}
		change(l)
		return l
	}
	run := ruled(t, []*annex.Limit{
		row(func(l *annex.Limit) { l.From = 20290301 }),
		row(func(l *annex.Limit) { l.From = 20290301 }),
		row(func(l *annex.Limit) { l.From = 20250301 }),
		row(func(l *annex.Limit) { l.From = 20290201; l.Markets = []rows.Market{rows.GB} }),
		row(func(l *annex.Limit) { l.Until = 20280630 }),
		row(func(l *annex.Limit) { l.Replaced, l.ReplacedIn = 20281001, []rows.Market{rows.EU} }),
		row(func(l *annex.Limit) { l.Replaced, l.ReplacedIn = 20281101, []rows.Market{rows.GB} }),
		row(func(l *annex.Limit) {
			l.Names, l.Elements, l.From = []string{"Exemplium compounds"}, []string{"exemplum"}, 20300101
		}),
		row(func(l *annex.Limit) {
			l.Names, l.Elements, l.From = []string{"Exemplium compounds"}, []string{"exemplum"}, 20300201
			l.Markets = []rows.Market{rows.GB}
		}),
	}, formulatest.Pure(t, "solvent", "Exemplum Two"), "1")
	assert.Equal(t, []exact.Date{20280701, 20281001, 20290301, 20300101}, run.ChangeDays())
}

// What will be over a limit is told for its first day alone, though it will be on later days
// of change too.
func TestChangeIsToldOnce(t *testing.T) {
	row := func(from exact.Date, max string) *annex.Limit {
		return &annex.Limit{Annex: "III", Entry: "900", Names: []string{"Exemplum Two"}, MaxPct: pct(t, max), From: from}
	}
	run := ruled(t, []*annex.Limit{row(20280101, "0.5"), row(20290101, "5")},
		formulatest.Pure(t, "solvent", "Exemplum Two"), "1")
	_, fs := run.Limits()
	coming := of(fs, "coming-limit", "Exemplum Two")
	require.Len(t, coming, 1)
	at, _ := coming[0].Values.Get("day")
	assert.Equal(t, exact.Date(20280101), at.Date())

	// over the limit today, tighter later: nothing new; from its end on, free, whatever follows
	now := row(exact.Date(0), "0.8")
	now.Until = 20290630
	run = ruled(t, []*annex.Limit{now, row(20280101, "0.5"), row(20280201, "5"), row(20300101, "5")},
		formulatest.Pure(t, "solvent", "Exemplum Two"), "1")
	_, fs = run.Limits()
	assert.Len(t, of(fs, "over-limit", "Exemplum Two"), 1)
	assert.Empty(t, of(fs, "coming-limit", "Exemplum Two"))
	run = ruled(t, []*annex.Limit{now, row(20280201, "5"), row(20300101, "5")},
		formulatest.Pure(t, "solvent", "Exemplum Two"), "1")
	_, fs = run.Limits()
	coming = of(fs, "coming-limit", "Exemplum Two")
	require.Len(t, coming, 1)
	at, _ = coming[0].Values.Get("day")
	assert.Equal(t, []any{"free", exact.Date(20290701)}, []any{coming[0].Form, at.Date()})

	// a draft names its day itself
	draft := row(20280101, "0.5")
	draft.Instrument = annex.InstrumentDraft
	run = ruled(t, []*annex.Limit{draft}, formulatest.Pure(t, "solvent", "Exemplum Two"), "1")
	_, fs = run.Limits()
	assert.Len(t, of(fs, "draft-law", "Exemplum Two"), 1)
	assert.Empty(t, of(fs, "coming-limit", "Exemplum Two"))

	// criteria of a later day are asked when it has come
	later := row(20280101, "5")
	later.Spec = []string{"purity_pct>=99"}
	run = ruled(t, []*annex.Limit{later}, formulatest.Pure(t, "solvent", "Exemplum Two"), "1")
	_, fs = run.Limits()
	assert.Empty(t, fs)
}

// Each market has the rows of its own annexes: what only the other's names is named by none.
func TestRowsOfAMarket(t *testing.T) {
	gb := &annex.Limit{Annex: "III", Entry: "900", Names: []string{"Exemplum Two"}, Markets: []rows.Market{rows.GB}}
	run := ruled(t, []*annex.Limit{gb}, formulatest.Pure(t, "solvent", "Exemplum Two"), "1")
	named := func(uses []*LimitUse) bool {
		for _, u := range uses {
			if u.Name() == "Exemplum Two" {
				return true
			}
		}
		return false
	}
	assert.Equal(t, []bool{false, true}, []bool{named(run.Uses), named(run.Others)})
	in := *run.In
	in.Market = rows.GB
	run = newRun(&in, run.Comps)
	assert.Equal(t, []bool{true, false}, []bool{named(run.Uses), named(run.Others)})
}

// What a row in force of an annex names is on its list: not what is to come, nor what a row
// names that asks for wording alone; of two forms of one name, that which is in the product.
func TestOnAList(t *testing.T) {
	row := func(annexOf, name string, change func(l *annex.Limit)) *annex.Limit {
		l := &annex.Limit{Annex: annexOf, Entry: "900", Names: []string{name}}
		if change != nil {
			change(l)
		}
		return l
	}
	names := []string{"Exemplum One", "Exemplum Two", "Exemplum Three", "Exemplum Four", "Exemplum Five"}
	var parts []any
	for _, n := range names {
		parts = append(parts, formulatest.Pure(t, "solvent", n), "1")
	}
	nano := formulatest.Pure(t, "solvent", "Exemplum Six")
	nano.ID, nano.Composition.Constituents[0].Nano = "nano", true
	run := ruled(t, []*annex.Limit{row("V", names[0], nil), row("VI", names[1], nil),
		row("V", names[2], func(l *annex.Limit) { l.From = 20270101 }),
		row("V", names[3], func(l *annex.Limit) { l.Sum.Kind = annex.SumLabel }),
		row("V", names[4], func(l *annex.Limit) { l.Sum.Kind = annex.SumExclusive }),
		row("V", "Exemplum Six", nil)}, append(parts, nano, "1")...)
	for i, want := range []bool{true, false, false, false, true} {
		assert.Equal(t, want, run.onList(names[i], false, "V", day), names[i])
	}
	assert.True(t, run.onList(names[2], false, "V", 20270101))
	assert.True(t, run.onList("Exemplum Six", true, "V", day))
	assert.False(t, run.onList("Exemplum Six", false, "V", day), "it is not in the product")
}

// Criteria are asked of the substances that the row itself names, not of those whose contents
// it adds, and of no trace; what a market alone asks says so.
func TestWhoIsAskedForCriteria(t *testing.T) {
	sum := annex.Sum{Kind: annex.SumAll, LimitPct: pct(t, "5"), Groups: []string{"exempla"}, AnyCondition: true}
	asking := &annex.Limit{Annex: "III", Entry: "900", Names: []string{"Exemplum One"}, Spec: []string{"purity_pct>=99"},
		SumGroup: "exempla", Sum: sum, PH: &annex.PHBand{Max: pct(t, "9")}}
	silent := &annex.Limit{Annex: "III", Entry: "901", Names: []string{"Exemplum Two"}, SumGroup: "exempla", Sum: sum}
	trace := &annex.Limit{Annex: "III", Entry: "902", Names: []string{"Exemplum Three"}, Spec: []string{"purity_pct>=98"},
		PH: &annex.PHBand{Max: pct(t, "8")}}
	here := &annex.Limit{Annex: "III", Entry: "903", Names: []string{"Exemplum Two"}, Spec: []string{"purity_pct>=97"},
		Markets: []rows.Market{rows.EU}}
	run := ruled(t, []*annex.Limit{asking, silent, trace, here}, formulatest.Pure(t, "solvent", "Exemplum One"), "1",
		formulatest.Impure(t, formulatest.Pure(t, "solvent", "Exemplum Two"), "Exemplum Three", "0.1"), "1")
	var asked []string
	for _, c := range run.criteria(run.Checks(day)) {
		asked = append(asked, c.Ingredient+": "+c.Text)
	}
	assert.Equal(t, []string{": pH at most 9", "exemplum one: purity at least 99 %", "exemplum two: purity at least 97 %"},
		asked)
	markets := map[string]string{}
	for _, f := range run.criteriaFindings(run.Checks(day)) {
		if f.Code == "criterion" {
			require.Len(t, f.Things, 1)
			m, _ := f.Things[0].List.Get("market")
			markets[f.Things[0].List[0].Text] = m.Text
		}
	}
	assert.Equal(t, map[string]string{"purity at least 99 %": "", "purity at least 97 %": "EU"}, markets)
}

// What is asked of the supplier of a material is kept under all that it rests on: each of it
// tells two questions apart, and what is asked of another material does not.
func TestWhatAQuestionRestsOn(t *testing.T) {
	all := law.Limits(table.Builtin())
	run := handRun(t)
	run.In.Market, run.In.Date = rows.EU, day
	key := func(id string, change func(c *criterion)) string {
		list := []criterion{{Ingredient: "a", Substance: "A", Text: "pure", Row: all[0], Paper: "coa.pdf"},
			{Ingredient: "b", Substance: "B", Text: "pure", Row: all[1]}}
		if change != nil {
			change(&list[0])
		}
		return string(run.criteriaKey(nil, list, id))
	}
	base := key("a", nil)
	for what, change := range map[string]func(c *criterion){
		"substance": func(c *criterion) { c.Substance = "X" }, "text": func(c *criterion) { c.Text = "purer" },
		"row": func(c *criterion) { c.Row = all[2] }, "paper": func(c *criterion) { c.Paper = "" },
		"material": func(c *criterion) { c.Ingredient = "b" },
	} {
		assert.NotEqual(t, base, key("a", change), what)
	}
	assert.Equal(t, key("b", nil), key("b", func(c *criterion) { c.Text = "purer" }))
	run.In.Market = rows.GB
	assert.NotEqual(t, base, key("a", nil), "market")
	run.In.Market, run.In.Date = rows.EU, day+1
	assert.NotEqual(t, base, key("a", nil), "day")
}

// A substance that several rows set figures for, none of them for this kind of product: those
// are told, neither a row without a figure nor the maker's own.
func TestRowsOfNoLine(t *testing.T) {
	face := func(change func(l *annex.Limit)) *annex.Limit {
		l := &annex.Limit{Annex: "III", Entry: "900", Names: []string{"Exemplum Two"}, MaxPct: pct(t, "1"),
			Condition: conditionOf(t, "product=shampoo")}
		if change != nil {
			change(l)
		}
		return l
	}
	run := ruled(t, []*annex.Limit{face(nil), face(func(l *annex.Limit) { l.MaxPct = nil }),
		face(func(l *annex.Limit) { l.Own = true }), face(nil)}, formulatest.Pure(t, "solvent", "Exemplum Two"), "1",
		formulatest.Pure(t, "solvent", "Exemplum One"), "1")
	fs := of(run.lineFindings(run.Checks(day), day), "no-line", "Exemplum Two")
	require.Len(t, fs, 1)
	var told []string
	for _, v := range fs[0].Values {
		if v.Text == "row-where" {
			row, _ := v.List.Get("row")
			told = append(told, row.Text)
		}
		for _, w := range v.List {
			if row, ok := w.List.Get("row"); ok {
				told = append(told, row.Text)
			}
		}
	}
	assert.Equal(t, []string{"more-a", "more-d"}, told)
	// a figure for every product is a line, a wording for every product is none
	general := &annex.Limit{Annex: "III", Entry: "901", Names: []string{"Exemplum Two"}, MaxPct: pct(t, "5")}
	run = ruled(t, []*annex.Limit{face(nil), general}, formulatest.Pure(t, "solvent", "Exemplum Two"), "1")
	assert.Empty(t, run.lineFindings(run.Checks(day), day))
	general.MaxPct, general.LabelText = nil, "avoid the eyes"
	assert.Len(t, run.lineFindings(run.Checks(day), day), 1)
}

// Facts about a use that other rooms ask for.
func TestFactsOfAUse(t *testing.T) {
	for _, c := range []struct {
		kind   checkKind
		traces bool
		want   bool
	}{{CheckProhibited, true, true}, {CheckProhibited, false, false}, {CheckFigure, true, false}} {
		assert.Equal(t, c.want, (&LimitCheck{Shape: checkShape{Kind: c.kind, traces: c.traces}}).OnlyTrace())
	}
	run := handRun(t)
	run.base = law.Situation{Inhalable: law.Unknown, Forms: []string{"spray"}}
	assert.True(t, run.ComesAs("inhalable"), "it may be")
	assert.True(t, run.ComesAs("spray"))
	assert.False(t, run.ComesAs("powder"))
	run.base = law.Situation{Inhalable: law.No}
	assert.False(t, run.ComesAs("inhalable"))
	assert.False(t, run.ComesAs("spray"))
	run.base = law.Situation{Inhalable: law.Yes}
	assert.True(t, run.ComesAs("inhalable"))

	scent := purpose.Roles{Main: []string{purpose.Fragrance}, All: []string{purpose.Fragrance}, Known: true}
	u := brought(t, "A", "oil", "1")
	run.In.Sheets = map[string]*ingredients.Sheet{"oil": formulatest.Material(t, "oil", "emollient", "A", "100"),
		"perfume": formulatest.ScentSheet("perfume"), "perfuming": formulatest.Material(t, "p", "fragrance", "A", "100")}
	u.Roles = scent
	assert.True(t, u.onlyFragrance())
	assert.True(t, u.OfFragrance(run.In))
	assert.True(t, run.SituationOf(u).FunctionsKnown)
	assert.Equal(t, []string{purpose.Fragrance}, run.SituationOf(u).Functions)
	u.Roles.Known = false
	assert.False(t, u.onlyFragrance(), "it may serve as more")
	assert.False(t, run.SituationOf(u).FunctionsKnown)
	u.Roles = purpose.Roles{All: []string{"a", purpose.Fragrance}, Known: true}
	assert.False(t, u.onlyFragrance())
	u.Roles = purpose.Roles{}
	for _, c := range []struct {
		material string
		trace    bool
		want     bool
	}{{"oil", false, false}, {"oil", true, false}, {"perfume", true, true}, {"perfuming", true, true},
		{"perfume", false, false}, {"gone", true, false}} {
		k := &u.S.Contributions[0]
		k.Ingredient, k.Route = c.material, formula.ByComposition
		if c.trace {
			k.Route = formula.ByImpurity
		}
		assert.Equal(t, c.want, u.OfFragrance(run.In), "%s, a trace %v", c.material, c.trace)
	}
	assert.Equal(t, []string{"a", "b", "c"}, Union([]string{"c", "a"}, []string{"b", "a"}))
	assert.Equal(t, []string{"a", "c"}, Union([]string{"c", "a"}, nil))
}

// What findings about rows show: a limit as the law has it, contents with four digits, what
// would do cut down, the facts that decide.
func TestFiguresOfRows(t *testing.T) {
	run := handRun(t, "a", "1")
	run.In.Market, run.In.Date = rows.EU, day
	check := func(kind checkKind) LimitCheck {
		return LimitCheck{Row: &annex.Limit{Annex: "III", Entry: "1", Basis: annex.Basis{Text: "as acid"}},
			Substances: []string{"A"}, Content: formulatest.Range(t, "0.1234567"), LimitPct: pct(t, "0.1234567"),
			HighestPct: pct(t, "0.1234567"), Shape: checkShape{Kind: kind, plain: formulatest.Range(t, "0.7654321")}}
	}
	shown := func(f finding.Finding, name string) string {
		v, ok := f.Values.Get(name)
		require.True(t, ok, name)
		return v.Round.Of(v.Low)
	}
	f := run.draftFinding(check(CheckFigure))
	assert.Equal(t, []string{"0.1235", "0.1234567"}, []string{shown(f, "content"), shown(f, "limit")})
	f = run.stop(check(CheckFigure), day)
	assert.Equal(t, []string{"0.7654", "0.1235", "0.1234567", "0.1234"},
		[]string{shown(f, "content"), shown(f, "counted"), shown(f, "limit"), shown(f, "highest")})
	c := check(checkResidue)
	c.Shape.state = "part"
	f = run.ask(c, day)
	assert.Equal(t, []string{"0.7654", "0.1234567"}, []string{shown(f, "content"), shown(f, "limit")})
	basis, _ := f.Values.Get("basis")
	assert.Equal(t, []string{"part", "acid"}, []string{f.Form, basis.Text})
	c.Shape.state = "mixed"
	f = run.ask(c, day)
	_, part := f.Values.Get("basis")
	assert.False(t, part)
	c = check(CheckProhibited)
	c.Shape.traces = true
	f = run.ask(c, day)
	assert.Equal(t, []string{"prohibited-trace", "0.1235"}, []string{f.Code, shown(f, "content")})

	has := func(f finding.Finding, name string) bool { _, ok := f.Values.Get(name); return ok }
	c = check(CheckFigure)
	c.Shape.missing = []string{law.MissingAge}
	for state, counted := range map[string]bool{"if-it-counts": true, "no-figure": false} {
		c.Shape.state = state
		f = run.ask(c, day)
		assert.Equal(t, []bool{counted, counted, counted, true}, []bool{has(f, "where"), has(f, "counted"), has(f, "limit"),
			has(f, "facts")}, state)
	}
	c.Shape.Doubt = severalEntries
	assert.False(t, has(run.ask(c, day), "facts"), "the entry decides")
	c = check(CheckProhibited)
	c.Shape.open = true
	assert.True(t, has(run.ask(c, day), "where"))

	c = check(CheckFigure)
	c.Row.OnlyForm = "a fine powder"
	for _, missing := range [][]string{{law.MissingAge, missingForm}, {law.MissingAge}} {
		c.Shape.missing = missing
		f = run.ask(c, day)
		facts, _ := f.Values.Get("facts")
		require.Len(t, facts.List, len(missing))
		for i, x := range missing {
			assert.Equal(t, "fact-"+x, facts.List[i].Text)
		}
		_, only := f.Values.Get("only")
		assert.Equal(t, len(missing) == 2, only, "the form is told where it decides")
	}

	c.Row.Basis.Text = ""
	_, counted := run.stop(c, day).Values.Get("counted")
	assert.False(t, counted, "it counts as it is")
	c.Contributions = brought(t, "A", "a", "1").S.Contributions
	assert.Len(t, run.ask(c, day).Sum, 1)
	run.In.Product.Evidence.PH = &exact.Amount{Range: formulatest.Range(t, "11.23456")}
	f, _ = run.phFinding(criterion{Row: &annex.Limit{Annex: "III", PH: &annex.PHBand{Max: pct(t, "11")}}})
	assert.Equal(t, "11.23", shown(f, "ph"))

	// a narrower range can keep a figure, and nothing else
	for kind, want := range map[checkKind]bool{CheckFigure: true, checkTogether: false, checkResidue: false} {
		c = check(kind)
		c.Content = formulatest.Range(t, "0.1-0.2")
		assert.Equal(t, want, c.needsExact(), kind)
	}
}

// A judgement is shared between variants under all that it rests on: the uses that its row
// names, and where it looks at other rows, the market, the day and the uses that those name;
// and not at all where one of them is of one variant alone.
func TestWhatAJudgementRestsOn(t *testing.T) {
	sum := annex.Sum{Kind: annex.SumAll, LimitPct: pct(t, "5"), Groups: []string{"exempla"}, AnyCondition: true}
	row := func(change func(l *annex.Limit)) *annex.Limit {
		l := &annex.Limit{Annex: "III", Entry: "900", Names: []string{"Exemplum One"}, MaxPct: pct(t, "1")}
		change(l)
		return l
	}
	alone := []*annex.Limit{row(func(*annex.Limit) {}), row(func(l *annex.Limit) { l.Sum.Kind = annex.SumEach })}
	others := []*annex.Limit{row(func(l *annex.Limit) { l.Annex = "IV" }),
		row(func(l *annex.Limit) { l.Excepted = []string{"III/1"} }), row(func(l *annex.Limit) { l.Traces = "III/1" }),
		row(func(l *annex.Limit) { l.SumGroup, l.Sum = "exempla", sum }),
		row(func(l *annex.Limit) { l.SumGroup, l.Sum, l.Sum.Kind = "exempla", sum, annex.SumExclusive })}
	second := row(func(l *annex.Limit) { l.Names, l.SumGroup, l.Sum = []string{"Exemplum Two"}, "exempla", sum })
	run := ruled(t, append(append([]*annex.Limit{second}, alone...), others...),
		formulatest.Pure(t, "solvent", "Exemplum One"), "1", formulatest.Pure(t, "solvent", "Exemplum Two"), "1")
	uses := map[string]*LimitUse{}
	for _, u := range run.Uses {
		uses[u.Name()] = u
	}
	one, two := uses["Exemplum One"], uses["Exemplum Two"]
	number := func(first, second int) { one.number, two.number = first, second }
	key := func(l *annex.Limit, on exact.Date, m rows.Market) string {
		run.In.Market = m
		k, shared := run.rowKey(nil, l, []*LimitUse{one}, on)
		run.In.Market = rows.EU
		require.Equal(t, one.number > 0 && (two.number > 0 || l.SumGroup == ""), shared)
		return string(k)
	}
	seen := map[string]bool{}
	for i, l := range append(alone, others...) {
		number(1, 2)
		base := key(l, day, rows.EU)
		assert.False(t, seen[base], "no two rows have one key")
		seen[base] = true
		looks := i >= len(alone)
		assert.Equal(t, looks, base != key(l, day+1, rows.EU), "the day, row %d", i)
		assert.Equal(t, looks, base != key(l, day, rows.GB), "the market, row %d", i)
		one.market = rows.EU
		assert.NotEqual(t, base, key(l, day, rows.EU), "the market of a use, row %d", i)
		one.market = ""
		number(3, 2)
		assert.NotEqual(t, base, key(l, day, rows.EU), "its own use, row %d", i)
		number(1, 3)
		assert.Equal(t, l.SumGroup != "", base != key(l, day, rows.EU), "the use of another row, row %d", i)
		number(0, 2)
		key(l, day, rows.EU)
		number(1, 0)
		key(l, day, rows.EU)
	}
}

// A substance that two rows of one sum name counts once: 0.4 and 0.3 are 0.7.
func TestOnceInASum(t *testing.T) {
	sum := annex.Sum{Kind: annex.SumAll, LimitPct: pct(t, "5"), Groups: []string{"exempla"}, AnyCondition: true}
	row := func(entry string, names ...string) *annex.Limit {
		return &annex.Limit{Annex: "III", Entry: entry, Names: names, SumGroup: "exempla", Sum: sum}
	}
	checks := further(ruled(t, []*annex.Limit{row("900", "Exemplum One"), row("901", "Exemplum One", "Exemplum Two")},
		formulatest.Pure(t, "solvent", "Exemplum One"), "0.4", formulatest.Pure(t, "solvent", "Exemplum Two"),
		"0.3").Checks(day))
	require.Len(t, checks, 2)
	for _, c := range checks {
		assert.Equal(t, "0.7", c.Content.Max.Exact(), c.Row.Entry)
		assert.Len(t, c.Substances, 2)
	}
}

// Only the list of colourants permits a colourant: a limit of Annex III that holds does not.
func TestWhoPermitsAColourant(t *testing.T) {
	of := func(other string) LimitVerdict {
		colour := &annex.Limit{Annex: "IV", Entry: "900", Names: []string{"Exemplum Red"},
			Condition: conditionOf(t, "rinse-off")}
		also := &annex.Limit{Annex: other, Entry: "901", Names: []string{"Exemplum Red"}, MaxPct: pct(t, "5")}
		checks := further(ruled(t, []*annex.Limit{colour, also}, formulatest.Pure(t, "colour", "Exemplum Red"),
			"1").Checks(day))
		require.Len(t, checks, 2)
		return checks[0].Verdict
	}
	assert.Equal(t, LimitExceeded, of("III"))
	assert.Equal(t, LimitNotApplicable, of("IV"), "another row of the list permits it here")
}

// A plant that is banned as a fragrance ingredient is asked about where the sheet gives it
// another purpose; a ban that turns on another function, and a limit for fragrances, take the
// sheet at its word.
func TestBanAsAScentAlone(t *testing.T) {
	of := func(which, max, where, function string) LimitVerdict {
		row := &annex.Limit{Annex: which, Entry: "900", Names: []string{"Exemplum Borealis Seed Oil"},
			MaxPct: pct(t, max), Condition: conditionOf(t, where)}
		checks := further(ruled(t, []*annex.Limit{row}, formulatest.Pure(t, function, "Exemplum Borealis Seed Oil"),
			"2").Checks(day))
		require.Len(t, checks, 1)
		return checks[0].Verdict
	}
	assert.Equal(t, LimitUndecided, of("II", "0", "function=fragrance", "emollient"))
	assert.Equal(t, LimitNotApplicable, of("II", "0", "function=non-preservative", "preservative"))
	assert.Equal(t, LimitNotApplicable, of("III", "1", "function=fragrance", "emollient"))
}

// A number that contradicts a name is told of a sum too: 111-46-6 is diethylene glycol's.
func TestNumberAgainstNameInASum(t *testing.T) {
	row := &annex.Limit{Annex: "III", Entry: "900", Names: []string{"Exemplum One"}, CAS: []string{"111-46-6"},
		SumGroup: "exempla",
		Sum:      annex.Sum{Kind: annex.SumAll, LimitPct: pct(t, "5"), Groups: []string{"exempla"}, AnyCondition: true}}
	checks := further(ruled(t, []*annex.Limit{row},
		formulatest.Coded(formulatest.Pure(t, "humectant", "Glycerin"), "111-46-6"), "1").Checks(day))
	require.Len(t, checks, 1)
	assert.Equal(t, "111-46-6", checks[0].Shape.cas)
	assert.NotEmpty(t, checks[0].Shape.standsFor)
}
