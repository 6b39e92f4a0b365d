package stability

import (
	"io"
	"math"

	"gallipot/calc/ageing"
	"gallipot/calc/law"
	"gallipot/dossier/assess"
	"gallipot/dossier/store"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
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
	Dated   exact.Date          `json:"dated"`
	CFUPerG exact.Num           `json:"cfu_per_g"`
	Limit   exact.Num           `json:"limit"`
	Verdict ageing.MicroVerdict `json:"verdict"`
}

type challengeJSON struct {
	Dated     exact.Date `json:"dated"`
	Stated    string     `json:"stated"`
	Evaluated string     `json:"evaluated"`
	Missing   []string   `json:"missing"`
}

type dueJSON struct {
	Date    exact.Date `json:"date"`
	Test    string     `json:"test"`
	Week    exact.Num  `json:"week"`
	Overdue bool       `json:"overdue"`
}

// WriteStabilityJSON prints the log of some products as a JSON array.
func WriteStabilityJSON(w io.Writer, as []*assess.Assessment) error {
	out := []stabilityJSON{}
	for _, a := range as {
		out = append(out, stabilityJSONOfAssessment(a))
	}
	return store.WriteIndented(w, out)
}

func stabilityJSONOfAssessment(a *assess.Assessment) stabilityJSON {
	p, tables := a.Product, a.Options.Law
	life := supportedLife(a)
	j := stabilityJSON{Product: p.ID, StatedMonths: statedMonths(p), RealMonths: life.Real,
		EstimateMonths: life.Accelerate, SupportedMonths: life.Months,
		Trends: []trendJSON{}, Counts: []countJSON{}, Challenges: []challengeJSON{}, Due: []dueJSON{},
		Findings: words.SayAll(Findings(a), words.Terminal)}
	for _, l := range trends(p, tables) {
		if !l.fitted {
			continue
		}
		t := trendJSON{Test: l.test.Name(), Property: l.Name, Readings: l.trend.N, Slope: l.trend.Slope}
		if !math.IsNaN(l.trend.HalfWidth) {
			t.HalfWidth = &l.trend.HalfWidth
		}
		j.Trends = append(j.Trends, t)
	}
	pt, known := law.ProductType(tables, p.Type)
	for i := range p.Microbiology {
		m := &p.Microbiology[i]
		if m.Test == "count" && m.CFUPerG != nil && known {
			c := ageing.CheckCount(ageing.MicroClass(p.Product, pt), *m.CFUPerG, tables)
			j.Counts = append(j.Counts, countJSON{m.Dated, c.CFUPerG, *c.Limit.Number, c.Verdict})
		}
		if len(m.Counts) > 0 {
			r := ageing.EvaluateChallenge(m.Counts, tables)
			j.Challenges = append(j.Challenges, challengeJSON{m.Dated, m.Verdict, r.Verdict(),
				words.OrEmpty(r.Missing)})
		}
	}
	for _, d := range due(p, tables, a.Options.Date) {
		j.Due = append(j.Due, dueJSON{d.Date, d.Test.Name(), d.Week, d.Overdue})
	}
	return j
}
