package dossier

import (
	"encoding/json"
	"io"
	"strings"

	"gallipot/calc"
	"gallipot/calc/law"
	"gallipot/ingredients"
)

// resultJSON is the result of one variant in one market. Its keys are stable and
// documented in the README. Amounts are % w/w as numbers; SED and PoD are mg/kg
// bw/d.
type resultJSON struct {
	Product        string                `json:"product"`
	Variant        string                `json:"variant"`
	Market         law.Market            `json:"market"`
	Date           ingredients.Date      `json:"date"`
	Fingerprint    string                `json:"fingerprint"`
	TotalPct       ingredients.Num       `json:"total_pct"`
	Composition    []substanceJSON       `json:"composition"`
	IngredientList string                `json:"ingredient_list"`
	OrderOpen      []calc.OpenPair       `json:"order_open"`
	Allergens      []allergenJSON        `json:"allergens"`
	Fragrance      []fragranceJSON       `json:"fragrance"`
	Limits         []limitJSON           `json:"limits"`
	Findings       []ingredients.Finding `json:"findings"`
}

type substanceJSON struct {
	INCI          string              `json:"inci"`
	CAS           string              `json:"cas"`
	Min           ingredients.Num     `json:"min"`
	Typical       ingredients.Num     `json:"typical"`
	Max           ingredients.Num     `json:"max"`
	Contributions []calc.Contribution `json:"contributions"`
}

type allergenJSON struct {
	LabelName string          `json:"label_name"`
	CAS       string          `json:"cas"`
	Min       ingredients.Num `json:"min"`
	Typical   ingredients.Num `json:"typical"`
	Max       ingredients.Num `json:"max"`
	Threshold ingredients.Num `json:"threshold"`
	Portion   string          `json:"portion"`
	Verdict   calc.Verdict    `json:"verdict"`
	Uncovered []string        `json:"uncovered,omitempty"`
}

type fragranceJSON struct {
	Ingredient string               `json:"ingredient"`
	Category   string               `json:"category"`
	UsePct     ingredients.Num      `json:"use_pct"`
	LimitPct   *ingredients.Num     `json:"limit_pct"`
	Ratio      *ingredients.Num     `json:"ratio"`
	Portion    string               `json:"portion"`
	Status     calc.FragranceStatus `json:"status"`
}

type limitJSON struct {
	Substance  string            `json:"substance"`
	Annex      string            `json:"annex"`
	Entry      string            `json:"entry"`
	Row        string            `json:"row"`
	Market     law.Market        `json:"market"`
	ContentMax ingredients.Num   `json:"content_max"`
	Limit      *ingredients.Num  `json:"limit"`
	Basis      string            `json:"basis"`
	Portion    string            `json:"portion"`
	Verdict    calc.LimitVerdict `json:"verdict"`
	Reason     string            `json:"reason"`
}

// WriteJSON prints the results of an assessment as a JSON array, one object for
// each variant and market. An empty list prints as [] and not as null.
func WriteJSON(w io.Writer, as []*Assessment) error {
	out := []resultJSON{}
	for _, a := range as {
		for _, r := range a.Results {
			out = append(out, toJSON(a, r))
		}
	}
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(out)
}

func toJSON(a *Assessment, r *calc.Result) resultJSON {
	j := resultJSON{
		Product: a.Product.ID, Variant: r.Input.Variant.ID, Market: r.Input.Market, Date: r.Input.Date, Fingerprint: a.Fingerprint,
		TotalPct: r.Recipe.TotalPct, IngredientList: r.List.Line(), OrderOpen: orEmpty(r.List.Open),
		Composition: []substanceJSON{}, Allergens: []allergenJSON{}, Fragrance: []fragranceJSON{}, Limits: []limitJSON{},
		Findings: orEmpty(r.Findings),
	}
	for _, s := range r.Whole().Substances {
		if s.IsIngredient() {
			j.Composition = append(j.Composition, substanceJSON{s.INCI, s.CAS, s.Pct.Min, s.Pct.Typ, s.Pct.Max, s.Contributions})
		}
	}
	for _, t := range r.Allergens {
		j.Allergens = append(j.Allergens, allergenJSON{t.LabelName, t.CAS, t.Worst.Min, t.Worst.Typ, t.Worst.Max, t.ThresholdPct, t.WorstIn, t.Verdict, t.Uncovered})
	}
	for _, f := range r.Fragrances {
		j.Fragrance = append(j.Fragrance, fragranceJSON{f.Ingredient, f.Category, f.UsePct, f.LimitPct, f.Ratio, f.Portion, f.Status})
	}
	for _, l := range r.Limits {
		j.Limits = append(j.Limits, limitJSON{joinNames(l.Substances), l.Row.Annex, l.Row.Entry, l.Row.Key, r.Input.Market,
			l.Content.Max, l.LimitPct, l.Row.Basis.Text, l.WorstIn, l.Verdict, l.Reason})
	}
	return j
}

func orEmpty[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

func joinNames(names []string) string { return strings.Join(names, ", ") }
