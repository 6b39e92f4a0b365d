package sections

import (
	"gallipot/calc/law"
	"gallipot/calc/masses"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/stability"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// EffectsSection is section 9 of Part A: undesirable effects with their rates.
func EffectsSection(v *show.View) *document.Section {
	p := v.A.Product
	s := &document.Section{ID: "effects", Title: "Log and rates"}
	switch {
	case p.ComplaintsPos.IsZero():
		s.Add(document.Rich(document.Span{Text: "The product file says nothing about undesirable effects. That is not a nil return.", Strong: true}))
	case len(p.Complaints) == 0:
		s.Add(document.Para("Nil return: the log is kept and holds no entry."))
	}
	t := &document.Table{ID: "effects-log", Title: "Entries", SheetName: "Effects", Empty: "No entry.",
		Columns: []document.Column{{Head: "Dated", Fixed: true, Kind: document.KindText}, {Head: "Kind"},
			{Head: "What happened",
				Weight: 2.4}, {Head: "Variant"}, {Head: "Batch"}, {Head: "Caused by it"}, {Head: "Outcome",
				Weight: 1.6}, {Head: "Reported", Kind: document.KindText}}}
	for i, c := range p.Complaints {
		reported := document.BlankCell()
		switch {
		case !c.Reported.IsZero():
			reported = document.DateCell(c.Reported)
		case !v.A.Entered.Complaints[i].Reported.IsZero():
			reported = document.MissingCell(v.A.Entered.Complaints[i].Reported.String() + ": cannot be")
		case c.Serious:
			reported = document.MissingCell("not reported")
		}
		t.Add(document.DateCell(c.Dated), document.TextCell(effectKind(c)), document.TextCell(c.Text),
			document.TextCell(c.Variant), show.TextOr(c.Batch), show.TextOr(c.Causal), show.TextOr(c.Outcome), reported)
	}
	if len(t.Rows) > 0 || p.ComplaintsPos.IsZero() { // else the nil return has said it
		s.Add(t)
	}
	s.Add(rateTable(v))
	duty := law.DossierItem(v.A.Options.Law, "X8")
	return s.Add(document.Para("Duty: " + duty.Needs + ". " + law.DossierItem(v.A.Options.Law, "X9").Needs +
		". " + duty.Source + " (dossier-contents.csv, rows X8 and X9)."))
}

func effectKind(c workshop.Complaint) string {
	switch {
	case c.Serious:
		return "serious effect"
	case c.Kind == "quality":
		return "quality"
	}
	return "effect"
}

// rateTable counts effects against units sold. Quality complaints are none.
func rateTable(v *show.View) *document.Table {
	p := v.A.Product
	t := &document.Table{ID: "effects-rates", Title: "Effects by units sold", SheetName: "Effects",
		Empty: "Units sold are not stated, so that no rate can be given.",
		Columns: []document.Column{{Head: "Variant", Fixed: true},
			{Head: "Sold", Unit: "units", Kind: document.KindNumber}, {Head: "Until",
				Kind: document.KindText}, {Head: "Effects", Kind: document.KindNumber}, {Head: "Serious",
				Kind: document.KindNumber}, {Head: "Rate", Unit: "per 10 000 units", Kind: document.KindNumber}}}
	for _, sold := range p.Sold {
		effects, serious := 0, 0
		for _, c := range p.Complaints {
			if c.Kind == "quality" && !c.Serious || sold.Variant != "" && c.Variant != sold.Variant ||
				sold.Until.Before(c.Dated) {
				continue
			}
			effects++
			if c.Serious {
				serious++
			}
		}
		rate := document.MissingCell("nothing sold")
		if r, ok := masses.EffectRate(effects, sold.Units); ok {
			rate = document.NumCell(r, document.RuleSig(3))
		}
		if _, falls := stability.SoldFalls(stability.SoldOf(p, sold.Variant)); falls {
			rate = document.MissingCell("the series falls")
		}
		if v.A.Options.Date.Before(sold.Until) {
			rate = document.MissingCell("dated ahead")
		}
		t.Add(document.TextCell(words.OrWord(sold.Variant, "all variants")),
			document.NumCell(exact.Int(int64(sold.Units)),
				document.RuleExact), document.DateCell(sold.Until), document.IntCell(effects), document.IntCell(serious), rate)
	}
	if len(t.Rows) > 0 {
		t.Note("Entries dated after the day of the sales figure are left out. An entry that names no variant counts for all variants together only.")
	}
	return t
}
