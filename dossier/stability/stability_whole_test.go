package stability_test

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/stability"
	"gallipot/dossier/words/wordstest"
	"gallipot/dossier/workshop"
	"gallipot/dossier/workshop/workshoptest"
)

// logged assesses a product with some records at its end, on the 25th of
// November 2026.
func logged(t testing.TB, records string) *assess.Assessment {
	t.Helper()
	w, fs := workshop.LoadFS("shop",
		workshoptest.Folder(map[string]string{"ingredients/water.yaml": sheetFile("water", ""),
			"products/x.yaml": product + records}), table.Builtin())
	for _, f := range fs {
		require.False(t, f.Unread, "%s: %s", f.Pos, wordstest.Said(f).Message)
	}
	return assess.Run(w, w.Product("x"), batchOptions())
}

func logCodes(a *assess.Assessment) (out []string) {
	for _, f := range stability.Findings(a) {
		out = append(out, f.Severity.String()+" "+f.Code)
	}
	return out
}

// TestTrendFindings: a pH that falls by 0.02 a week in a room from 5.6 is at 5.08
// after 26 weeks and at 4.56 after a year; the specification ends at 5.0.
func TestTrendFindings(t *testing.T) {
	const falling = "stability: [{test: room, temp_c: 20, weeks: 52, readings: [{week: 0, ph: 5.60}, {week: 4, ph: 5.53}, {week: 8, ph: 5.43}, {week: 12, ph: 5.36}, {week: 16, ph: 5.29}]}]\n"
	const spec = "specification: {ph: \"5.0-6.0\"}\n"
	a := logged(t, spec+falling+"durability: {best_before_months: 6}\n")
	assert.NotContains(t, logCodes(a), "ask trend-leaves-band")
	a = logged(t, spec+falling+"durability: {best_before_months: 12}\n")
	assert.Contains(t, logCodes(a), "ask trend-leaves-band")
	a = logged(t, falling+"durability: {best_before_months: 12}\n")
	assert.NotContains(t, logCodes(a), "ask trend-leaves-band", "no specification, no band")
	flat := strings.NewReplacer("5.53", "5.60", "5.43", "5.61", "5.36", "5.59", "5.29", "5.60").Replace(falling)
	a = logged(t, spec+flat+"durability: {best_before_months: 12}\n")
	assert.NotContains(t, logCodes(a), "ask trend-leaves-band")
}

func TestGoodWeeksEndAtTheFirstBadReading(t *testing.T) {
	a := logged(t, `specification: {ph: "5.0-6.0", viscosity: 10000-14000 mPas}
stability:
  - {test: heat, temp_c: 40, readings: [{week: 12, ph: 5.1}, {week: 0, ph: 5.5}, {week: 4, ph: 5.3}, {week: 8, ph: 4.9}]}
  - {test: room, temp_c: 20, readings: [{week: 0, viscosity: 12000}, {week: 13, viscosity: 11500 mPas}, {week: 26, viscosity: 9000}]}
  - {test: room again, temp_c: 22, verdict: fail, readings: [{week: 0, ph: 5.5}, {week: 26, ph: 5.5}]}
  - {test: words, temp_c: 20, readings: [{week: 0, appearance: ok}, {week: 5, appearance: ok}]}
`)
	var got []string
	for i := range a.Product.Stability {
		got = append(got, stability.GoodWeeks(a.Product, &a.Product.Stability[i]).Exact())
	}
	assert.Equal(t, []string{"4", "13", "0", "5"}, got)
	life := stability.SupportedLife(a)
	require.NotNil(t, life.Real)
	assert.InDelta(t, 3, *life.Real, 1e-9, "13 weeks of the room test")
	trends := stability.Trends(a.Product, table.Builtin())
	require.Len(t, trends, 3, "pH of two tests and viscosity; words make no line")
	assert.Equal(t, "viscosity", trends[1].Name)
	assert.Equal(t, []float64{12000, 11500, 9000}, trends[1].Values)
	v := show.Show(a, "")
	require.Empty(t, (&document.Document{Marks: show.Marks,
		Sections: []*document.Section{stability.StabilitySection(v), stability.ChallengeSection(v)}}).Check())
}

func TestDurabilityEstimate(t *testing.T) {
	warm := "stability: [{test: heat, temp_c: 40, readings: [{week: 0, ph: 5.5}, {week: 12, ph: 5.5}]}]\n"
	// 12 weeks × 12/52 × 2^1.5 = 7.83 months by estimate
	assert.Contains(t, logCodes(logged(t, warm+"durability: {pao_months: 6}\n")), "note durability-estimate")
	assert.NotContains(t, logCodes(logged(t, warm+"durability: {pao_months: 12}\n")), "note durability-estimate",
		"too short is another finding")
	assert.Contains(t, lifeOf(logged(t, warm)), "7.8 months by the estimate")
	assert.Contains(t, lifeOf(logged(t, "")), "No storage test speaks for any shelf life yet")
}

func TestDueReadings(t *testing.T) {
	a := logged(t, `stability:
  - {test: heat, temp_c: 40, weeks: 12, started: 2026-10-12, readings: [{week: 0, ph: 5.5}, {week: 1, ph: 5.5}, {week: 2, ph: 5.5}]}
  - {test: room, temp_c: 20, weeks: 40, started: 2026-10-12, readings: [{week: 0, ph: 5.5}]}
  - {test: light, weeks: 4, started: 2026-11-23, check_weeks: [0, 2, 4]}
  - {test: done, weeks: 4, started: 2026-01-23, verdict: pass}
  - {test: not begun, weeks: 4}
`)
	var got []string
	for _, d := range stability.Due(a.Product, table.Builtin(), 20261125) {
		text := d.Date.String() + " " + d.Test.Test + " " + d.Week.Exact()
		if d.Overdue {
			text += " overdue"
		}
		got = append(got, text)
	}
	// stability-micro.csv S6: 0, 1, 2, 4, 8, 12; then every 13 weeks
	assert.Equal(t, []string{
		"2026-10-19 room 1 overdue", "2026-10-26 room 2 overdue", "2026-11-09 heat 4 overdue",
		"2026-11-09 room 4 overdue", "2026-11-23 light 0 overdue",
		"2026-12-07 heat 8", "2026-12-07 room 8", "2026-12-07 light 2", "2026-12-21 light 4", "2027-01-04 heat 12",
		"2027-01-04 room 12", "2027-04-05 room 25", "2027-07-19 room 40",
	}, got)
	assert.Contains(t, logCodes(a), "note reading-overdue")
}

// TestCalendar holds the file to RFC 5545: line ends, folding at 75 octets without
// splitting a character, escapes, whole days, one UID an event.
func TestCalendar(t *testing.T) {
	a := logged(t, `specification: {appearance: "ivory, thick"}
stability: [{test: "wärme; Kästchen, über dem Ofen im Süden der Werkstatt mit langem Namen", temp_c: 40, weeks: 2, started: 2026-11-23, pack: "glass, 50 ml"}]
`)
	var b, again bytes.Buffer
	require.NoError(t, stability.WriteCalendar(&b, []*workshop.Product{a.Product}, table.Builtin(), 20261125))
	require.NoError(t, stability.WriteCalendar(&again, []*workshop.Product{a.Product}, table.Builtin(), 20261125))
	assert.Equal(t, b.String(), again.String())
	text := b.String()
	assert.True(t, strings.HasPrefix(text, "BEGIN:VCALENDAR\r\nVERSION:2.0\r\n"))
	assert.True(t, strings.HasSuffix(text, "END:VCALENDAR\r\n"))
	for line := range strings.SplitSeq(strings.TrimSuffix(text, "\r\n"), "\r\n") {
		assert.LessOrEqual(t, len(line), 75, line)
		assert.NotContains(t, line, "\n")
		assert.NotContains(t, line, "\ufffd")
	}
	whole := strings.ReplaceAll(text, "\r\n ", "")
	assert.Equal(t, 3, strings.Count(whole, "BEGIN:VEVENT"))
	assert.Contains(t, whole, `SUMMARY:`+strings.NewReplacer(",", `\,`, ";",
		`\;`).Replace(a.Product.Name)+`: week 1 of wärme\; Kästchen\, über dem Ofen im Süden der Werkstatt mit langem Namen\, 40 °C`)
	assert.Contains(t, whole, `DESCRIPTION:Read: appearance\nPack: glass\, 50 ml`)
	assert.Contains(t, whole, "DTSTART;VALUE=DATE:20261130\r\nDTEND;VALUE=DATE:20261201\r\n")
	assert.Contains(t, whole, "UID:x-1-week-2@gallipot\r\nDTSTAMP:20261125T000000Z\r\n")
}

func TestMicroFindings(t *testing.T) {
	count := func(cfu string) []string {
		return logCodes(logged(t, "microbiology: [{test: count, verdict: pass, dated: 2026-05-11, cfu_per_g: "+cfu+"}]\n"))
	}
	// ISO 17516 class 2: 1000, out of limit above 2000
	assert.Empty(t, count("1000"))
	assert.Equal(t, []string{"ask count-over-limit"}, count("1500"))
	assert.Equal(t, []string{"stop count-over-limit"}, count("2500"))

	challenge := func(verdict, lines string) []string {
		return logCodes(logged(t, "microbiology:\n  - test: challenge\n    method: ISO 11930\n    verdict: "+verdict+"\n    dated: 2026-05-04\n    counts:\n"+lines))
	}
	const good = `      - {organism: E. coli, day0: 6.0, day7: 2.0, day14: "<1", day28: "<1"}
      - {organism: P. aeruginosa, day0: 6.0, day7: 2.0, day14: "<1", day28: "<1"}
      - {organism: S. aureus, day0: 6.0, day7: 2.0, day14: "<1", day28: "<1"}
      - {organism: C. albicans, day0: 5.0, day7: 3.0, day14: "<1", day28: "<1"}
`
	const mould = "      - {organism: A. brasiliensis, day0: 4.6, day7: 4.6, day14: 4.4, day28: 3.0}\n"
	assert.Empty(t, challenge("A", good+mould))
	assert.Equal(t, []string{"ask challenge-organisms"}, challenge("A", good))
	weak := strings.Replace(mould, "day28: 3.0", "day28: 4.4", 1)
	assert.Equal(t, []string{"stop challenge-differs"}, challenge("A", good+weak), "only B by the figures")
	assert.Empty(t, challenge("B", good+weak))
	assert.Equal(t, []string{"ask challenge-differs"},
		challenge("A", good+strings.Replace(mould, "day28: 3.0", "day28: 3.9", 1)), "0.7 lies within the scatter")
	cfu := "    counts_in: cfu\n"
	a := logged(t, "microbiology:\n  - test: challenge\n    verdict: A\n"+cfu+"    counts:\n      - {organism: E. coli, day0: 1000000, day7: 100, day14: \"<10\", day28: \"<10\"}\n")
	days := a.Product.Microbiology[0].Counts[0].Days
	assert.InDelta(t, 6, days[0].Log10, 1e-12)
	assert.InDelta(t, 2, days[7].Log10, 1e-12)
	assert.True(t, days[14].Below)
	assert.InDelta(t, 1, days[14].Log10, 1e-12)
}

func TestStabilityJSON(t *testing.T) {
	a := logged(t, "stability: [{test: heat, temp_c: 40, readings: [{week: 0, ph: 5.5}, {week: 4, ph: 5.4}]}]\n")
	j := stability.StabilityJSONOfAssessment(a)
	require.Len(t, j.Trends, 1)
	assert.Nil(t, j.Trends[0].HalfWidth, "two readings have no uncertainty, which is not 0")
	assert.InDelta(t, -0.025, j.Trends[0].Slope, 1e-12)
	var b bytes.Buffer
	require.NoError(t, stability.WriteStabilityJSON(&b, []*assess.Assessment{a}))
	assert.Contains(t, b.String(), `"half_width_95": null`)
	require.False(t, math.IsNaN(j.Trends[0].Slope))
	doc := stability.Document([]*assess.Assessment{a, logged(t, "")}, 20261125)
	assert.NotEmpty(t, doc.Sections)
}

func lifeOf(a *assess.Assessment) string {
	return stability.LifeWords(a.Product, stability.SupportedLife(a), table.Builtin())
}

// TestFitDrawn compares the drawn line with a hand computation. Weeks 0, 4, 8, 12
// and pH 5.0, 5.0, 5.1, 5.1: slope 0.8/80 = 0.01, line at 0 is 5.05 − 6 × 0.01 =
// 4.99; residuals ±0.01 and ±0.03, s = √(0.002/2) = 0.03162; t(0.975, 2) = 4.303 (any
// table of Student's t); half of the range at 0 is 4.303 × 0.03162 × √(1/4 + 36/80) =
// 0.1138.
func TestFitDrawn(t *testing.T) {
	a := logged(t, `stability:
  - {test: heat, temp_c: 40, readings: [{week: 0, ph: 5.0}, {week: 4, ph: 5.0}, {week: 8, ph: 5.1}, {week: 12, ph: 5.1}]}
  - {test: room, temp_c: 20, readings: [{week: 0, ph: 5.0}, {week: 4, ph: 5.0}, {week: 8, ph: 5.0}]}
  - {test: cold, temp_c: 4, readings: [{week: 0, ph: 5.0}, {week: 4, ph: 5.2}]}
`)
	charts := stability.TrendCharts(stability.Trends(a.Product, table.Builtin()))
	require.Len(t, charts, 1)
	series := charts[0].(*document.LineBand).Series
	require.Len(t, series, 3)
	fit := series[0].Fit
	require.Len(t, fit, stability.FitSteps+1)
	assert.InDelta(t, 4.99, fit[0].Y, 1e-9)
	assert.InDelta(t, 5.11, fit[stability.FitSteps].Y, 1e-9)
	assert.Equal(t, 12.0, fit[stability.FitSteps].X)
	assert.InDelta(t, 4.99-0.1138, fit[0].Low, 1e-3)
	assert.InDelta(t, 4.99+0.1138, fit[0].High, 1e-3)
	assert.Empty(t, series[1].Fit, "all alike")
	require.NotEmpty(t, series[2].Fit)
	assert.True(t, math.IsNaN(series[2].Fit[0].Low), "two readings say nothing of their scatter")
}
