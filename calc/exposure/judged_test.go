package exposure_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// judged computes 50 % of a material in a product used at 2 mg/kg bw/d, with what an
// assessor decided; the SED of all of it by half is 2 × 50 % × 50 % = 0.5 mg/kg bw/d.
func judged(t *testing.T, m *ingredients.Sheet, list ...formula.Judged) *calc.Result {
	t.Helper()
	tables := table.Builtin()
	kind, ok := law.ProductType(tables, "body-lotion")
	require.True(t, ok)
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", m.ID, "50")
	p.IntendedFor, p.Exposure = formula.Adults, formulatest.Own(t, "relative", "2")
	sheets := map[string]*ingredients.Sheet{m.ID: m, "water": formulatest.Sheet(t, "water", "Aqua", "100")}
	return calc.Assess(&formula.Input{Product: p, Variant: &formula.Variant{}, Type: kind, Sheets: sheets,
		Materials: formula.PrepareAll(sheets, tables.Dictionary()), Market: rows.EU, Date: today, Judged: list,
		Session: formulatest.Session(tables)})
}

func decided(inci string) formula.Judged {
	return formula.Judged{INCI: inci, Reason: "read across", Assessor: "Dr Example", Dated: 20261120,
		Pos: exact.Pos{File: "assessor.yaml", Line: 7}}
}

// What an assessor decided stands in for table and sheets, by hand:
//
//	PoD 30, oral, 50 % absorbed: 15 / 0.5 = 30, below 100; absorption of 10 %: 2 × 50 % × 10 % = 0.1, 15 / 0.1 = 150
//	PoD 200 with a target of 250: 100 / 0.5 = 200, below it
func TestWhatAnAssessorDecided(t *testing.T) {
	m := formulatest.Sheet(t, "m", "Exemplum Acid", "100")
	formulatest.Tox(t, m, "NOAEL", "400", "", "")
	plain := calctest.Margin(t, judged(t, m), "Exemplum Acid")
	require.InDelta(t, 400, plain.MoS, 1e-9) // 200 / 0.5
	assert.Nil(t, plain.Judged)

	j := decided("exemplum acid") // in whatever letters
	j.PoD = formulatest.Ptr(formulatest.Num(t, "30"))
	r := judged(t, m, j)
	x := calctest.Margin(t, r, "Exemplum Acid")
	assert.InDelta(t, 30, x.MoS, 1e-9)
	assert.Equal(t, exposure.MarginBelow, x.Verdict)
	assert.Equal(t, []string{"NOAEL", "oral", formula.SeenAssessor, "read across"},
		[]string{x.PoD.Type, x.PoD.Route, x.PoD.Seen, x.PoD.Study})
	require.Len(t, x.Others, 1)
	assert.Equal(t, "replaced by the assessor, Dr Example, 2026-11-20", x.Others[0].Unusable)
	f := calctest.Finding(t, r, "assessors-value")
	assert.Equal(t, finding.Note, f.Severity)
	assert.Equal(t, "Exemplum Acid", f.Subject)
	pod, _ := f.Values.Get("pod")
	assert.Equal(t, []any{"30", finding.AsIs}, []any{pod.Low.Exact(), pod.Round})
	for _, name := range []string{"absorption", "target"} {
		_, ok := f.Values.Get(name)
		assert.False(t, ok, name)
	}

	j = decided("Exemplum Acid")
	j.AbsorptionPct = formulatest.Ptr(formulatest.Num(t, "12.5"))
	r = judged(t, m, j)
	x = calctest.Margin(t, r, "Exemplum Acid")
	assert.InDelta(t, 0.125, x.SED.Max, 1e-12) // 2 × 50 % × 12.5 %
	assert.InDelta(t, 1600, x.MoS, 1e-9)       // 200 / 0.125
	assert.Equal(t, "replaced by the assessor", x.Absorption.Why)
	f = calctest.Finding(t, r, "assessors-value")
	v, _ := f.Values.Get("absorption")
	assert.Equal(t, []any{"12.5", finding.AsIs}, []any{v.Low.Exact(), v.Round})

	j = decided("Exemplum Acid")
	j.Target = formulatest.Ptr(formulatest.Num(t, "450.5"))
	r = judged(t, m, j)
	x = calctest.Margin(t, r, "Exemplum Acid")
	assert.Equal(t, 450.5, x.Target.Value)
	assert.Equal(t, exposure.MarginBelow, x.Verdict)
	f = calctest.Finding(t, r, "assessors-value")
	v, _ = f.Values.Get("target")
	assert.Equal(t, []any{"450.5", finding.AsIs}, []any{v.Low.Exact(), v.Round})
	// a target of the sheet is not taken beside that of the assessor
	m.Toxicology[0].Target, m.Toxicology[0].TargetReason = formulatest.Ptr(formulatest.Num(t, "10")), "from people"
	assert.Equal(t, 450.5, calctest.Margin(t, judged(t, m, j), "Exemplum Acid").Target.Value)
	assert.Equal(t, 10.0, calctest.Margin(t, judged(t, m), "Exemplum Acid").Target.Value)

	// of another substance, it changes nothing
	assert.InDelta(t, 400, calctest.Margin(t, judged(t, m, decided("Exemplum Base")), "Exemplum Acid").MoS, 1e-9)
}

// The route of an assessor's figure is the one stated, else that of the value it replaces,
// else oral; the absorption of the study is the lowest known, by hand:
//
//	dermal, 50 % absorbed by skin: 100 × 50 % / 0.5 = 100
//	oral with 20 % absorbed: 100 × 20 % / 0.5 = 40
func TestRouteOfAnAssessorsFigure(t *testing.T) {
	value := func(route string) formula.Judged {
		j := decided("Exemplum Acid")
		j.PoD, j.Route = formulatest.Ptr(formulatest.Num(t, "100")), route
		return j
	}
	m := formulatest.Sheet(t, "m", "Exemplum Acid", "100")
	none := calctest.Margin(t, judged(t, m, value("")), "Exemplum Acid")
	assert.Equal(t, "oral", none.PoD.Route)
	assert.InDelta(t, 100, none.MoS, 1e-9)
	assert.Equal(t, "dermal", calctest.Margin(t, judged(t, m, value("dermal")), "Exemplum Acid").PoD.Route)

	v := formulatest.Tox(t, m, "NOAEL", "400", "", "")
	v.Study = "rat, dermal, 90 days"
	assert.Equal(t, "dermal", calctest.Margin(t, judged(t, m, value("")), "Exemplum Acid").PoD.Route)
	assert.Equal(t, "oral", calctest.Margin(t, judged(t, m, value("oral")), "Exemplum Acid").PoD.Route)

	oral := formulatest.Sheet(t, "m", "Exemplum Acid", "100")
	formulatest.Tox(t, oral, "NOAEL", "400", "", "20")
	formulatest.Tox(t, oral, "NOAEL", "400", "", "60")
	x := calctest.Margin(t, judged(t, oral, value("")), "Exemplum Acid")
	assert.Equal(t, 20.0, x.PoD.Systemic.Value)
	assert.InDelta(t, 40, x.MoS, 1e-9)

	// a figure of the assessor lets a margin be computed where the value of the sheet is none
	unfit := formulatest.Sheet(t, "m", "Exemplum Acid", "100")
	formulatest.Tox(t, unfit, "ADI", "1", "", "")
	require.Equal(t, exposure.NoMarginUnusable, calctest.Margin(t, judged(t, unfit), "Exemplum Acid").None)
	x = calctest.Margin(t, judged(t, unfit, value("")), "Exemplum Acid")
	assert.InDelta(t, 100, x.MoS, 1e-9)
	assert.NotContains(t, x.Others[0].Unusable, "replaced", "its own reason stays")
}

// Substances with one word are held to one margin, by hand: 50 % of a material of three
// substances at 2 mg/kg bw/d, half absorbed.
//
//	A 60 %: SED 0.3, PoD 200 × 50 % = 100; B 30 %: SED 0.15, PoD 90 × 50 % = 45; together 45 / 0.45 = 100
//	a target of 120 for B asks for more
func TestSumOfMargins(t *testing.T) {
	build := func(podB, targetB string) *ingredients.Sheet {
		m := formulatest.Sheet(t, "m", "Exemplum Acid", "60", "Exemplum Base", "30", "Exemplum Salt", "10")
		formulatest.Tox(t, m, "NOAEL", "200", "", "").SumWith = "acids"
		v := formulatest.Tox(t, m, "NOAEL", podB, "", "")
		v.INCI, v.SumWith = "Exemplum Base", "acids"
		if targetB != "" {
			v.Target, v.TargetReason = formulatest.Ptr(formulatest.Num(t, targetB)), "stated"
		}
		return m
	}
	r := judged(t, build("90", ""))
	require.Len(t, r.SumMargins, 1)
	s := r.SumMargins[0]
	assert.Equal(t, "acids", s.Name)
	assert.ElementsMatch(t, []string{"Exemplum Acid", "Exemplum Base"}, s.Substances)
	assert.Empty(t, s.Missing)
	assert.Equal(t, []float64{45, 100}, []float64{s.PoDSys, s.Target.Value})
	assert.InDelta(t, 0.45, s.SED, 1e-12)
	assert.Equal(t, 100.0, s.MoS, "exactly at the target")
	assert.Equal(t, exposure.MarginReached, s.Verdict)
	assert.Equal(t, "MoS = 45 / (0.15 + 0.3) = 100", s.Arithmetic)
	assert.Empty(t, calctest.Findings(r, "sum-margin"))

	r = judged(t, build("89.9", ""))
	assert.Equal(t, exposure.MarginBelow, r.SumMargins[0].Verdict)
	f := calctest.Finding(t, r, "sum-margin")
	assert.Equal(t, []string{"acids", ""}, []string{f.Subject, f.Form})
	assert.Equal(t, 11, f.Pos.Line, "the line of the formula that brings it")
	// what each is held to: the highest
	r = judged(t, build("90", "120"))
	assert.Equal(t, 120.0, r.SumMargins[0].Target.Value)
	assert.Equal(t, exposure.MarginBelow, r.SumMargins[0].Verdict)
	r = judged(t, build("90", "20"))
	assert.Equal(t, 100.0, r.SumMargins[0].Target.Value)

	// one of the sum without a margin is said, and counted in no figure: 45 / 0.15 = 300
	m := build("90", "")
	m.Toxicology[0].PoD, m.Toxicology[0].PoDType = nil, ""
	r = judged(t, m)
	require.Len(t, r.SumMargins, 1)
	assert.Equal(t, [][]string{{"Exemplum Base"}, {"Exemplum Acid"}}, [][]string{r.SumMargins[0].Substances,
		r.SumMargins[0].Missing})
	assert.InDelta(t, 300, r.SumMargins[0].MoS, 1e-9)
	f = calctest.Finding(t, r, "sum-margin")
	assert.Equal(t, "missing", f.Form)

	// a sum of one, or of none with a margin, is none; a substance counts once however many
	// entries say so
	m = build("90", "")
	m.Toxicology[1].SumWith = "another word"
	assert.Empty(t, judged(t, m).SumMargins)
	m.Toxicology[1].SumWith = ""
	assert.Empty(t, judged(t, m).SumMargins)
	m = build("90", "")
	again := m.Toxicology[0]
	m.Toxicology = append(m.Toxicology, again)
	assert.InDelta(t, 0.45, judged(t, m).SumMargins[0].SED, 1e-12)
}

// Figures that nobody read are told by table, with how far each was read.
func TestUnreadByTable(t *testing.T) {
	a, b, c := exposure.MemoryFigure{Table: "a", Row: "1", Seen: "memory"}, exposure.MemoryFigure{Table: "a",
		Row: "2", Seen: "partly"},
		exposure.MemoryFigure{Table: "b", Row: "3", Seen: "none"}
	assert.Equal(t, [][]exposure.MemoryFigure{{a, b}, {c}}, exposure.ByTable([]exposure.MemoryFigure{a, b, c}))
	assert.Empty(t, exposure.ByTable(nil))
	assert.Equal(t, "1; 2 (partly); 3 (none)", exposure.RowNames([]exposure.MemoryFigure{a, b, c}))
	assert.Equal(t, []string{"1 row", "2 rows", "0 rows"}, []string{exposure.CountOf(1, "row"),
		exposure.CountOf(2, "row"),
		exposure.CountOf(0, "row")})
	in := formulatest.OfType(t, "body-lotion", formula.Adults, nil)
	f := exposure.UnverifiedFinding(in, []exposure.MemoryFigure{a, b})
	require.Len(t, f.Things, 2)
	_, partly := f.Things[0].List.Get("seen")
	assert.False(t, partly)
	_, partly = f.Things[1].List.Get("seen")
	assert.True(t, partly)
	assert.Equal(t, []finding.Party{finding.TheAssessor}, f.Who)
}

// Values with other targets are ranked by how far they are from them, by hand: 40 of a target
// of 10 (people: no factor between species) is 4 times it, 100 of a target of 100 once, so that
// the second governs; of a short study the factor for its length stands aside in that.
func TestValuesWithOtherTargets(t *testing.T) {
	m := formulatest.Sheet(t, "m", "Exemplum Acid", "100")
	formulatest.Tox(t, m, "NOAEL", "100", "", "100")
	formulatest.Tox(t, m, "NOAEL", "40", "", "100").Study = "human volunteers, 90 days"
	x := calctest.Margin(t, judged(t, m), "Exemplum Acid")
	require.True(t, x.Others[0].Human())
	assert.Equal(t, []float64{100, 100}, []float64{x.PoD.Value, x.Target.Value})
	m.Toxicology[1].PoD = formulatest.Ptr(formulatest.Num(t, "9"))
	x = calctest.Margin(t, judged(t, m), "Exemplum Acid")
	assert.Equal(t, 9.0, x.PoD.Value)
	assert.Equal(t, 10.0, x.Target.Value)
	m.Toxicology[0].Study, m.Toxicology[1].PoD = "rat, 28 days", formulatest.Ptr(formulatest.Num(t, "9.9"))
	x = calctest.Margin(t, judged(t, m), "Exemplum Acid")
	assert.Equal(t, 9.9, x.PoD.Value, "9.9 ÷ 10 is less than 100 ÷ 100: the factor of a short study stands aside")
}
