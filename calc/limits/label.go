package limits

import (
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/pattern"
)

// LabelText is a wording that the law asks for on the label.
type LabelText struct {
	Text       string
	Row        *annex.Limit
	Substances []string
	// Certain is false where the product file does not decide whether it is due;
	// it is printed all the same, as the cautious choice.
	Certain bool
	When    string // what the row says of when it is due; "" where it says nothing
}

// LabelTexts returns the wordings that the rows of a product ask for, each once,
// in the order of the table.
func LabelTexts(checks []LimitCheck) []LabelText {
	var out []LabelText
	for _, c := range checks {
		if c.Shape.label == labelNone {
			continue
		}
		l := LabelText{Text: labelWords(c), Row: c.Row, Substances: c.Substances,
			Certain: c.Shape.label == labelCertain, When: c.Row.Label.When}
		i := slices.IndexFunc(out, func(o LabelText) bool { return o.Text == l.Text })
		if i < 0 {
			out = append(out, l)
			continue
		}
		for _, s := range l.Substances {
			if !slices.Contains(out[i].Substances, s) {
				out[i].Substances = append(slices.Clone(out[i].Substances), s)
			}
		}
		if l.Certain && !out[i].Certain {
			out[i].Certain, out[i].Row, out[i].When = true, l.Row, l.When
		}
	}
	return out
}

var placeHolder = pattern.New(`<[^>]*>`)

// labelWords fills the name of the substance into the wording.
func labelWords(c LimitCheck) string {
	return placeHolder.ReplaceAllString(c.Row.LabelText, strings.ReplaceAll(formula.JoinAnd(c.Substances),
		"$", "$$"))
}

// label decides whether the wording of a row is due.
//
// A row that holds asks for it; one that may hold may ask for it. Its label
// columns narrow that: to contents above a figure, to a further condition.
func (run *Run) label(c *LimitCheck) labelDue {
	if c.Row.LabelText == "" ||
		!slices.ContainsFunc(c.Shape.Uses, func(u *LimitUse) bool { return !u.IsTrace() }) {
		return labelNone
	}
	duty, also := c.Row.Label, labelCertain
	if duty.Condition != nil {
		also = dueOf(law.JudgeCondition(*duty.Condition, *c.Shape.Uses[0].certain).Verdict)
	}
	if duty.Alone {
		return also
	}
	if c.Verdict == LimitNotApplicable || c.Shape.Kind == CheckProhibited {
		return labelNone
	}
	due := also
	if c.Verdict == LimitUndecided || c.Shape.either {
		due = min(due, labelMaybe)
	}
	if duty.AbovePct != nil {
		due = min(due, aboveFigure(c.Content, *duty.AbovePct, labelNone))
	}
	if duty.NotUpToPct != nil {
		due = min(due, aboveFigure(c.Content, *duty.NotUpToPct, labelMaybe))
	}
	if duty.Open {
		due = min(due, labelMaybe)
	}
	return due
}

func dueOf(v law.Verdict) labelDue {
	switch v {
	case law.Holds:
		return labelCertain
	case law.Undecided:
		return labelMaybe
	}
	return labelNone
}

// aboveFigure says whether a content is above a figure; below is what holds where
// it is not.
func aboveFigure(content exact.Range, figure exact.Num, below labelDue) labelDue {
	switch {
	case figure.Less(content.Min):
		return labelCertain
	case figure.Less(content.Max):
		return labelMaybe
	}
	return below
}

// labelFindings names the wordings the label needs.
func (run *Run) labelFindings(checks []LimitCheck, day exact.Date) []finding.Finding {
	var fs []finding.Finding
	for _, l := range LabelTexts(checks) {
		f := finding.NewFinding(finding.Note, "label-wording", run.In.Product.Pos,
			formula.With().Quote("text", l.Text).Source("law", run.In.LawSource(l.Row, day))).
			On(formula.JoinAnd(l.Substances)).By(finding.TheMaker)
		if !l.Certain {
			f = f.As("maybe").And(formula.With().Quote("when", l.When)).By(finding.TheAssessor)
		}
		fs = append(fs, f)
	}
	return fs
}
