package calc

import (
	"regexp"
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/ingredients"
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
	Row        *law.Limit
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
		if c.shape.label == labelNone {
			continue
		}
		l := LabelText{Text: labelWords(c), Row: c.Row, Substances: c.Substances, Certain: c.shape.label == labelCertain, When: labelNote(c.Row.Note)}
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
	return placeHolder.ReplaceAllString(c.Row.LabelText, strings.ReplaceAll(joinAnd(c.Substances), "$", "$$"))
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
func (run *limitRun) label(c *LimitCheck, day ingredients.Date) labelDue {
	note := c.Row.Note
	if c.Row.LabelText == "" || !slices.ContainsFunc(c.shape.uses, func(u *limitUse) bool { return !u.isTrace() }) {
		return labelNone
	}
	s := c.shape.uses[0].certain
	if m := labelYoung.FindStringSubmatch(note); m != nil {
		young, err := law.Parse(m[1] + " & population=under-3")
		if err != nil {
			return labelMaybe
		}
		return dueOf(young.Judge(s).Verdict)
	}
	if c.Verdict == LimitNotApplicable || c.shape.kind == checkProhibited {
		return labelNone
	}
	due := labelCertain
	if c.Verdict == LimitUndecided || c.shape.either {
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
func aboveFigure(content ingredients.Range, figure string, below labelDue) labelDue {
	n, err := ingredients.ParseNum(figure)
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
func (run *limitRun) labelFindings(checks []LimitCheck, day ingredients.Date) []ingredients.Finding {
	var fs []ingredients.Finding
	for _, l := range LabelTexts(checks) {
		f := ingredients.NewFinding(ingredients.Note, "label-wording", run.in.Product.Pos,
			with().Quote("text", l.Text).Source("law", lawSource(l.Row, day))).On(joinAnd(l.Substances)).By(ingredients.TheMaker)
		if !l.Certain {
			f = f.As("maybe").And(with().Quote("when", l.When)).By(ingredients.TheAssessor)
		}
		fs = append(fs, f)
	}
	return fs
}
