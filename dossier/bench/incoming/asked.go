package incoming

import (
	"slices"
	"strings"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit"
	"gallipot/dossier/transcribe/filing"
	"gallipot/ingredients/exact"
)

// asked is what no paper says of a new material and its sheet needs: how it stands on the
// label, and whether everything in it is named.
type asked struct {
	New      bool // there is no sheet yet
	Scent    bool // the paper has a fragrance certificate or declares allergens alone
	Composed bool // the paper names constituents
	Sum      string
	Rest     []string // constituents with the rest to 100 as their content
}

// asks are what filing the paper has to be told.
func (w *waiting) asks(v *frame.Visit) *asked {
	a := &asked{New: w.filing.New}
	var low, high exact.Num
	summed := true
	for _, x := range w.items {
		answer, ok := w.said.Answers[x.Key]
		if !ok || answer.Refused {
			continue
		}
		switch x.Part {
		case filing.OfCertificate, filing.OfAllergens:
			a.Scent = true
		case filing.OfComposition:
			a.Composed = true
			amount, err := exact.ParseAmount(answer.Value)
			switch {
			case err == nil && amount.Rest:
				a.Rest = append(a.Rest, x.Name)
			case err != nil:
				summed = false
			default:
				low, high = low.Add(amount.Min), high.Add(amount.Max)
			}
		}
	}
	a.Scent = a.Scent || !a.Composed // else the sheet could not be read
	if sheet := v.Workshop().Sheets[w.filing.Sheet]; !a.New && (!a.Composed || sheet == nil ||
		len(sheet.Composition.Constituents) > 0 || sheet.Composition.HeldByAssessor) {
		return nil // the sheet says it already
	}
	if summed && a.Composed && len(a.Rest) == 0 {
		a.Sum = low.Decimal()
		if low.Less(high) {
			a.Sum += " to " + high.Decimal()
		}
	}
	return a
}

// told writes into a sheet what was answered beside the values: nothing of it is assumed. A
// composition that nobody calls complete is not.
func (w *waiting) told(v *frame.Visit, sheet []byte) ([]byte, error) {
	label, complete := v.Field("label_as"), v.Field("complete") == "true"
	if !w.filing.New || !slices.Contains([]string{"inci", "parfum", "aroma"}, label) {
		label = ""
	}
	f, err := edit.Parse(w.filing.SheetFile(), sheet)
	if err != nil {
		return nil, err
	}
	f.Order = func(p edit.Path) []string {
		if len(p) > 0 {
			return nil
		}
		return []string{"id", "name", "supplier", "form", "label_as", "composition"}
	}
	var edits []edit.Edit
	if label != "" {
		edits = append(edits, edit.Set(edit.Path{"label_as"}, edit.Typed(label)))
	}
	list := edit.Path{"composition", "constituents"}
	whole := edit.Path{"composition", "complete"}
	if f.Has(list) && !f.Has(whole) && !f.Has(edit.Path{"composition", "held_by_assessor"}) {
		edits = append(edits, edit.Set(whole, edit.Typed("false")))
	}
	if complete && f.Has(list) && w.asks(v) != nil {
		edits = append(edits, edit.Set(whole, edit.Typed("true")))
		for _, x := range w.items {
			answer, ok := w.said.Answers[x.Key]
			amount, err := exact.ParseAmount(answer.Value)
			if !ok || answer.Refused || x.Part != filing.OfComposition || err != nil || !amount.Rest ||
				f.Has(list.Then("inci="+x.Name)) {
				continue
			}
			entry := edit.Group().With("inci", edit.Text(x.Name))
			if cas, _, _ := strings.Cut(x.Number, ", "); cas != "" {
				entry = entry.With("cas", edit.Typed(cas))
			}
			edits = append(edits, edit.Insert(list.Then("-"), entry.With("pct", edit.Typed("q.s."))))
		}
	}
	if len(edits) == 0 {
		return sheet, nil
	}
	g, err := f.Apply(edits...)
	if err != nil {
		return nil, err
	}
	return g.Bytes(), nil
}
