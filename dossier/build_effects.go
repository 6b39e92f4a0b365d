package dossier

import (
	"gallipot/calc"
	"gallipot/ingredients"
)

// effectsSection is section 9 of Part A: undesirable effects with their rates.
func (v *view) effectsSection() *Section {
	p := v.a.Product
	s := &Section{ID: "effects", Title: "Log and rates"}
	switch {
	case p.ComplaintsPos.IsZero():
		s.Add(Rich(Span{Text: "The product file says nothing about undesirable effects. That is not a nil return.", Strong: true}))
	case len(p.Complaints) == 0:
		s.Add(Para("Nil return: the log is kept and holds no entry."))
	}
	t := &Table{ID: "effects-log", Title: "Entries", SheetName: "Effects", Empty: "No entry.", Columns: []Column{{Head: "Dated", Fixed: true, Kind: KindText}, {Head: "Kind"}, {Head: "What happened", Weight: 2.4}, {Head: "Variant"}, {Head: "Batch"}, {Head: "Caused by it"}, {Head: "Outcome", Weight: 1.6}, {Head: "Reported", Kind: KindText}}}
	for i, c := range p.Complaints {
		reported := BlankCell()
		switch {
		case !c.Reported.IsZero():
			reported = DateCell(c.Reported)
		case !v.a.entered.Complaints[i].Reported.IsZero():
			reported = MissingCell(v.a.entered.Complaints[i].Reported.String() + ": cannot be")
		case c.Serious:
			reported = MissingCell("not reported")
		}
		t.Add(DateCell(c.Dated), TextCell(effectKind(c)), TextCell(c.Text), TextCell(c.Variant), textOr(c.Batch), textOr(c.Causal), textOr(c.Outcome), reported)
	}
	s.Add(t, v.rateTable())
	duty := v.a.Options.Law.DossierItem("X8")
	return s.Add(Para("Duty: " + duty.Needs + ". " + v.a.Options.Law.DossierItem("X9").Needs + ". " + duty.Source + " (dossier-contents.csv, rows X8 and X9)."))
}

func effectKind(c Complaint) string {
	switch {
	case c.Serious:
		return "serious effect"
	case c.Kind == "quality":
		return "quality"
	}
	return "effect"
}

// rateTable counts effects against units sold. Quality complaints are none.
func (v *view) rateTable() *Table {
	p := v.a.Product
	t := &Table{ID: "effects-rates", Title: "Effects by units sold", SheetName: "Effects", Empty: "Units sold are not stated, so that no rate can be given.",
		Columns: []Column{{Head: "Variant", Fixed: true}, {Head: "Sold", Unit: "units", Kind: KindNumber}, {Head: "Until", Kind: KindText}, {Head: "Effects", Kind: KindNumber}, {Head: "Serious", Kind: KindNumber}, {Head: "Rate", Unit: "per 10 000 units", Kind: KindNumber}}}
	for _, sold := range p.Sold {
		effects, serious := 0, 0
		for _, c := range p.Complaints {
			if c.Kind == "quality" && !c.Serious || sold.Variant != "" && c.Variant != sold.Variant || sold.Until.Before(c.Dated) {
				continue
			}
			effects++
			if c.Serious {
				serious++
			}
		}
		rate := MissingCell("nothing sold")
		if r, ok := calc.EffectRate(effects, sold.Units); ok {
			rate = NumCell(r, RuleSig(3))
		}
		if _, falls := soldFalls(p.soldOf(sold.Variant)); falls {
			rate = MissingCell("the series falls")
		}
		if v.a.Options.Date.Before(sold.Until) {
			rate = MissingCell("dated ahead")
		}
		t.Add(TextCell(orWord(sold.Variant, "all variants")), NumCell(ingredients.Int(int64(sold.Units)), RuleExact), DateCell(sold.Until), IntCell(effects), IntCell(serious), rate)
	}
	if len(t.Rows) > 0 {
		t.Note("Entries dated after the day of the sales figure are left out. An entry that names no variant counts for all variants together only.")
	}
	return t
}
