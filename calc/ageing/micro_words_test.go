package ageing

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
)

// Why a criterion is not met, in words. Criteria of ISO 11930 as in
// stability-micro.csv, scatter 0.5.
func TestChallengeReasons(t *testing.T) {
	tables := table.Builtin()
	for _, c := range []struct {
		organism, d0, d7, d14, d28 string
		set                        string
		day                        int
		verdict                    MicroVerdict
		why                        string
		reduction                  float64
		bound                      bool
	}{
		{"E. coli", "6", "3", "3", "3", "A", 7, MicroPass, "", 3, false},
		{"E. coli", "6", "3.4", "3", "3", "A", 7, MicroQuery, "within the scatter of 0.5 below the criterion", 2.6, false},
		{"E. coli", "6", "3.5", "3", "3", "A", 7, MicroQuery, "within the scatter of 0.5 below the criterion", 2.5, false},
		{"E. coli", "6", "3.6", "3", "3", "A", 7, MicroFail, "reduction below the criterion", 2.4, false},
		{"E. coli", "6", "<2", "<2", "<2", "A", 7, MicroPass, "", 4, true},
		{"E. coli", "3", "<2", "<2", "<2", "A", 7, MicroQuery,
			"the count is below detection, and the start was too low to show the reduction", 1, true},
		{"E. coli", "", "2", "2", "2", "A", 7, MicroQuery, "no count of day 0", 0, false},
		{"E. coli", "<2", "1", "1", "1", "A", 7, MicroQuery, "no count of day 0", 0, false},
		{"E. coli", "6", "", "2", "2", "A", 7, MicroQuery, "no count of day 7", 0, false},
		{"E. coli", "6", "", "2", "2", "A", 14, MicroQuery, "no count of day 7 to compare with", 4, false},
		{"E. coli", "6", "1", "1.5", "1.5", "A", 14, MicroPass, "", 4.5, false},
		{"E. coli", "6", "1", "1.75", "1", "A", 14, MicroFail, "0.75 more than on day 7", 4.25, false},
		{"E. coli", "6", "1", "<2", "1", "A", 14, MicroPass, "", 4, true},
		{"E. coli", "6", "2", "2", "2.75", "A", 28, MicroFail, "0.75 more than on day 14", 3.25, false},
		{"E. coli", "6", "", "3.2", "2", "A", 14, MicroQuery, "within the scatter of 0.5 below the criterion", 2.8, false},
		{"C. albicans", "5", "4", "4", "4", "B", 14, MicroPass, "", 1, false},
		{"A. brasiliensis", "5", "5", "5", "5", "B", 14, MicroPass, "", 0, false},
		{"A. brasiliensis", "5", "5", "5.6", "5", "B", 14, MicroFail, "reduction below the criterion", -0.6, false},
	} {
		r := EvaluateChallenge([]OrganismCounts{{Organism: c.organism, Days: days(t, c.d0, c.d7, c.d14, c.d28)}}, tables)
		found := false
		for _, l := range r.Lines {
			if l.Criterion.Set == c.set && l.Criterion.Day == c.day {
				found = true
				assert.Equal(t, c.verdict, l.Verdict, "%+v", c)
				assert.Equal(t, c.why, l.Why, "%+v", c)
				assert.InDelta(t, c.reduction, l.Reduction, 1e-9)
				assert.Equal(t, c.bound, l.Bound)
				assert.Equal(t, c.reduction != 0 || c.why == "", l.Known)
			}
		}
		require.True(t, found)
		for _, l := range r.Lines {
			assert.Equal(t, groupOf(c.organism), l.Criterion.Group)
		}
		assert.Equal(t, 0.5, r.Scatter)
		assert.Len(t, r.Missing, 4)
	}
}

func TestNamesOfOrganisms(t *testing.T) {
	assert.True(t, sameOrganism("E. coli", "Escherichia coli"))
	assert.True(t, sameOrganism("E.coli", "escherichia COLI"))
	assert.False(t, sameOrganism("E. coli", "S. aureus"))
	assert.False(t, sameOrganism("yeast", "yeast"), "one word is no name of an organism")
	assert.False(t, sameOrganism("", ""))
	assert.Equal(t, groupAspergillus, groupOf("A. brasiliensis"))
	assert.Equal(t, groupBacteria, groupOf("Staphylococcus aureus"))
	for _, c := range []struct{ a, b, want MicroVerdict }{
		{MicroPass, MicroPass, MicroPass}, {MicroPass, MicroQuery, MicroQuery}, {MicroQuery, MicroPass, MicroQuery},
		{MicroQuery, MicroFail, MicroFail}, {MicroFail, MicroQuery, MicroFail},
	} {
		assert.Equal(t, c.want, worseMicro(c.a, c.b))
	}
	// lines by set, organism and day
	r := EvaluateChallenge([]OrganismCounts{{Organism: "S. aureus", Days: days(t, "6", "1", "1", "1")},
		{Organism: "E. coli", Days: days(t, "6", "1", "1", "1")}}, table.Builtin())
	var got []string
	for _, l := range r.Lines {
		got = append(got, l.Criterion.Set+" "+l.Organism+" "+formula.Itoa(l.Criterion.Day))
	}
	assert.Equal(t, []string{"A E. coli 7", "A E. coli 14", "A E. coli 28", "A S. aureus 7", "A S. aureus 14",
		"A S. aureus 28",
		"B E. coli 14", "B E. coli 28", "B S. aureus 14", "B S. aureus 28"}, got)
	for _, areas := range []string{"eye", "mucous", "nappy"} {
		assert.Equal(t, trade.MicroStrict,
			MicroClass(&formula.Product{BodyAreas: []string{areas}}, &trade.ProductType{MicroClass: trade.MicroOther}))
	}
	assert.Equal(t, trade.MicroOther,
		MicroClass(&formula.Product{BodyAreas: []string{"hand"}, IntendedFor: formula.ChildrenThree},
			&trade.ProductType{MicroClass: trade.MicroOther}))
	// at the limit and at the tolerance: 100 and 200, 1000 and 2000 CFU per g
	for _, c := range []struct {
		class, count string
		want         MicroVerdict
	}{
		{trade.MicroStrict, "100", MicroPass}, {trade.MicroStrict, "101", MicroQuery},
		{trade.MicroStrict, "200", MicroQuery}, {trade.MicroStrict, "201", MicroFail},
		{trade.MicroOther, "1000", MicroPass}, {trade.MicroOther, "1001", MicroQuery},
		{trade.MicroOther, "2000", MicroQuery}, {trade.MicroOther, "2001", MicroFail},
	} {
		assert.Equal(t, c.want, CheckCount(c.class, formulatest.Num(t, c.count), table.Builtin()).Verdict, "%s %s",
			c.class, c.count)
	}
}

// Shelf life at the bounds of the room, 20 to 25 °C, by hand: 26 weeks are 6 months;
// at 35 °C, with Q10 2, 13 weeks are 3 months and count for 6.
func TestShelfLifeAtTheBounds(t *testing.T) {
	tables := table.Builtin()
	span := func(c, weeks string) StorageSpan {
		return SupportedLife([]Storage{{TempC: formulatest.Num(t, c), Weeks: formulatest.Num(t, weeks)}}, tables).Spans[0]
	}
	for c, want := range map[string]storageKind{"19.9": StorageCold, "20": StorageReal, "25": StorageReal,
		"25.1": StorageAccelerated} {
		assert.Equal(t, want, span(c, "26").Kind, c)
	}
	assert.Equal(t, 0.0, span("4", "26").Months)
	assert.Equal(t, 0.0, span("4", "26").Factor)
	assert.InDelta(t, 6, span("20", "26").Months, 1e-9)
	assert.Equal(t, 1.0, span("20", "26").Factor)
	assert.InDelta(t, 6, span("35", "13").Months, 1e-9)
	assert.InDelta(t, 2, span("35", "13").Factor, 1e-9)

	life := func(pairs ...string) ShelfLife {
		var s []Storage
		for i := 0; i < len(pairs); i += 2 {
			s = append(s, Storage{TempC: formulatest.Num(t, pairs[i]), Weeks: formulatest.Num(t, pairs[i+1])})
		}
		return SupportedLife(s, tables)
	}
	assert.Equal(t, "25", life().StoreC.Exact())
	l := life("20", "26", "25", "13", "35", "13", "35", "26") // the longest of each: 6 real, 12 warm
	assert.InDelta(t, 6, *l.Real, 1e-9)
	assert.InDelta(t, 12, *l.Accelerate, 1e-9)
	assert.InDelta(t, 6, *l.Months, 1e-9)
	l = life("20", "52", "35", "13") // warm is the shorter
	assert.InDelta(t, 6, *l.Months, 1e-9)
	assert.True(t, l.Supports(6), "exactly as long as the label says")
	assert.False(t, l.Supports(7))
	l = life("20", "26")
	assert.InDelta(t, 6, *l.Months, 1e-9)
	assert.Nil(t, l.Accelerate)
}

// A line with readings off the mean, by hand: 0, 1, 2 weeks and 1, 2, 6. Mean 1 and 3,
// Σ (x − x̄)² = 2, slope (2 + 3)/2 = 2.5, intercept 0.5; residuals 0.5, −1, 0.5, their
// squares 1.5, s = √1.5; t for one degree of freedom 12.706. At 3 weeks the line is 8,
// its range 12.706 × √1.5 × √(1/3 + 4/2).
func TestTrendAwayFromTheMean(t *testing.T) {
	tr, ok := FitTrend([]float64{0, 1, 2}, []float64{1, 2, 6}, table.Builtin())
	require.True(t, ok)
	assert.Equal(t, 3, tr.N)
	assert.InDelta(t, 2.5, tr.Slope, 1e-12)
	assert.InDelta(t, 0.5, tr.Intercept, 1e-12)
	assert.InDelta(t, 8, tr.At(3), 1e-12)
	low, high, ok := tr.Reach(3)
	require.True(t, ok)
	half := 12.706 * math.Sqrt(1.5) * math.Sqrt(1.0/3+2)
	assert.InDelta(t, 8-half, low, 1e-9)
	assert.InDelta(t, 8+half, high, 1e-9)
	_, ok = FitTrend([]float64{0, 1, 2}, []float64{1, 2}, table.Builtin())
	assert.False(t, ok)
	_, ok = FitTrend([]float64{1}, []float64{1}, table.Builtin())
	assert.False(t, ok)
	low, high, ok = Trend{N: 2}.Reach(3)
	assert.False(t, ok)
	assert.Zero(t, low)
	assert.Zero(t, high)
	// readings without scatter: the slope is known to be none
	tr, _ = FitTrend([]float64{0, 1, 2}, []float64{5, 5, 5}, table.Builtin())
	assert.Zero(t, tr.HalfWidth)
	assert.False(t, tr.Moves(), "a slope of 0 does not move")
}
