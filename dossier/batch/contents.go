package batch

import (
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/limits"
	"gallipot/calc/listing"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// contentsSection shows what was weighed as substances, and the limits and
// allergens on it, each figure with the masses it comes from.
func (r *BatchReview) contentsSection() *document.Section {
	sec := &document.Section{ID: "contents", Title: "What is in it",
		Intro: "Contents computed from what was weighed: mass of the raw material by mass of the batch or portion, times the content on its sheet. Limits and allergens were run again on them, with the sheets as they are today."}
	if len(r.Results) == 0 {
		why := "masses are missing, or the product is gone"
		if r.Base != nil && r.Base.TooMuch() {
			why = "more base went into the portions than was weighed in"
		}
		sec.Add(document.Para("Not computed: " + why + "."))
		return sec
	}
	made := r.Results[0]
	t := &document.Table{ID: "batch-contents", SheetName: "Contents",
		Columns: []document.Column{{Head: "Substance", Fixed: true, Weight: 1.4},
			{Head: "As weighed", Unit: "% w/w", Kind: document.KindRange}, {Head: "From", Weight: 3}}}
	for _, s := range made.Whole().Substances {
		if s.IsIngredient() {
			t.Add(document.TextCell(show.SubstanceName(s)), document.RangeCell(s.Pct),
				document.TextCell(r.from(s.Contributions, "")))
		}
	}
	sec.Add(t)
	for i, res := range r.Results {
		sec.Add(r.allergensTable(res, r.planned[i])).Add(show.UnstatedNames(res)...)
	}
	for _, res := range r.Results {
		sec.Add(limitsAsWeighed(res))
	}
	return sec
}

// from words where a content comes from: the mass weighed, its share of the
// mixture, the content on the sheet, and where that stands.
func (r *BatchReview) from(list []formula.Contribution, portion string) string {
	var parts []string
	for _, c := range list {
		text := c.String()
		if g := r.weighedAt(c.LinePos, portion); g != "" {
			text = g + ": " + text
		}
		if place := show.PlaceCell(c.SourcePos).Text; place != "" {
			text += " (" + strings.TrimPrefix(place, "ingredients/") + ")"
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, "\n")
}

// weighedAt is the mass on a line of the record. Of the base, only a part is in a
// portion, which its mass would not tell.
func (r *BatchReview) weighedAt(pos exact.Pos, portion string) string {
	i := slices.IndexFunc(r.Batch.Lines, func(l workshop.BatchLine) bool { return l.Pos == pos })
	if i < 0 || r.Batch.Lines[i].WeighedG == nil || portion != "" && r.Batch.Lines[i].Portion != portion {
		return ""
	}
	return r.Batch.Lines[i].WeighedG.Exact() + " g"
}

// allergensTable holds each total against its threshold, and what the law asks of
// this batch against what the label of the formula names.
func (r *BatchReview) allergensTable(made, planned *calc.Result) *document.Table {
	market := string(made.Input.Market)
	t := &document.Table{ID: "batch-allergens-" + market, Title: "Allergens as weighed, " + market +
		", law of " +
		made.Input.Date.String(), SheetName: "Allergens", Empty: "No declarable allergen is known to be in it.",
		Columns: []document.Column{{Head: "Label name", Fixed: true, Weight: 1.4},
			{Head: "Total", Unit: "% w/w", Kind: document.KindRange}, {Head: "Threshold", Unit: "% w/w",
				Kind: document.KindNumber}, {Head: "Highest in", Weight: 0.8},
			{Head: "This batch", Weight: 1.2}, {Head: "Label of the formula", Weight: 0.8}, {Head: "From",
				Weight: 2.6}}}
	for _, a := range r.allergensOf(made) {
		named := onLabel(planned, a.LabelName)
		verdict, label := show.AllergenVerdict(a), document.TextCell("not named")
		switch {
		case named:
			label = document.TextCell("named")
		case a.OnLabel():
			label = document.VerdictCell(document.VerdictFail, "not named")
		}
		t.Add(document.TextCell(a.LabelName), document.RangeCell(a.Worst).
			By(document.RulePctBeside(a.ThresholdPct)), document.PctCell(a.ThresholdPct).MarkedIf(a.Row.FromMemory(),
			show.MemoryMark), document.TextCell(show.WholeOr(a.WorstIn)), verdict, label,
			document.TextCell(r.from(a.Contributions, a.WorstIn)))
	}
	return t
}

// allergensOf lists the totals of a batch, the highest first; names that nobody
// has stated and nothing is known of are left out, as in the pack.
func (r *BatchReview) allergensOf(made *calc.Result) []listing.AllergenTotal {
	list := slices.DeleteFunc(slices.Clone(made.Allergens),
		func(a listing.AllergenTotal) bool { return a.Verdict == listing.Unstated && a.Worst.IsZero() })
	slices.SortStableFunc(list, func(a, b listing.AllergenTotal) int { return b.Worst.Max.Cmp(a.Worst.Max) })
	return list
}

// onLabel says whether the label of a result names an allergen.
func onLabel(res *calc.Result, name string) bool {
	return slices.ContainsFunc(res.Allergens, func(a listing.AllergenTotal) bool {
		return a.LabelName == name &&
			a.OnLabel()
	})
}

// limitsAsWeighed holds the contents of a batch against the limits of one market.
func limitsAsWeighed(res *calc.Result) *document.Table {
	l := &document.Table{ID: "batch-limits-" + string(res.Input.Market), Title: "Limits as weighed, " +
		string(res.Input.Market) + ", law of " +
		res.Input.Date.String(), SheetName: "Limits", Empty: "No limit with a figure concerns it.",
		Columns: []document.Column{{Head: "Substance", Fixed: true, Weight: 1.4}, {Head: "Annex/ entry"},
			{Head: "Content, highest", Unit: "% w/w", Kind: document.KindNumber}, {Head: "Limit", Unit: "% w/w",
				Kind: document.KindNumber}, {Head: "Verdict", Weight: 1.2}}}
	for _, x := range res.Limits {
		if x.LimitPct == nil || x.Verdict == limits.LimitNotApplicable {
			continue
		}
		l.Add(document.TextCell(words.JoinNames(x.Substances)), document.TextCell(x.Row.Annex+"/"+x.Row.Entry),
			document.PctCell(x.Content.Max).By(document.RulePctBeside(*x.LimitPct)), document.PctCell(*x.LimitPct).
				MarkedIf(x.Row.FromMemory(), show.MemoryMark), show.LimitVerdict(x.Verdict))
	}
	return l
}
