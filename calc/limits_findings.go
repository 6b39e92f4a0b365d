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
		fs = append(fs, run.draftFinding(c))
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
func (run *limitRun) draftFinding(c LimitCheck) ingredients.Finding {
	values := ingredients.With().Range("content", c.Content, "%", ingredients.FourDigits).
		MaybeNum("limit", c.LimitPct, "%", ingredients.AsIs).Quote("basis", c.Row.Basis.Text).Quote("rule", c.Row.Source).Day("from", c.Row.From)
	f := ingredients.NewFinding(ingredients.Ask, "draft-law", posOf(c), values).On(subjectOf(c)).By(ingredients.TheMaker)
	f.Sum = run.sumOf(c)
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

// stop raises a broken row.
func (run *limitRun) stop(c LimitCheck, day ingredients.Date) ingredients.Finding {
	content := portion(with().Range("content", c.shape.plain, "%", ingredients.FourDigits), c.WorstIn)
	where := with().Quote("where", conditionWords(c.Row.Condition))
	code, v := "over-limit", ingredients.Values(nil)
	var settle *ingredients.Settle
	switch {
	case c.notHere():
		code, v = "colourant-not-here", where.Quote("type", lowerFirst(run.in.Type.Name))
	case c.shape.kind == checkTogether:
		code, v = "not-together", with().Names("others", c.shape.others).Names("entries", c.shape.entries).Quote("rule", c.Row.SumRule)
	case c.shape.kind == checkProhibited:
		code, v = "prohibited", append(content.Set(with().Range("content", c.Content, "%", ingredients.FourDigits)), where...)
	default:
		v = run.counted(append(content, where...), c)
		v, settle = run.ways(v, c)
	}
	f := ingredients.NewFinding(ingredients.Stop, code, posOf(c), v.Source("law", lawSource(c.Row, day))).On(subjectOf(c)).By(ingredients.TheMaker)
	most := c.Content.Max
	f.Settle, f.Sum, f.Grade, f.Cause = settle, run.sumOf(c), &most, subjectKey(c)
	if c.needsExact() {
		return f.By(ingredients.TheMaker, widestParty(c.Contributions, run.in))
	}
	return f
}

// notHere says whether the check is about a colourant outside its listed use.
func (c LimitCheck) notHere() bool {
	return c.Row.Annex == "IV" && c.shape.kind == checkProhibited && !c.Row.Prohibited()
}

// unsureLaw names the term for an instrument that was not read as made.
var unsureLaw = map[law.Instrument]string{
	law.InstrumentDraft:     "draft-law",
	law.InstrumentSecondary: "secondary-reports",
}

// marketNames lists the markets whose annexes hold a row.
func marketNames(markets []law.Market) []string {
	names := make([]string, len(markets))
	for i, m := range markets {
		names[i] = string(m)
	}
	return names
}

// ask raises a row that cannot be decided.
func (run *limitRun) ask(c LimitCheck, day ingredients.Date) ingredients.Finding {
	v := portion(with().Range("content", c.shape.plain, "%", ingredients.FourDigits), c.WorstIn)
	where := with().Quote("where", conditionWords(c.Row.Condition))
	widest := widestParty(c.Contributions, run.in)
	code, form, who := "limit-undecided", c.shape.state, ingredients.TheMaker
	switch {
	case c.shape.doubt != "":
		code, form, who = "limit-entry", "entries", widest
		v = v.Those("sheets", run.filesOf(c))
		if len(c.shape.standsFor) > 0 { // name and number contradict each other
			form = "number"
			v = v.Name("cas", c.shape.cas).Names("others", c.shape.standsFor)
		}
	case c.shape.open, c.notHere():
		v = append(v, where...)
	case c.shape.kind == checkProhibited && c.shape.traces:
		code, form, who = "prohibited-trace", "", ingredients.TheAssessor
		v = append(v.Set(with().Range("content", c.Content, "%", ingredients.FourDigits)), where...)
	case c.shape.kind == checkProhibited && !c.shape.certain:
		code, form, who = "maybe-prohibited", "", widest
		v = append(portion(with().Num("most", c.Content.Max, "%", ingredients.FourDigits), c.WorstIn), where...)
	case c.shape.kind == checkResidue:
		who = widest
		v = v.Num("limit", *c.LimitPct, "%", ingredients.AsIs)
		if form == "part" {
			v = v.Quote("basis", strings.TrimPrefix(c.Row.Basis.Text, "as "))
		}
	case form == "if-it-counts":
		v = run.counted(append(v, where...), c)
	}
	if code == "limit-undecided" && len(c.shape.missing) > 0 {
		v = v.Those("facts", factTerms(c.shape.missing)).Those("fixes", fixTerms(c.shape.missing, run.filesOf(c)))
	}
	f := ingredients.NewFinding(ingredients.Ask, code, posOf(c), v.Source("law", lawSource(c.Row, day))).As(form).On(subjectOf(c)).By(who)
	f.Sum = run.sumOf(c)
	return f
}

func orText(s, instead string) string {
	if s == "" {
		return instead
	}
	return s
}

// needsExact says whether a narrower range could keep the limit.
func (c LimitCheck) needsExact() bool {
	return c.LimitPct != nil && c.shape.kind == checkFigure && !c.LimitPct.Less(c.Content.Min) && !c.Content.IsExact()
}

// counted adds what a content counts as where that differs, and the limit.
func (run *limitRun) counted(v ingredients.Values, c LimitCheck) ingredients.Values {
	if c.Row.Basis.Text != "" && c.shape.kind == checkFigure {
		v = v.Range("counted", c.Content, "%", ingredients.FourDigits)
	}
	if c.LimitPct != nil {
		v = v.Num("limit", *c.LimitPct, "%", ingredients.AsIs).Quote("basis", c.Row.Basis.Text).Flag(c.Row.Sum.Strict, "strictly")
	}
	return v
}

// ways adds what would keep a limit: the most of each raw material in the unit of
// its line, rounded down so that it does.
func (run *limitRun) ways(v ingredients.Values, c LimitCheck) (ingredients.Values, *ingredients.Settle) {
	mix := mixtureNamed(run.comps, c.WorstIn)
	var ways ingredients.Values
	var settle *ingredients.Settle
	for _, r := range c.Room {
		if r.AtMostPct == nil {
			continue
		}
		way, at := run.in.least(mix, r.Ingredient, r.UsePct, *r.AtMostPct)
		ways = ways.Term("", "reduce", way)
		if settle == nil {
			settle = at
		}
	}
	switch {
	case len(ways) > 0:
		v = v.Those("ways", ways).Flag(len(ways) > 1, "others")
	case c.HighestPct != nil:
		v = v.Num("highest", *c.HighestPct, "%", ingredients.FourDown)
	}
	return v.Flag(c.needsExact(), "exact"), settle
}

func (run *limitRun) sumOf(c LimitCheck) []ingredients.Term {
	return append(run.in.termsOf(c.Contributions), c.Basis...)
}

// factTerms are facts that are missing as terms.
func factTerms(facts []string) ingredients.Values {
	var list ingredients.Values
	for _, x := range facts {
		list = list.Term("", "fact-"+x, nil)
	}
	return list
}

// namesNoSheet are the facts that no sheet supplies.
var namesNoSheet = []string{law.MissingAge, law.MissingInhalable, law.MissingProfessional, law.MissingFormaldehyde}

// fixTerms are what supplies the missing facts as terms.
func fixTerms(facts []string, sheets ingredients.Values) ingredients.Values {
	var list ingredients.Values
	for _, x := range facts {
		v := with()
		if !slices.Contains(namesNoSheet, x) {
			v = v.Those("sheets", sheets)
		}
		list = list.Term("", "supply-"+x, v)
	}
	return list
}

// filesOf are the raw materials whose sheets bring a substance.
func (run *limitRun) filesOf(c LimitCheck) ingredients.Values {
	var ids []string
	for _, k := range c.Contributions {
		if run.in.Sheets[k.Ingredient] != nil && !slices.Contains(ids, k.Ingredient) {
			ids = append(ids, k.Ingredient)
		}
	}
	return run.in.materials(ids)
}

// sourceNames says whether the source of a row names its entry already.
func sourceNames(row *law.Limit) bool { return strings.Contains(row.Source, entryOf(row)) }

// unseenEntry says whether the number of the entry was not read.
func unseenEntry(row *law.Limit) bool { return row.EntryUnread }
