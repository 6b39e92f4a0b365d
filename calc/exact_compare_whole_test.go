package calc_test

import (
	"flag"
	"fmt"
	"math/big"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/limits"
	"gallipot/calc/standards"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/testdata"
)

var (
	exactCases = flag.Int("exact", testdata.Cases(150, 400), "how many generated formulas TestWholeCalculation compares")
	exactFrom  = flag.Uint64("exactfrom", 1, "the seed of the first")
)

// exactScore counts what was compared.
type exactScore struct {
	rationals, floats, verdicts, ties int
	worst                             float64 // relative error of the floats
	worstAt                           string
	rationalsOff, verdictsOff         int
	off                               []string
	byVerdict, tiedBy                 map[string]int
}

func newExactScore() *exactScore {
	return &exactScore{byVerdict: map[string]int{}, tiedBy: map[string]int{}}
}

func (s *exactScore) add(o *exactScore) {
	s.rationals, s.floats, s.verdicts, s.ties = s.rationals+o.rationals, s.floats+o.floats, s.verdicts+o.verdicts, s.ties+o.ties
	s.rationalsOff, s.verdictsOff, s.off = s.rationalsOff+o.rationalsOff, s.verdictsOff+o.verdictsOff, append(s.off, o.off...)
	if o.worst > s.worst {
		s.worst, s.worstAt = o.worst, o.worstAt
	}
	for k, n := range o.byVerdict {
		s.byVerdict[k] += n
	}
	for k, n := range o.tiedBy {
		s.tiedBy[k] += n
	}
}

// one compares the formula of a seed.
func (s *exactScore) one(t *testing.T, g *exactGenerator, seed uint64) {
	c := g.generate(seed)
	tied := g.tie()
	if tied != "" {
		s.ties++
		kind, _, _ := strings.Cut(tied, " ")
		s.tiedBy[kind]++
	}
	before := len(s.off)
	x := newExactRun(c, g.book)
	r := calc.Assess(c.input(t))
	s.compare(x, r)
	s.weighing(c, r)
	if len(s.off) > before {
		s.off = append(s.off, fmt.Sprintf("^ seed %d, tied by %q", seed, tied))
	}
}

// TestWholeCalculation compares the program with the plain exact calculation on
// generated formulas: contents, list, allergens, certificates, limits, exposure,
// margins, reaction with lye and weighing. What is decided by a fraction must be
// the same fraction; exposure and margins are binary fractions and may be off in
// their last digits, their verdicts may not.
//
//	go test ./calc -run TestWholeCalculation -exact 100000 -timeout 0 -v
func TestWholeCalculation(t *testing.T) {
	workers := runtime.GOMAXPROCS(0)
	scores := make([]*exactScore, workers)
	var wait sync.WaitGroup
	for w := range workers {
		scores[w] = newExactScore()
		g := newExactGenerator(newExactBook(t))
		wait.Go(func() {
			for i := w; i < *exactCases && len(scores[w].off) < 60; i += workers {
				scores[w].one(t, g, *exactFrom+uint64(i))
			}
		})
	}
	wait.Wait()
	score := newExactScore()
	for _, s := range scores {
		score.add(s)
	}
	t.Logf("%d formulas, %d of them with a tie: %d fractions compared, %d differ; %d verdicts compared, %d differ; %d floats, worst relative error %.2g at %s",
		*exactCases, score.ties, score.rationals, score.rationalsOff, score.verdicts, score.verdictsOff, score.floats, score.worst, score.worstAt)
	t.Logf("%v", score.byVerdict)
	t.Logf("ties: %v", score.tiedBy)
	require.Empty(t, score.off, strings.Join(score.off, "\n"))
	require.Less(t, score.worst, 1e-13)
	require.Greater(t, score.rationals, 50**exactCases)
	require.Greater(t, score.ties, *exactCases/5)
}

func toNum(r rat) exact.Num { return exact.FromRat(r) }

func toNumPtr(r rat) *exact.Num {
	if r == nil {
		return nil
	}
	n := toNum(r)
	return &n
}

// input turns a case into the program's input. Contents of sheets go through
// their text.
func (c *exactCase) input(t testing.TB) *formula.Input {
	t.Helper()
	tables := table.Builtin()
	pt, ok := law.ProductType(tables, c.kind)
	require.True(t, ok)
	day, err := exact.ParseDate(c.day)
	require.NoError(t, err)
	no := false
	p := &formula.Product{ID: "generated", IntendedFor: formula.Audience(c.ages), Professional: &no, Formula: formula.Formula{Basis: formula.Percent, Phases: []formula.Phase{{ID: "A"}}}}
	if c.grams {
		p.Formula.Basis = formula.Grams
	}
	for i, l := range c.lines {
		p.Formula.Phases[0].Lines = append(p.Formula.Phases[0].Lines, formula.Line{Ingredient: l.material, Slot: l.slot, Amount: toNum(l.amount), Rest: l.rest,
			Pos: exact.Pos{File: "products/generated.yaml", Line: 10 + i, Col: 5}})
	}
	if c.own != nil {
		o := c.own
		p.Exposure = &formula.OwnExposure{AmountGDay: toNumPtr(o.amount), RetentionPct: toNumPtr(o.retention), RelativeMgKgD: toNumPtr(o.relative),
			AreaCm2: toNumPtr(o.area), TimesPerDay: toNumPtr(o.perDay), BodyWeightKg: toNumPtr(o.weight), Source: "generated"}
	}
	if c.soap != nil {
		short := map[string]string{"Sodium Hydroxide": "NaOH", "Potassium Hydroxide": "KOH"}[c.soap.alkali]
		p.Saponify = &formula.Saponification{Alkali: []string{short}, WaterLossPct: toNum(c.soap.loss)}
	}
	v := &formula.Variant{Fill: toFills(c.fill)}
	for _, part := range c.portions {
		v.Portions = append(v.Portions, formula.Portion{SharePct: toNum(part.share), Fill: toFills(part.fill)})
	}
	for i, a := range c.then {
		v.ThenAdd = append(v.ThenAdd, formula.Addition{Ingredient: a.material, Parts: toNum(a.share), Pos: exact.Pos{File: "products/generated.yaml", Line: 90 + i, Col: 5}})
	}
	sheets := map[string]*ingredients.Sheet{}
	for _, m := range c.materials {
		sheets[m.id] = m.sheet(t)
	}
	dict := tables.Dictionary()
	return &formula.Input{Product: p, Variant: v, Type: pt, Sheets: sheets, Materials: formula.PrepareAll(sheets, dict), Market: rows.Market(c.market), Date: day, Session: formulatest.Session(tables)}
}

func toFills(fills map[string][]exactFill) []formula.Fill {
	var out []formula.Fill
	for _, slot := range []string{"one", "two"} {
		if fills[slot] == nil {
			continue
		}
		f := formula.Fill{Slot: slot}
		for _, part := range fills[slot] {
			f.Parts = append(f.Parts, formula.FillPart{Ingredient: part.material, SharePct: toNum(part.share)})
		}
		out = append(out, f)
	}
	return out
}

func (m *exactMaterial) sheet(t testing.TB) *ingredients.Sheet {
	t.Helper()
	s := &ingredients.Sheet{ID: m.id, Name: m.id, Form: "powder", LabelAs: ingredients.LabelINCI, Composition: ingredients.Composition{Complete: m.complete}}
	if m.scent != "" {
		s.LabelAs = ingredients.LabelAs(strings.ToLower(m.scent))
	} else {
		s.Functions = []string{plainFunctions[m.function]}
	}
	read := func(p exactPart) exact.Amount {
		a, err := exact.ParseAmount(p.text)
		require.NoError(t, err)
		return a
	}
	for _, p := range m.parts {
		s.Composition.Constituents = append(s.Composition.Constituents, ingredients.Constituent{INCI: p.name, Pct: read(p)})
	}
	for _, p := range m.traces {
		s.Impurities = append(s.Impurities, ingredients.Impurity{Name: p.name, Amount: read(p)})
	}
	if m.list != "" {
		s.Allergens = &ingredients.AllergenDeclaration{List: m.list}
		for _, p := range m.declared {
			s.Allergens.Declared = append(s.Allergens.Declared, ingredients.DeclaredAllergen{Name: p.name, Pct: read(p)})
		}
	}
	if m.certificate != "" {
		l := ingredients.CategoryLimit{Category: m.category, NotPermitted: m.certificate == "closed", NoLimit: m.certificate == "open"}
		if m.certificate == "figure" {
			l.MaxPct = toNum(m.limit)
		}
		s.FragranceLimits = &ingredients.Certificate{Amendment: 51, Limits: []ingredients.CategoryLimit{l}}
	}
	for _, v := range m.tox {
		s.Toxicology = append(s.Toxicology, ingredients.Toxicology{INCI: v.name, PoDType: v.kind, PoD: toNumPtr(v.value), Study: v.study, CramerClass: v.cramer,
			DermalAbsorptionPct: toNumPtr(v.dermal), OralAbsorptionPct: toNumPtr(v.oral), DermalUgCm2: toNumPtr(v.area), Replaces: v.replaces, Source: "generated"})
	}
	return s
}

func (s *exactScore) fail(format string, args ...any) {
	s.off = append(s.off, fmt.Sprintf(format, args...))
}

// num compares a fraction.
func (s *exactScore) num(where string, want rat, got exact.Num) {
	s.rationals++
	if have, ok := new(big.Rat).SetString(got.Exact()); !ok || have.Cmp(want) != 0 {
		s.rationalsOff++
		s.fail("%s: %s, exactly %s", where, got.Exact(), want.RatString())
	}
}

func (s *exactScore) span(where string, want span, got exact.Range) {
	s.num(where+" min", want.lo, got.Min)
	s.num(where+" typical", want.ty, got.Typ)
	s.num(where+" max", want.hi, got.Max)
}

// verdict compares words.
func (s *exactScore) verdict(where, want, got string) {
	s.verdicts++
	if kind, _, _ := strings.Cut(where, " "); slices.Contains([]string{"allergen", "limit", "certificate", "margin", "aggregate", "TTC"}, kind) {
		s.byVerdict[kind+" "+want]++
	}
	if want != got {
		s.verdictsOff++
		s.fail("%s: %q, exactly %q", where, got, want)
	}
}

// float compares a binary fraction, nil with 0.
func (s *exactScore) float(where string, want rat, got float64) {
	if want == nil {
		want = new(big.Rat)
	}
	s.floats++
	exact, _ := want.Float64()
	if exact == 0 {
		if got != 0 {
			s.fail("%s: %v, exactly 0", where, got)
		}
		return
	}
	have := new(big.Rat).SetFloat64(got)
	if have == nil {
		s.fail("%s: %v, exactly %v", where, got, exact)
		return
	}
	off, _ := over(minus(have, want), want).Float64()
	if off = max(off, -off); off > s.worst {
		s.worst, s.worstAt = off, where
	}
	if off > 1e-12 {
		s.fail("%s: %v, exactly %v", where, got, exact)
	}
}

func (s *exactScore) compare(x *exactRun, r *calc.Result) {
	for i, m := range x.mixes {
		c := r.Compositions[i]
		if s.verdict("mixture", m.name, c.Mixture.Name); len(c.Substances) != len(x.content[i]) {
			s.fail("%d substances, exactly %d", len(c.Substances), len(x.content[i]))
			return
		}
		for _, u := range formula.UseOf(c.Mixture) {
			s.num("use of "+u.Ingredient, m.use(u.Ingredient), u.Pct)
		}
		for _, sub := range c.Substances {
			e := x.content[i][sub.INCI]
			if e == nil {
				s.fail("%s is in no plain mixture", sub.INCI)
				return
			}
			s.span("composition of "+sub.INCI, e.comp, sub.Pct)
			s.span("total of "+sub.INCI, e.total, sub.Total)
		}
	}
	allergens := x.allergens()
	s.allergens(allergens, r)
	s.list(x, allergens, r)
	s.scents(x, r)
	s.limits(x.limits(), r)
	e := x.exposure()
	s.exposure(e, r)
	s.margins(x.margins(e), r)
	for _, tr := range r.Traces {
		worst, _ := x.worst(func(i int) span {
			if c := x.content[i][tr.Name]; c != nil {
				return c.trace
			}
			return nothing()
		})
		s.span("mg/kg of "+tr.Name, worst.times(q(10_000, 1)), tr.MgPerKg)
	}
}

func (s *exactScore) allergens(want []exactAllergen, r *calc.Result) {
	if len(want) != len(r.Allergens) {
		s.fail("%d allergens, exactly %d", len(r.Allergens), len(want))
		return
	}
	for i, a := range r.Allergens {
		w := want[i]
		s.verdict("label name", w.label, a.LabelName)
		s.span(w.label+" in the whole", w.whole, a.Whole)
		s.span(w.label+" at worst", w.worst, a.Worst)
		s.num("threshold", w.threshold, a.ThresholdPct)
		s.verdict("allergen "+w.label, w.verdict, string(a.Verdict))
		s.verdict("place of "+w.label, w.where, a.WorstIn)
	}
}

func (s *exactScore) list(x *exactRun, allergens []exactAllergen, r *calc.Result) {
	entries := x.list(allergens)
	var names []string
	for _, e := range entries {
		names = append(names, e.name)
	}
	s.verdict("ingredient list", strings.Join(names, ", "), r.List.Line())
	open := x.open(entries)
	if len(open) != len(r.List.Open) {
		s.verdictsOff++
		s.fail("open pairs %v, exactly %v", r.List.Open, open)
		return
	}
	for i, o := range r.List.Open {
		s.verdict("open pair", open[i].first+" / "+open[i].second, o.First+" / "+o.Second)
		s.num("least difference", open[i].least, o.LeastPct)
	}
}

func (s *exactScore) scents(x *exactRun, r *calc.Result) {
	uses, sums := x.scents()
	if len(uses) != len(r.Fragrances) {
		s.fail("%d scents, exactly %d", len(r.Fragrances), len(uses))
		return
	}
	for _, u := range uses {
		got := r.Fragrances[slices.IndexFunc(r.Fragrances, func(f standards.FragranceUse) bool { return f.Ingredient == u.material })]
		s.num("use of "+u.material, u.use, got.UsePct)
		s.verdict("certificate of "+u.material, u.status, string(got.Status))
		if u.ratio != nil && got.Ratio != nil {
			s.num("ratio of "+u.material, u.ratio, *got.Ratio)
		}
	}
	for i, m := range x.mixes {
		for _, f := range r.FragranceSums {
			if f.Portion == m.name {
				s.num("sum of certificates", sums[i], f.Ratio)
			}
		}
	}
}

func (s *exactScore) limits(want map[string]exactLimit, r *calc.Result) {
	got := map[string]limits.LimitCheck{}
	for _, c := range r.Limits {
		key := c.Row.Key
		if c.Row.Sum.Kind != annex.SumAll {
			key += "|" + c.Substances[0]
		}
		got[key] = c
	}
	for key, w := range want {
		if w.verdict == "" {
			continue // a fact or factor that is missing leaves it open
		}
		s.verdict("limit "+key, w.verdict, string(got[key].Verdict))
		if w.counted != nil && (w.verdict == "kept" || w.verdict == "exceeded") {
			s.num("counted for "+key, w.counted, got[key].Content.Max)
		}
	}
}

func value(s *formula.Stated) float64 {
	if s == nil {
		return 0
	}
	return s.Value
}

func (s *exactScore) exposure(want exactExposure, r *calc.Result) {
	e := r.Exposure
	s.verdict("audience", want.audience, string(e.Audience))
	s.float("E/bw", want.perKg, value(e.MgPerKg))
	s.float("body weight", want.weight, value(e.BodyWeightKg))
	s.float("skin area", want.area, value(e.AreaCm2))
	s.float("uses a day", want.perDay, value(e.PerDay))
	s.float("factor for children", want.child, value(e.ChildFactor))
	s.float("inhaled", want.inhaled, r.Inhalation.MgPerKg)
}

func (s *exactScore) margins(want map[string]*exactMargin, r *calc.Result) {
	if len(want) != len(r.Margins) {
		s.fail("%d margins, exactly %d", len(r.Margins), len(want))
		return
	}
	for _, m := range r.Margins {
		w := want[m.INCI]
		s.span("content of "+m.INCI, w.content, m.Content)
		s.verdict("worst of "+m.INCI, w.where, m.WorstIn)
		s.float("SED of "+m.INCI, w.sed, m.SED.Max)
		s.float("typical SED of "+m.INCI, w.typical, m.SED.Typical)
		s.float("PoD of "+m.INCI, w.podSys, m.PoDSys)
		s.float("MoS of "+m.INCI, w.mos, m.MoS)
		s.float("target of "+m.INCI, w.goal, m.Target.Value)
		s.verdict("margin of "+m.INCI, w.verdict, string(m.Verdict))
		s.verdict("no margin of "+m.INCI, w.none, string(m.None))
		if m.HighestPct != nil {
			s.float("highest of "+m.INCI, w.highest, *m.HighestPct)
		}
		got := ""
		if m.TTC != nil {
			got = string(m.TTC.Verdict)
			s.float("TTC dose of "+m.INCI, w.ttcDose, m.TTC.DoseUg)
			s.float("TTC of "+m.INCI, w.ttcMost, m.TTC.Internal)
		}
		s.verdict("TTC of "+m.INCI, w.ttc, got)
	}
	found := 0
	for _, a := range r.Aggregates {
		if w := want[a.INCI]; w != nil && w.aggregate != nil {
			found++
			s.float("aggregate SED of "+a.INCI, w.aggregate.sed, a.SED)
			s.float("aggregate MoS of "+a.INCI, w.aggregate.mos, a.MoS)
			s.verdict("aggregate of "+a.INCI, w.aggregate.verdict, string(a.Verdict))
			continue
		}
		s.fail("aggregate of %s, exactly none", a.INCI)
	}
	for name, w := range want {
		if w.aggregate != nil && !slices.ContainsFunc(r.Aggregates, func(a exposure.Aggregate) bool { return a.INCI == name }) {
			s.fail("no aggregate of %s", name)
		}
	}
}
