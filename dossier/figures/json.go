package figures

import (
	"io"
	"slices"

	"gallipot/calc"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/headroom"
	"gallipot/calc/law/rows"
	"gallipot/calc/limits"
	"gallipot/calc/listing"
	"gallipot/calc/standards"
	"gallipot/dossier/assess"
	"gallipot/dossier/store"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// resultJSON is the result of one variant in one market. Its keys are stable and
// documented in the README. Amounts are % w/w as numbers; SED and PoD are mg/kg
// bw/d.
type resultJSON struct {
	Product        string             `json:"product"`
	Variant        string             `json:"variant"`
	Market         rows.Market        `json:"market"`
	Date           exact.Date         `json:"date"`
	Fingerprint    string             `json:"fingerprint"`
	TotalPct       exact.Num          `json:"total_pct"`
	Composition    []SubstanceJSON    `json:"composition"`
	IngredientList string             `json:"ingredient_list"`
	OrderOpen      []listing.OpenPair `json:"order_open"`
	Allergens      []AllergenJSON     `json:"allergens"`
	Fragrance      []fragranceJSON    `json:"fragrance"`
	Limits         []limitJSON        `json:"limits"`
	Exposure       exposureJSON       `json:"exposure"`
	MoS            []mosJSON          `json:"mos"`
	Aggregate      []aggregateJSON    `json:"aggregate"`
	LocalDoses     []localDoseJSON    `json:"local_doses"`
	Traces         []traceJSON        `json:"traces"`
	Inhalation     *inhalationJSON    `json:"inhalation"`
	Gaps           []gapJSON          `json:"gaps"`
	Headroom       []headroomJSON     `json:"headroom"`
	Documents      []documentJSON     `json:"documents"`
	Findings       []words.Said       `json:"findings"`
	Decided        []words.Said       `json:"decided"` // asks of the product that are settled in writing
}

type SubstanceJSON struct {
	INCI          string                 `json:"inci"`
	CAS           string                 `json:"cas"`
	Nano          bool                   `json:"nano,omitempty"`
	Min           exact.Num              `json:"min"`
	Typical       exact.Num              `json:"typical"`
	Max           exact.Num              `json:"max"`
	Contributions []formula.Contribution `json:"contributions"`
}

func AllergenOf(t listing.AllergenTotal) AllergenJSON {
	return AllergenJSON{t.LabelName, t.CAS, t.Worst.Min, t.Worst.Typ, t.Worst.Max, t.ThresholdPct, t.WorstIn,
		t.Verdict, append([]string{}, t.Uncovered...)}
}

type AllergenJSON struct {
	LabelName string          `json:"label_name"`
	CAS       string          `json:"cas"`
	Min       exact.Num       `json:"min"`
	Typical   exact.Num       `json:"typical"`
	Max       exact.Num       `json:"max"`
	Threshold exact.Num       `json:"threshold"`
	Portion   string          `json:"portion"`
	Verdict   listing.Verdict `json:"verdict"`
	Uncovered []string        `json:"uncovered"`
}

type fragranceJSON struct {
	Ingredient string                    `json:"ingredient"`
	Category   string                    `json:"category"`
	UsePct     exact.Num                 `json:"use_pct"`
	LimitPct   *exact.Num                `json:"limit_pct"`
	Ratio      *exact.Num                `json:"ratio"`
	Portion    string                    `json:"portion"`
	Status     standards.FragranceStatus `json:"status"`
}

type limitJSON struct {
	Substance  string              `json:"substance"`
	Annex      string              `json:"annex"`
	Entry      string              `json:"entry"`
	Row        string              `json:"row"`
	Market     rows.Market         `json:"market"`
	ContentMax exact.Num           `json:"content_max"`
	Limit      *exact.Num          `json:"limit"`
	Basis      string              `json:"basis"`
	Portion    string              `json:"portion"`
	Verdict    limits.LimitVerdict `json:"verdict"`
	Reason     string              `json:"reason"`
}

type exposureJSON struct {
	ProductType string                  `json:"product_type"`
	Relative    *float64                `json:"relative_mg_per_kg_bw_d"`
	Origin      exposure.ExposureOrigin `json:"origin"`
	Source      string                  `json:"source"`
}

type mosJSON struct {
	INCI                string                 `json:"inci"`
	Content             exact.Num              `json:"content"`
	Portion             string                 `json:"portion"`
	DermalAbsorptionPct float64                `json:"dermal_absorption_pct"`
	SED                 *float64               `json:"sed"`
	PoD                 *float64               `json:"pod"`
	PoDSys              *float64               `json:"pod_sys"`
	MoS                 *float64               `json:"mos"`
	Target              float64                `json:"target"`
	Verdict             exposure.MarginVerdict `json:"verdict"`
	Reason              string                 `json:"reason"`
	Source              string                 `json:"source"`
	Arithmetic          string                 `json:"arithmetic"`
}

type aggregateJSON struct {
	INCI       string                 `json:"inci"`
	List       string                 `json:"list"`
	Content    exact.Num              `json:"content"`
	SED        *float64               `json:"sed"`
	MoS        *float64               `json:"mos"`
	Target     float64                `json:"target"`
	Verdict    exposure.MarginVerdict `json:"verdict"`
	Reason     string                 `json:"reason,omitempty"`
	Arithmetic string                 `json:"arithmetic"`
}

type localDoseJSON struct {
	LabelName  string    `json:"label_name"`
	Content    exact.Num `json:"content"`
	UgCm2      *float64  `json:"ug_per_cm2_d"`
	Reason     string    `json:"reason,omitempty"`
	Arithmetic string    `json:"arithmetic"`
}

type traceJSON struct {
	Name    string          `json:"name"`
	CAS     string          `json:"cas"`
	Min     exact.Num       `json:"min_mg_per_kg"`
	Typical exact.Num       `json:"typical_mg_per_kg"`
	Max     exact.Num       `json:"max_mg_per_kg"`
	Checks  []traceRuleJSON `json:"checks"`
}

type traceRuleJSON struct {
	FigureMgKg float64               `json:"figure_mg_per_kg"`
	Verdict    exposure.TraceVerdict `json:"verdict"`
	Source     string                `json:"source"`
}

// inhalationJSON is null for a product that neither sprays nor dusts.
type inhalationJSON struct {
	Form     string   `json:"form"`
	Relative *float64 `json:"relative_mg_per_kg_bw_d"`
	Reason   string   `json:"reason,omitempty"`
}

type gapJSON struct {
	Code    string `json:"code"`
	Subject string `json:"subject"`
	Missing string `json:"missing"`
	Why     string `json:"why"`
	Ask     string `json:"ask_whom"`
}

type headroomJSON struct {
	Ingredient string            `json:"ingredient,omitempty"`
	Slot       string            `json:"slot,omitempty"`
	Portion    string            `json:"portion"`
	UsePct     exact.Num         `json:"use_pct"`
	AtMostPct  *exact.Num        `json:"at_most_pct"`
	Binding    string            `json:"binding"`
	Changes    []labelChangeJSON `json:"label_changes"`
}

type labelChangeJSON struct {
	AtPct   exact.Num `json:"at_pct"`
	What    string    `json:"what"`
	Portion string    `json:"portion,omitempty"`
}

// WriteJSON prints the results of an assessment as a JSON array, one object for
// each variant and market. An empty list prints as [] and not as null.
func WriteJSON(w io.Writer, as []*assess.Assessment) error {
	out := []resultJSON{}
	for _, a := range as {
		for _, r := range a.Results {
			j := toJSON(a, r)
			headroomToJSON(&j, r)
			out = append(out, j)
		}
	}
	return store.WriteIndented(w, out)
}

func toJSON(a *assess.Assessment, r *calc.Result) resultJSON {
	j := resultJSON{
		Product: a.Product.ID, Variant: r.Input.Variant.ID, Market: r.Input.Market, Date: r.Input.Date,
		Fingerprint: a.Fingerprint,
		TotalPct:    r.Recipe.TotalPct, IngredientList: r.List.Line(), OrderOpen: words.OrEmpty(r.List.Open),
		Composition: []SubstanceJSON{}, Allergens: []AllergenJSON{}, Fragrance: []fragranceJSON{},
		Limits:   []limitJSON{},
		Findings: words.SayAll(r.Findings, words.Terminal), Decided: decided(a, r),
	}
	for _, s := range r.Whole().Substances {
		if s.IsIngredient() {
			j.Composition = append(j.Composition, SubstanceJSON{s.INCI, s.CAS, s.Nano, s.Pct.Min, s.Pct.Typ, s.Pct.Max,
				s.Contributions})
		}
	}
	for _, t := range r.Allergens {
		j.Allergens = append(j.Allergens, AllergenOf(t))
	}
	for _, f := range r.Fragrances {
		j.Fragrance = append(j.Fragrance, fragranceJSON{f.Ingredient, f.Category, f.UsePct, f.LimitPct, f.Ratio,
			f.Portion, f.Status})
	}
	for _, l := range r.Limits {
		j.Limits = append(j.Limits, limitJSON{words.JoinNames(l.Substances), l.Row.Annex, l.Row.Entry, l.Row.Key,
			r.Input.Market,
			l.Content.Max, l.LimitPct, l.Row.Basis.Text, l.WorstIn, l.Verdict, l.Reason})
	}
	exposureToJSON(&j, r)
	j.Documents = documentsJSON(a.Workshop, r)
	return j
}

// decided are the asks that are settled in writing for a variant in a market.
func decided(a *assess.Assessment, r *calc.Result) []words.Said {
	list := []words.Said{}
	for _, f := range a.Findings {
		if f.Severity == finding.Decided &&
			(len(f.Variants) == 0 || slices.Contains(f.Variants, a.Product.ID+"/"+r.Input.Variant.ID)) &&
			(len(f.Markets) == 0 || slices.Contains(f.Markets, string(r.Input.Market))) {
			list = append(list, words.Say(&f, words.Terminal))
		}
	}
	return list
}

// headroomToJSON fills in how far each material can go, which takes solving.
func headroomToJSON(j *resultJSON, r *calc.Result) {
	for _, h := range headroom.Headrooms(r) {
		out := headroomJSON{h.Ingredient, h.Slot, h.Portion, h.UsePct, h.AtMostPct, h.Binding, []labelChangeJSON{}}
		for _, c := range h.Changes {
			out.Changes = append(out.Changes, labelChangeJSON{c.AtPct, c.What, c.Portion})
		}
		j.Headroom = append(j.Headroom, out)
	}
}

// exposureToJSON fills in exposure, margins and gaps; a figure that was not
// computed is null, never 0.
func exposureToJSON(j *resultJSON, r *calc.Result) {
	j.Exposure = exposureJSON{ProductType: r.Input.Product.Type, Origin: r.Exposure.Origin}
	if e := r.Exposure.MgPerKg; e != nil {
		j.Exposure.Relative, j.Exposure.Source = &e.Value, e.Cite()
	}
	j.MoS, j.Gaps, j.Headroom = []mosJSON{}, []gapJSON{}, []headroomJSON{}
	known := func(f float64) *float64 {
		if f == 0 {
			return nil
		}
		return &f
	}
	for _, m := range r.Margins {
		out := mosJSON{INCI: m.INCI, Content: m.Content.Max, Portion: m.WorstIn,
			DermalAbsorptionPct: m.Absorption.Pct.Value, SED: known(m.SED.Max),
			PoDSys: known(m.PoDSys), MoS: known(m.MoS), Target: m.Target.Value, Verdict: m.Verdict,
			Reason: m.Reason, Arithmetic: m.Arithmetic()}
		if m.PoD != nil {
			out.PoD, out.Source = known(m.PoD.Value), m.PoD.Cite()
		}
		j.MoS = append(j.MoS, out)
	}
	dosesToJSON(j, r, known)
	for _, g := range r.Gaps() {
		j.Gaps = append(j.Gaps, gapJSON{g.Code, g.Subject, g.Missing, g.Why, g.Ask})
	}
}

// dosesToJSON fills in what stands beside the margins.
func dosesToJSON(j *resultJSON, r *calc.Result, known func(float64) *float64) {
	j.Aggregate, j.LocalDoses, j.Traces = []aggregateJSON{}, []localDoseJSON{}, []traceJSON{}
	for _, a := range r.Aggregates {
		j.Aggregate = append(j.Aggregate, aggregateJSON{a.Name(), a.List, a.Content.Max, known(a.SED), known(a.MoS),
			a.Target.Value, a.Verdict, a.Reason, a.Arithmetic})
	}
	for _, d := range r.LocalDoses {
		j.LocalDoses = append(j.LocalDoses, localDoseJSON{d.LabelName, d.Content.Max, known(d.UgCm2), d.Reason,
			d.Arithmetic()})
	}
	for _, t := range r.Traces {
		out := traceJSON{t.Name, t.CAS, t.MgPerKg.Min, t.MgPerKg.Typ, t.MgPerKg.Max, []traceRuleJSON{}}
		for _, c := range t.Checks {
			out.Checks = append(out.Checks, traceRuleJSON{c.Figure.Value, c.Verdict, c.Figure.Cite()})
		}
		j.Traces = append(j.Traces, out)
	}
	if h := r.Inhalation; h.Applies {
		j.Inhalation = &inhalationJSON{h.Form, known(h.MgPerKg), h.Reason}
	}
}
