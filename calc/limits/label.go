package limits

import (
	"regexp"
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// labelDue says whether a row's wording belongs on the label.
type labelDue int

const (
	labelNone labelDue = iota
	labelMaybe
	labelCertain
)

// LabelText is a wording that the law asks for on the label.
type LabelText struct {
	Text       string
	Row        *table.Limit
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
		l := LabelText{Text: labelWords(c), Row: c.Row, Substances: c.Substances, Certain: c.Shape.label == labelCertain, When: labelNote(c.Row.Note)}
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

var (
	labelAbove  = regexp.MustCompile(`[Ll]abel (?:only )?above (\d+(?:\.\d+)?) %`)
	labelUpTo   = regexp.MustCompile(`[Ll]abel not needed at (\d+(?:\.\d+)?) % or less`)
	labelType   = regexp.MustCompile(`[Ll]abel on ([a-z-]+) only`)
	labelYoung  = regexp.MustCompile(`label text goes on (leave-on|rinse-off) products designed for children under 3`)
	labelWord   = regexp.MustCompile(`(?i)\blabel\b`)
	placeHolder = regexp.MustCompile(`<[^>]*>`)
)

// labelWords fills the name of the substance into the wording.
func labelWords(c LimitCheck) string {
	return placeHolder.ReplaceAllString(c.Row.LabelText, strings.ReplaceAll(formula.JoinAnd(c.Substances), "$", "$$"))
}

// labelNote returns the part of a row's note that says when wording is due.
func labelNote(note string) string {
	for part := range strings.SplitSeq(note, ". ") {
		if labelWord.MatchString(part) && !strings.Contains(strings.ToLower(part), "allergen") {
			return strings.TrimSuffix(part, ".")
		}
	}
	return ""
}

// label decides whether the wording of a row is due.
//
// A row that holds asks for it; one that may hold may ask for it. The note of a
// row narrows that: to contents above a figure, to a product type, to products
// for small children. A note that cannot be read that way leaves it open.
func (run *Run) label(c *LimitCheck, day exact.Date) labelDue {
	note := c.Row.Note
	if c.Row.LabelText == "" || !slices.ContainsFunc(c.Shape.Uses, func(u *LimitUse) bool { return !u.isTrace() }) {
		return labelNone
	}
	s := c.Shape.Uses[0].certain
	if m := labelYoung.FindStringSubmatch(note); m != nil {
		young, err := table.Parse(m[1] + " & population=under-3")
		if err != nil {
			return labelMaybe
		}
		return dueOf(law.JudgeCondition(young, s).Verdict)
	}
	if c.Verdict == LimitNotApplicable || c.Shape.Kind == CheckProhibited {
		return labelNone
	}
	due := labelCertain
	if c.Verdict == LimitUndecided || c.Shape.either {
		due = labelMaybe
	}
	if m := labelType.FindStringSubmatch(note); m != nil {
		if !slices.Contains(s.Codes, m[1]) {
			return labelNone
		}
		return due
	}
	if m := labelAbove.FindStringSubmatch(note); m != nil {
		return min(due, aboveFigure(c.Content, m[1], labelNone))
	}
	if m := labelUpTo.FindStringSubmatch(note); m != nil {
		return min(due, aboveFigure(c.Content, m[1], labelMaybe))
	}
	if labelNote(note) != "" && !strings.Contains(note, "Labelling trigger") {
		return labelMaybe
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

// aboveFigure says whether a content is above the figure of a note; below is
// what holds where it is not.
func aboveFigure(content exact.Range, figure string, below labelDue) labelDue {
	n, err := exact.ParseNum(figure)
	switch {
	case err != nil:
		return labelMaybe
	case n.Less(content.Min):
		return labelCertain
	case n.Less(content.Max):
		return labelMaybe
	}
	return below
}

// labelFindings names the wordings the label needs.
func (run *Run) labelFindings(checks []LimitCheck, day exact.Date) []finding.Finding {
	var fs []finding.Finding
	for _, l := range LabelTexts(checks) {
		f := finding.Findingf(finding.Note, "label-wording", run.In.Product.Pos, "the label needs the words %q, for %s", l.Text, formula.JoinAnd(l.Substances)).
			On(formula.JoinAnd(l.Substances)).WithWhy("%s", run.whyOf(l.Row, day)).WithFix("print the words on label and pack")
		if !l.Certain {
			f.Message = "the label may need the words " + quoted(l.Text) + ", for " + formula.JoinAnd(l.Substances) + ": printed as the cautious choice"
			f.Fix = "let the assessor say whether they are due"
			if l.When != "" {
				f.Fix += "; the row says: " + l.When
			}
		}
		fs = append(fs, f)
	}
	return fs
}

func quoted(text string) string { return `"` + text + `"` }
