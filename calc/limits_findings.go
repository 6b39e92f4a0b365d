package calc

import (
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// checkFindings says which rows are broken and which the file cannot decide. Of
// several rows that the same substances break, the tightest speaks.
func (run *limitRun) checkFindings(checks []LimitCheck, day ingredients.Date) []ingredients.Finding {
	var fs []ingredients.Finding
	stopped := map[string]bool{}
	made, drafts := byInstrument(checks)
	for _, c := range tightest(made, LimitExceeded) {
		fs = append(fs, run.stop(c, day))
		stopped[subjectKey(c)] = true
	}
	for _, c := range tightest(drafts, LimitExceeded) {
		fs = append(fs, draftFinding(c))
	}
	for _, c := range tightest(made, LimitUndecided) {
		if stopped[subjectKey(c)] || !worthAsking(c) {
			continue
		}
		fs = append(fs, run.ask(c, day))
	}
	return fs
}

// byInstrument parts the checks of rules that were made from those of drafts, which
// stop nothing.
func byInstrument(checks []LimitCheck) (made, drafts []LimitCheck) {
	for _, c := range checks {
		if c.Row.Instrument == law.InstrumentDraft {
			drafts = append(drafts, c)
		} else {
			made = append(made, c)
		}
	}
	return made, drafts
}

// draftFinding says what a draft would bar.
func draftFinding(c LimitCheck) ingredients.Finding {
	values := ingredients.With().Range("content", c.Content, "%", ingredients.FourDigits).
		MaybeNum("limit", c.LimitPct, "%", ingredients.AsIs).Quote("basis", c.Row.Basis.Text).Quote("rule", c.Row.Source).Day("from", c.Row.From)
	f := ingredients.NewFinding(ingredients.Ask, "draft-law", posOf(c), values).On(subjectOf(c)).By(ingredients.TheMaker)
	f.Sum = sumOf(c)
	return f
}

// subjectKey groups checks about the same substances; the maker's own rules
// stand apart from the law's.
func subjectKey(c LimitCheck) string {
	if c.shape.kind == checkTogether {
		return "together|" + c.Row.SumGroup
	}
	names := slices.Clone(c.Substances)
	slices.Sort(names)
	key := strings.Join(names, "|")
	if c.Row.Own {
		key = "own|" + key
	}
	return key
}

// tightest picks of each group the check that allows least, in the order of the
// table.
func tightest(checks []LimitCheck, verdict LimitVerdict) []LimitCheck {
	var out []LimitCheck
	at := map[string]int{}
	for _, c := range checks {
		if c.Verdict != verdict {
			continue
		}
		key := subjectKey(c) + "|" + strings.Join(c.Missing, "|")
		if verdict == LimitExceeded {
			key = subjectKey(c)
		}
		i, known := at[key]
		switch {
		case !known:
			at[key] = len(out)
			out = append(out, c)
		case allowsLess(c, out[i]):
			out[i] = c
		}
	}
	return out
}

// allowsLess says whether one check leaves less room than another: substances
// that exclude each other first, then nothing, then less, and last no figure.
func allowsLess(a, b LimitCheck) bool {
	if (a.shape.kind == checkTogether) != (b.shape.kind == checkTogether) {
		return a.shape.kind == checkTogether
	}
	switch {
	case a.LimitPct == nil:
		return a.shape.kind == checkProhibited && b.shape.kind != checkProhibited
	case b.LimitPct == nil:
		return b.shape.kind != checkProhibited
	case b.HighestPct == nil:
		return false
	case a.HighestPct == nil:
		return true
	}
	return a.HighestPct.Less(*b.HighestPct)
}

// worthAsking leaves out rows that change nothing: no figure and no wording.
func worthAsking(c LimitCheck) bool {
	switch {
	case c.shape.kind == checkResidue && len(c.Row.Spec) > 0:
		return false // asked for as a criterion of the raw material
	case c.LimitPct == nil && c.shape.kind == checkNone:
		return c.Row.LabelText != "" && c.Row.Annex != "IV"
	}
	return true
}

func subjectOf(c LimitCheck) string { return strings.Join(c.Substances, " + ") }

// posOf is the formula line that brings most of it.
func posOf(c LimitCheck) ingredients.Pos {
	var pos ingredients.Pos
	var most ingredients.Num
	for i, k := range c.Contributions {
		if i == 0 || most.Less(k.Pct.Max) {
			pos, most = k.LinePos, k.Pct.Max
			if pos.IsZero() {
				pos = k.SourcePos
			}
		}
	}
	return pos
}

// stop words a broken row.
func (run *limitRun) stop(c LimitCheck, day ingredients.Date) ingredients.Finding {
	subject := subjectOf(c)
	var f ingredients.Finding
	switch {
	case c.notHere():
		f = ingredients.Findingf(ingredients.Stop, "colourant-not-here", posOf(c), "%s may not be used as a colourant here: it is listed for use %s", subject, conditionWords(c.Row.Condition)).
			WithFix("take another colourant for this type of product (%s), or leave it out", lowerFirst(run.in.Type.Name))
	case c.shape.kind == checkTogether:
		f = ingredients.Findingf(ingredients.Stop, "not-together", posOf(c), "%s %s", subject, c.Reason).
			WithFix("take out one of them")
	case c.shape.kind == checkProhibited:
		f = ingredients.Findingf(ingredients.Stop, "prohibited", posOf(c), "%s is %s %% of %s, not permitted %s", subject, rangeText(c.Content), placeName(c.WorstIn), conditionWords(c.Row.Condition)).
			WithFix("take out %s, or the material that brings it in; a trace that the supplier cannot avoid belongs under the impurities of its sheet", subject)
	default:
		f = ingredients.Findingf(ingredients.Stop, "over-limit", posOf(c), "%s is %s, allowed %s %s", subject, contentText(c), limitText(c.Row, *c.LimitPct, c.Row.Sum.Strict), conditionWords(c.Row.Condition))
		f.Fix = run.fixOf(c)
	}
	f.Sum = sumOf(c)
	f.Why = run.whyOf(c.Row, day)
	return f.On(subject)
}

// notHere says whether the check is about a colourant outside its listed use.
func (c LimitCheck) notHere() bool {
	return c.Row.Annex == "IV" && c.shape.kind == checkProhibited && !c.Row.Prohibited()
}

// contentText says what was found, and what it counts as where that differs.
func contentText(c LimitCheck) string {
	text := rangeText(c.shape.plain) + " % of " + placeName(c.WorstIn)
	if c.Row.Basis.Text != "" && c.shape.kind == checkFigure {
		text += ", counted " + rangeText(c.Content) + " % " + c.Row.Basis.Text
	}
	return text
}

func sumOf(c LimitCheck) []ingredients.Term {
	return append(termsOf(c.Contributions), c.Basis...)
}

// fixOf says what would pass, rounded down so that it does.
func (run *limitRun) fixOf(c LimitCheck) string {
	var ways []string
	for _, r := range c.Room {
		if r.AtMostPct != nil {
			ways = append(ways, "at most "+downText(*r.AtMostPct, 4)+" % of "+r.Ingredient+" (now "+r.UsePct.Sig(4)+" %)")
		}
	}
	fix := strings.Join(ways, ", or ")
	if len(ways) > 1 {
		fix += ", the others as they are"
	}
	if len(ways) == 0 && c.HighestPct != nil {
		fix = "lower all of it: at most " + downText(*c.HighestPct, 4) + " % of " + subjectOf(c) + " in all"
	}
	if c.LimitPct != nil && !c.LimitPct.Less(c.Content.Min) && !c.Content.IsExact() {
		fix += ", or ask " + widestSource(c.Contributions, run.in) + " for the exact content"
	}
	return fix
}

// downText prints a number with at most the given significant digits, rounded
// down: an amount that is printed as allowed is allowed.
func downText(n ingredients.Num, digits int) string {
	shown, err := ingredients.ParseNum(n.Sig(digits))
	if err != nil || !n.Less(shown) {
		return n.Sig(digits)
	}
	unit, ten := ingredients.Int(1), ingredients.Int(10)
	for top := n; !top.Less(ten); top = top.Quo(ten) {
		unit = unit.Mul(ten)
	}
	for top := n; top.Less(ingredients.Int(1)); top = top.Mul(ten) {
		unit = unit.Quo(ten)
	}
	for range digits - 1 {
		unit = unit.Quo(ten)
	}
	return shown.Sub(unit).Exact()
}

// unsureLaw words an instrument that was not read as made.
var unsureLaw = map[law.Instrument]string{
	law.InstrumentDraft:     "draft: not confirmed as made",
	law.InstrumentSecondary: "secondary reports only",
}

// whyOf names the row and where it comes from.
func (run *limitRun) whyOf(row *law.Limit, day ingredients.Date) string {
	var b strings.Builder
	if row.Own {
		b.WriteString("your own rule " + row.Key + ", " + row.Source)
	} else {
		b.WriteString(row.Source)
		if !strings.Contains(row.Source, entryOf(row)) {
			b.WriteString(", annex " + row.Annex + ", ")
			if row.EntryUnread {
				b.WriteString("entry number not read")
			} else {
				b.WriteString("entry " + row.Entry)
			}
		}
	}
	b.WriteString(", " + joinAnd(marketNames(row.Markets)))
	if !row.From.IsZero() {
		b.WriteString(", from " + row.From.String())
	}
	if !row.Until.IsZero() {
		b.WriteString(" to " + row.Until.String())
	}
	if !row.OffShelf.IsZero() && !row.OffShelf.Before(day) && !day.Before(row.From) {
		b.WriteString("; stock placed on the market before may be sold until " + row.OffShelf.String())
	}
	b.WriteString(" (" + row.File + ", row " + row.Key + ")")
	if row.FromMemory() {
		b.WriteString("; not read in the source")
	}
	if words := unsureLaw[row.Instrument]; words != "" {
		b.WriteString("; " + words)
	}
	return b.String()
}

// marketNames lists the markets whose annexes hold a row.
func marketNames(markets []law.Market) []string {
	names := make([]string, len(markets))
	for i, m := range markets {
		names[i] = string(m)
	}
	return names
}

// ask words a row that cannot be decided.
func (run *limitRun) ask(c LimitCheck, day ingredients.Date) ingredients.Finding {
	subject := subjectOf(c)
	code, fix, whom := "limit-undecided", run.fixMissing(c), "the maker"
	message := subject + " is " + contentText(c) + ": " + c.Reason
	switch {
	case c.shape.doubt != "":
		code, whom = "limit-entry", widestSource(c.Contributions, run.in)
		fix = run.filesIn(factWords[missingMatch].fix, c)
		if strings.HasPrefix(c.shape.doubt, "CAS ") { // name and number contradict each other
			fix = run.filesIn("check name and number against the supplier's paper, and correct {sheet}", c)
		}
	case c.shape.open, c.notHere():
	case c.shape.kind == checkProhibited && c.shape.traces:
		code, whom = "prohibited-trace", "the assessor"
		fix = "show the assessor that the trace cannot be avoided and that the product is safe with it, or take a purer material"
		message = subject + " is a trace of " + rangeText(c.Content) + " % in " + placeName(c.WorstIn) + " and not permitted " + conditionWords(c.Row.Condition)
	case c.shape.kind == checkProhibited && !c.shape.certain:
		code, whom = "maybe-prohibited", widestSource(c.Contributions, run.in)
		fix = "ask " + whom + " for the exact content; where there is any, take another material"
		message = subject + " may be up to " + c.Content.Max.Sig(4) + " % of " + placeName(c.WorstIn) + " and is not permitted " + conditionWords(c.Row.Condition)
	case c.shape.kind == checkResidue:
		whom = widestSource(c.Contributions, run.in)
	}
	f := ingredients.Findingf(ingredients.Ask, code, posOf(c), "%s", message).On(subject).AskOf(whom)
	f.Fix, f.Sum, f.Why = fix, sumOf(c), run.whyOf(c.Row, day)
	if code == "prohibited-trace" {
		f.Why = "small traces that cannot be avoided in good manufacturing practice are allowed if the product is safe; Regulation (EC) 1223/2009 Article 17; " + f.Why
	}
	return f
}

// fixMissing says who states the missing facts, and how.
func (run *limitRun) fixMissing(c LimitCheck) string {
	var ways []string
	for _, what := range c.Missing {
		for _, w := range factWords {
			if w.what == what {
				ways = append(ways, w.fix)
			}
		}
	}
	if len(ways) == 0 {
		return "ask " + widestSource(c.Contributions, run.in) + " for " + joinAnd(c.Missing)
	}
	return run.filesIn(strings.Join(ways, "; "), c)
}

// filesIn puts the files to change into a fix: the product, and the sheets that
// bring the substance.
func (run *limitRun) filesIn(fix string, c LimitCheck) string {
	product := run.in.Product.Pos.File
	var sheets []string
	for _, k := range c.Contributions {
		if f := k.SourcePos.File; f != "" && f != product && !slices.Contains(sheets, f) {
			sheets = append(sheets, f)
		}
	}
	return strings.NewReplacer("{sheet}", orText(joinAnd(sheets), "the sheet"), "{product}", orText(product, "the product file")).Replace(fix)
}

func orText(s, instead string) string {
	if s == "" {
		return instead
	}
	return s
}
