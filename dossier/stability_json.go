package dossier

import (
	"io"
	"math"

	"gallipot/calc"
	"gallipot/dossier/words"
	"gallipot/ingredients"
)

// stabilityJSON is the log of one product. Its keys are stable. Weeks and months
// are numbers; null is not known.
type stabilityJSON struct {
	Product         string          `json:"product"`
	StatedMonths    int             `json:"stated_months"`
	RealMonths      *float64        `json:"real_time_months"`
	EstimateMonths  *float64        `json:"estimate_months"`
	SupportedMonths *float64        `json:"supported_months"`
	Trends          []trendJSON     `json:"trends"`
	Counts          []countJSON     `json:"counts"`
	Challenges      []challengeJSON `json:"challenge_tests"`
	Due             []dueJSON       `json:"due"`
	Findings        []words.Said    `json:"findings"`
}

type trendJSON struct {
	Test      string   `json:"test"`
	Property  string   `json:"property"`
	Readings  int      `json:"readings"`
	Slope     float64  `json:"slope_per_week"`
	HalfWidth *float64 `json:"half_width_95"`
}

type countJSON struct {
	Dated   ingredients.Date  `json:"dated"`
	CFUPerG ingredients.Num   `json:"cfu_per_g"`
	Limit   ingredients.Num   `json:"limit"`
	Verdict calc.MicroVerdict `json:"verdict"`
}

type challengeJSON struct {
	Dated     ingredients.Date `json:"dated"`
	Stated    string           `json:"stated"`
	Evaluated string           `json:"evaluated"`
	Missing   []string         `json:"missing"`
}

type dueJSON struct {
	Date    ingredients.Date `json:"date"`
	Test    string           `json:"test"`
	Week    ingredients.Num  `json:"week"`
	Overdue bool             `json:"overdue"`
}

// WriteStabilityJSON prints the log of some products as a JSON array.
func WriteStabilityJSON(w io.Writer, as []*Assessment) error {
	out := []stabilityJSON{}
	for _, a := range as {
		out = append(out, a.stabilityJSON())
	}
	return writeIndented(w, out)
}

func (a *Assessment) stabilityJSON() stabilityJSON {
	p, tables := a.Product, a.Options.Law
	life := a.supportedLife()
	j := stabilityJSON{Product: p.ID, StatedMonths: p.statedMonths(), RealMonths: life.Real, EstimateMonths: life.Accelerate, SupportedMonths: life.Months,
		Trends: []trendJSON{}, Counts: []countJSON{}, Challenges: []challengeJSON{}, Due: []dueJSON{}, Findings: words.SayAll(a.logFindings(), words.Terminal)}
	for _, l := range p.trends(tables) {
		if !l.fitted {
			continue
		}
		t := trendJSON{Test: l.test.name(), Property: l.name, Readings: l.trend.N, Slope: l.trend.Slope}
		if !math.IsNaN(l.trend.HalfWidth) {
			t.HalfWidth = &l.trend.HalfWidth
		}
		j.Trends = append(j.Trends, t)
	}
	pt, known := tables.ProductType(p.Type)
	for i := range p.Microbiology {
		m := &p.Microbiology[i]
		if m.Test == "count" && m.CFUPerG != nil && known {
			c := calc.CheckCount(calc.MicroClass(p.Product, pt), *m.CFUPerG, tables)
			j.Counts = append(j.Counts, countJSON{m.Dated, c.CFUPerG, *c.Limit.Number, c.Verdict})
		}
		if len(m.Counts) > 0 {
			r := calc.EvaluateChallenge(m.Counts, tables)
			j.Challenges = append(j.Challenges, challengeJSON{m.Dated, m.Verdict, r.Verdict(), orEmpty(r.Missing)})
		}
	}
	for _, d := range p.due(tables, a.Options.Date) {
		j.Due = append(j.Due, dueJSON{d.date, d.test.name(), d.week, d.overdue})
	}
	return j
}
