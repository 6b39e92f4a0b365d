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
	"gallipot/calc/plaintest"
	"gallipot/calc/standards"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/testdata"
)

var (
	exactCases = flag.Int("exact", testdata.Cases(60, 400), "how many generated formulas TestWholeCalculation compares")
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
	s.rationals, s.floats, s.verdicts, s.ties = s.rationals+o.rationals, s.floats+o.floats,
		s.verdicts+o.verdicts, s.ties+o.ties
	s.rationalsOff, s.verdictsOff, s.off = s.rationalsOff+o.rationalsOff, s.verdictsOff+o.verdictsOff,
		append(s.off, o.off...)
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
func (s *exactScore) one(t *testing.T, g *plaintest.Generator, seed uint64) {
	c := g.Generate(seed)
	tied := g.Tie()
	if tied != "" {
		s.ties++
		kind, _, _ := strings.Cut(tied, " ")
		s.tiedBy[kind]++
	}
	before := len(s.off)
	x := plaintest.NewRun(c, g.Book)
	r := calc.Assess(inputOf(t, c))
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
		g := plaintest.NewGenerator(plaintest.NewBook(t, formulatest.PlainAsked()))
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
		*exactCases, score.ties, score.rationals, score.rationalsOff, score.verdicts, score.verdictsOff,
		score.floats, score.worst, score.worstAt)
	t.Logf("%v", score.byVerdict)
	t.Logf("ties: %v", score.tiedBy)
	require.Empty(t, score.off, strings.Join(score.off, "\n"))
	require.Less(t, score.worst, 1e-13)
	require.Greater(t, score.rationals, 50**exactCases)
	require.Greater(t, score.ties, *exactCases/5)
}

func toNum(r plaintest.Rat) exact.Num { return exact.FromRat(r) }

func toNumPtr(r plaintest.Rat) *exact.Num {
	if r == nil {
		return nil
	}
	n := toNum(r)
	return &n
}

// input turns a case into the program's input. Contents of sheets go through
// their text.
func inputOf(t testing.TB, c *plaintest.Case) *formula.Input {
	t.Helper()
	tables := table.Builtin()
	pt, ok := law.ProductType(tables, c.Kind)
	require.True(t, ok)
	day, err := exact.ParseDate(c.Day)
	require.NoError(t, err)
	no := false
	p := &formula.Product{ID: "generated", IntendedFor: formula.Audience(c.Ages), Professional: &no,
		Formula: formula.Formula{Basis: formula.Percent, Phases: []formula.Phase{{ID: "A"}}}}
	if c.Grams {
		p.Formula.Basis = formula.Grams
	}
	for i, l := range c.Lines {
		p.Formula.Phases[0].Lines = append(p.Formula.Phases[0].Lines,
			formula.Line{Ingredient: l.Material, Slot: l.Slot, Amount: toNum(l.Amount), Rest: l.Rest,
				Pos: exact.Pos{File: "products/generated.yaml", Line: 10 + i, Col: 5}})
	}
	if c.Own != nil {
		o := c.Own
		p.Exposure = &formula.OwnExposure{AmountGDay: toNumPtr(o.Amount), RetentionPct: toNumPtr(o.Retention),
			RelativeMgKgD: toNumPtr(o.Relative),
			AreaCm2:       toNumPtr(o.Area), TimesPerDay: toNumPtr(o.PerDay), BodyWeightKg: toNumPtr(o.Weight),
			Source: "generated"}
	}
	if c.Soap != nil {
		short := map[string]string{"Sodium Hydroxide": "NaOH", "Potassium Hydroxide": "KOH"}[c.Soap.Alkali]
		p.Saponify = &formula.Saponification{Alkali: []string{short}, WaterLossPct: toNum(c.Soap.Loss)}
	}
	v := &formula.Variant{Fill: toFills(c.Fill)}
	for _, part := range c.Portions {
		v.Portions = append(v.Portions, formula.Portion{SharePct: toNum(part.Share), Fill: toFills(part.Fill)})
	}
	for i, a := range c.Then {
		v.ThenAdd = append(v.ThenAdd,
			formula.Addition{Ingredient: a.Material, Parts: toNum(a.Share),
				Pos: exact.Pos{File: "products/generated.yaml", Line: 90 + i, Col: 5}})
	}
	sheets := map[string]*ingredients.Sheet{}
	for _, m := range c.Materials {
		sheets[m.Id] = sheetOf(t, m)
	}
	dict := tables.Dictionary()
	return &formula.Input{Product: p, Variant: v, Type: pt, Sheets: sheets,
		Materials: formula.PrepareAll(sheets, dict), Market: rows.Market(c.Market), Date: day,
		Session: formulatest.Session(tables)}
}

func toFills(fills map[string][]plaintest.Fill) []formula.Fill {
	var out []formula.Fill
	for _, slot := range []string{"one", "two"} {
		if fills[slot] == nil {
			continue
		}
		f := formula.Fill{Slot: slot}
		for _, part := range fills[slot] {
			f.Parts = append(f.Parts, formula.FillPart{Ingredient: part.Material, SharePct: toNum(part.Share)})
		}
		out = append(out, f)
	}
	return out
}

func sheetOf(t testing.TB, m *plaintest.Material) *ingredients.Sheet {
	t.Helper()
	s := &ingredients.Sheet{ID: m.Id, Name: m.Id, Form: "powder", LabelAs: ingredients.LabelINCI,
		Composition: ingredients.Composition{Complete: m.Complete}}
	if m.Scent != "" {
		s.LabelAs = ingredients.LabelAs(strings.ToLower(m.Scent))
	} else {
		s.Functions = []string{formulatest.PlainFunctions[m.Function]}
	}
	read := func(p plaintest.Part) exact.Amount {
		a, err := exact.ParseAmount(p.Text)
		require.NoError(t, err)
		return a
	}
	for _, p := range m.Parts {
		s.Composition.Constituents = append(s.Composition.Constituents, ingredients.Constituent{INCI: p.Name, Pct: read(p)})
	}
	for _, p := range m.Traces {
		s.Impurities = append(s.Impurities, ingredients.Impurity{Name: p.Name, Amount: read(p)})
	}
	if m.List != "" {
		s.Allergens = &ingredients.AllergenDeclaration{List: m.List}
		for _, p := range m.Declared {
			s.Allergens.Declared = append(s.Allergens.Declared, ingredients.DeclaredAllergen{Name: p.Name, Pct: read(p)})
		}
	}
	if m.Certificate != "" {
		l := ingredients.CategoryLimit{Category: m.Category, NotPermitted: m.Certificate == "closed",
			NoLimit: m.Certificate == "open"}
		if m.Certificate == "figure" {
			l.MaxPct = toNum(m.Limit)
		}
		s.FragranceLimits = &ingredients.Certificate{Amendment: 51, Limits: []ingredients.CategoryLimit{l}}
	}
	for _, v := range m.Tox {
		s.Toxicology = append(s.Toxicology,
			ingredients.Toxicology{INCI: v.Name, PoDType: v.Kind, PoD: toNumPtr(v.Value), Study: v.Study, CramerClass: v.Cramer,
				DermalAbsorptionPct: toNumPtr(v.Dermal), OralAbsorptionPct: toNumPtr(v.Oral),
				DermalUgCm2: toNumPtr(v.Area), Replaces: v.Replaces, Source: "generated"})
	}
	return s
}

func (s *exactScore) fail(format string, args ...any) {
	s.off = append(s.off, fmt.Sprintf(format, args...))
}

// num compares a fraction.
func (s *exactScore) num(where string, want plaintest.Rat, got exact.Num) {
	s.rationals++
	if have, ok := new(big.Rat).SetString(got.Exact()); !ok || have.Cmp(want) != 0 {
		s.rationalsOff++
		s.fail("%s: %s, exactly %s", where, got.Exact(), want.RatString())
	}
}

func (s *exactScore) span(where string, want plaintest.Span, got exact.Range) {
	s.num(where+" min", want.Lo, got.Min)
	s.num(where+" typical", want.Ty, got.Typ)
	s.num(where+" max", want.Hi, got.Max)
}

// verdict compares words.
func (s *exactScore) verdict(where, want, got string) {
	s.verdicts++
	if kind, _, _ := strings.Cut(where,
		" "); slices.Contains([]string{"allergen", "limit", "certificate", "margin", "aggregate", "TTC"}, kind) {
		s.byVerdict[kind+" "+want]++
	}
	if want != got {
		s.verdictsOff++
		s.fail("%s: %q, exactly %q", where, got, want)
	}
}

// float compares a binary fraction, nil with 0.
func (s *exactScore) float(where string, want plaintest.Rat, got float64) {
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
	off, _ := plaintest.Over(plaintest.Minus(have, want), want).Float64()
	if off = max(off, -off); off > s.worst {
		s.worst, s.worstAt = off, where
	}
	if off > 1e-12 {
		s.fail("%s: %v, exactly %v", where, got, exact)
	}
}

func (s *exactScore) compare(x *plaintest.Run, r *calc.Result) {
	for i, m := range x.Mixes {
		c := r.Compositions[i]
		if s.verdict("mixture", m.Name, c.Mixture.Name); len(c.Substances) != len(x.Content[i]) {
			s.fail("%d substances, exactly %d", len(c.Substances), len(x.Content[i]))
			return
		}
		for _, u := range formula.UseOf(c.Mixture) {
			s.num("use of "+u.Ingredient, m.Use(u.Ingredient), u.Pct)
		}
		for _, sub := range c.Substances {
			e := x.Content[i][sub.INCI]
			if e == nil {
				s.fail("%s is in no plain mixture", sub.INCI)
				return
			}
			s.span("composition of "+sub.INCI, e.Comp, sub.Pct)
			s.span("total of "+sub.INCI, e.Total, sub.Total)
		}
	}
	allergens := x.Allergens()
	s.allergens(allergens, r)
	s.list(x, allergens, r)
	s.scents(x, r)
	s.limits(x.Limits(), r)
	e := x.Exposure()
	s.exposure(e, r)
	s.margins(x.Margins(e), r)
	for _, tr := range r.Traces {
		worst, _ := x.Worst(func(i int) plaintest.Span {
			if c := x.Content[i][tr.Name]; c != nil {
				return c.Trace
			}
			return plaintest.Nothing()
		})
		s.span("mg/kg of "+tr.Name, worst.Times(plaintest.Q(10_000, 1)), tr.MgPerKg)
	}
}

func (s *exactScore) allergens(want []plaintest.Allergen, r *calc.Result) {
	if len(want) != len(r.Allergens) {
		s.fail("%d allergens, exactly %d", len(r.Allergens), len(want))
		return
	}
	for i, a := range r.Allergens {
		w := want[i]
		s.verdict("label name", w.Label, a.LabelName)
		s.span(w.Label+" in the whole", w.Whole, a.Whole)
		s.span(w.Label+" at worst", w.Worst, a.Worst)
		s.num("threshold", w.Threshold, a.ThresholdPct)
		s.verdict("allergen "+w.Label, w.Verdict, string(a.Verdict))
		s.verdict("place of "+w.Label, w.Where, a.WorstIn)
	}
}

func (s *exactScore) list(x *plaintest.Run, allergens []plaintest.Allergen, r *calc.Result) {
	entries := x.List(allergens)
	var names []string
	for _, e := range entries {
		names = append(names, e.Name)
	}
	s.verdict("ingredient list", strings.Join(names, ", "), r.List.Line())
	open := x.Open(entries)
	if len(open) != len(r.List.Open) {
		s.verdictsOff++
		s.fail("open pairs %v, exactly %v", r.List.Open, open)
		return
	}
	for i, o := range r.List.Open {
		s.verdict("open pair", open[i].First+" / "+open[i].Second, o.First+" / "+o.Second)
		s.num("least difference", open[i].Least, o.LeastPct)
	}
}

func (s *exactScore) scents(x *plaintest.Run, r *calc.Result) {
	uses, sums := x.Scents()
	if len(uses) != len(r.Fragrances) {
		s.fail("%d scents, exactly %d", len(r.Fragrances), len(uses))
		return
	}
	for _, u := range uses {
		got := r.Fragrances[slices.IndexFunc(r.Fragrances,
			func(f standards.FragranceUse) bool { return f.Ingredient == u.Material })]
		s.num("use of "+u.Material, u.Use, got.UsePct)
		s.verdict("certificate of "+u.Material, u.Status, string(got.Status))
		if u.Ratio != nil && got.Ratio != nil {
			s.num("ratio of "+u.Material, u.Ratio, *got.Ratio)
		}
	}
	for i, m := range x.Mixes {
		for _, f := range r.FragranceSums {
			if f.Portion == m.Name {
				s.num("sum of certificates", sums[i], f.Ratio)
			}
		}
	}
}

func (s *exactScore) limits(want map[string]plaintest.Limit, r *calc.Result) {
	got := map[string]limits.LimitCheck{}
	for _, c := range r.Limits {
		key := c.Row.Key
		if c.Row.Sum.Kind != annex.SumAll {
			key += "|" + c.Substances[0]
		}
		got[key] = c
	}
	for key, w := range want {
		if w.Verdict == "" {
			continue // a fact or factor that is missing leaves it open
		}
		s.verdict("limit "+key, w.Verdict, string(got[key].Verdict))
		if w.Counted != nil && (w.Verdict == "kept" || w.Verdict == "exceeded") {
			s.num("counted for "+key, w.Counted, got[key].Content.Max)
		}
	}
}

func value(s *formula.Stated) float64 {
	if s == nil {
		return 0
	}
	return s.Value
}

func (s *exactScore) exposure(want plaintest.Exposure, r *calc.Result) {
	e := r.Exposure
	s.verdict("audience", want.Audience, string(e.Audience))
	s.float("E/bw", want.PerKg, value(e.MgPerKg))
	s.float("body weight", want.Weight, value(e.BodyWeightKg))
	s.float("skin area", want.Area, value(e.AreaCm2))
	s.float("uses a day", want.PerDay, value(e.PerDay))
	s.float("factor for children", want.Child, value(e.ChildFactor))
	s.float("inhaled", want.Inhaled, r.Inhalation.MgPerKg)
}

func (s *exactScore) margins(want map[string]*plaintest.Margin, r *calc.Result) {
	if len(want) != len(r.Margins) {
		s.fail("%d margins, exactly %d", len(r.Margins), len(want))
		return
	}
	for _, m := range r.Margins {
		w := want[m.INCI]
		s.span("content of "+m.INCI, w.Content, m.Content)
		s.verdict("worst of "+m.INCI, w.Where, m.WorstIn)
		s.float("SED of "+m.INCI, w.Sed, m.SED.Max)
		s.float("typical SED of "+m.INCI, w.Typical, m.SED.Typical)
		s.float("PoD of "+m.INCI, w.PodSys, m.PoDSys)
		s.float("MoS of "+m.INCI, w.Mos, m.MoS)
		s.float("target of "+m.INCI, w.Goal, m.Target.Value)
		s.verdict("margin of "+m.INCI, w.Verdict, string(m.Verdict))
		s.verdict("no margin of "+m.INCI, w.None, string(m.None))
		if m.HighestPct != nil {
			s.float("highest of "+m.INCI, w.Highest, *m.HighestPct)
		}
		got := ""
		if m.TTC != nil {
			got = string(m.TTC.Verdict)
			s.float("TTC dose of "+m.INCI, w.TtcDose, m.TTC.DoseUg)
			s.float("TTC of "+m.INCI, w.TtcMost, m.TTC.Internal)
		}
		s.verdict("TTC of "+m.INCI, w.Ttc, got)
	}
	found := 0
	for _, a := range r.Aggregates {
		if w := want[a.INCI]; w != nil && w.Aggregate != nil {
			found++
			s.float("aggregate SED of "+a.INCI, w.Aggregate.Sed, a.SED)
			s.float("aggregate MoS of "+a.INCI, w.Aggregate.Mos, a.MoS)
			s.verdict("aggregate of "+a.INCI, w.Aggregate.Verdict, string(a.Verdict))
			continue
		}
		s.fail("aggregate of %s, exactly none", a.INCI)
	}
	for name, w := range want {
		if w.Aggregate != nil && !slices.ContainsFunc(r.Aggregates,
			func(a exposure.Aggregate) bool { return a.INCI == name }) {
			s.fail("no aggregate of %s", name)
		}
	}
}
