package batch

import (
	"io"

	"gallipot/calc/formula"
	"gallipot/calc/masses"
	"gallipot/dossier/figures"
	"gallipot/dossier/store"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// batchJSON is the review of a batch. Its keys are stable. Masses are in g,
// contents in % w/w.
type batchJSON struct {
	Batch      string                  `json:"batch"`
	Product    string                  `json:"product"`
	Variant    string                  `json:"variant"`
	Revision   int                     `json:"revision"`
	Planned    string                  `json:"fingerprint"`  // of the figures it was planned with
	Otherwise  string                  `json:"planned_with"` // where those are not today's, what that means; else ""
	Date       exact.Date              `json:"date"`
	State      string                  `json:"state"`
	MayRelease bool                    `json:"may_release_as_far_as_files_tell"`
	Open       []string                `json:"open"`
	WeighedG   exact.Num               `json:"weighed_g"`
	Lines      []batchLineJSON         `json:"lines"`
	Yield      *masses.Yield           `json:"yield"`
	Contents   []figures.SubstanceJSON `json:"composition"`
	Allergens  []batchAllergenJSON     `json:"allergens"`
	Findings   []words.Said            `json:"findings"`
}

type batchLineJSON struct {
	Ingredient string     `json:"ingredient"`
	Portion    string     `json:"portion"`
	PlannedG   *exact.Num `json:"planned_g"`
	WeighedG   *exact.Num `json:"weighed_g"`
	AllowedG   *exact.Num `json:"allowed_g"`
	Within     *bool      `json:"within"`
	Lots       []string   `json:"lots"`
}

// batchAllergenJSON is one total of what was weighed in one market.
type batchAllergenJSON struct {
	Market string `json:"market"`
	figures.AllergenJSON
	OnLabel       bool                   `json:"on_label"` // of the formula
	Contributions []formula.Contribution `json:"contributions"`
}

// WriteJSON prints the review as JSON.
func (r *BatchReview) WriteJSON(w io.Writer) error {
	b := r.Batch
	out := batchJSON{Batch: b.Code, Product: b.Product, Variant: b.Variant, Revision: b.Revision,
		Planned: b.Fingerprint, Otherwise: r.Otherwise, Date: b.Date, State: b.State(), MayRelease: len(r.Open) == 0,
		Open: words.OrEmpty(r.Open), WeighedG: b.WeighedG(), Lines: []batchLineJSON{}, Yield: r.Yield,
		Contents: []figures.SubstanceJSON{}, Allergens: []batchAllergenJSON{},
		Findings: words.SayAll(r.Findings, words.Terminal)}
	at := 0
	for _, l := range b.Lines {
		j := batchLineJSON{Ingredient: l.Ingredient, Portion: l.Portion, PlannedG: l.PlannedG, WeighedG: l.WeighedG,
			Lots: []string{}}
		for _, x := range l.Lots {
			j.Lots = append(j.Lots, workshop.LotName(x))
		}
		if l.WeighedG != nil {
			for _, d := range r.Deviations {
				if d.Line == at {
					j.AllowedG, j.Within = &d.AllowedG, &d.Within
				}
			}
			at++
		}
		out.Lines = append(out.Lines, j)
	}
	if len(r.Results) > 0 {
		for _, s := range r.Results[0].Whole().Substances {
			if s.IsIngredient() {
				out.Contents = append(out.Contents, figures.SubstanceJSON{INCI: s.INCI, CAS: s.CAS, Min: s.Pct.Min,
					Typical: s.Pct.Typ, Max: s.Pct.Max, Contributions: s.Contributions})
			}
		}
	}
	for i, made := range r.Results {
		for _, a := range r.allergensOf(made) {
			out.Allergens = append(out.Allergens, batchAllergenJSON{string(made.Input.Market), figures.AllergenOf(a),
				onLabel(r.planned[i], a.LabelName), a.Contributions})
		}
	}
	return store.WriteIndented(w, out)
}
