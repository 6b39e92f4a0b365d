package limits

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// checkFindings says which rows are broken and which the file cannot decide. Of
// several rows that the same substances break, the tightest speaks.
func (run *Run) checkFindings(checks []LimitCheck, day exact.Date) []finding.Finding {
	var fs []finding.Finding
	stopped := map[string]bool{}
	for _, c := range tightest(checks, LimitExceeded, false) {
		fs = append(fs, run.stop(*c, day))
		stopped[subjectKey(c)] = true
	}
	for _, c := range tightest(checks, LimitExceeded, true) {
		fs = append(fs, run.draftFinding(*c))
	}
	for _, c := range tightest(checks, LimitUndecided, false) {
		if stopped[subjectKey(c)] || !worthAsking(c) {
			continue
		}
		fs = append(fs, run.ask(*c, day))
	}
	return fs
}

// draftFinding says what a draft would bar.
func (run *Run) draftFinding(c LimitCheck) finding.Finding {
	values := finding.With().Range("content", c.Content, "%", finding.FourDigits).
		MaybeNum("limit", c.LimitPct, "%", finding.AsIs).Quote("basis", c.Row.Basis.Text).
		Quote("rule", c.Row.SourceIn(run.In.Market)).Day("from", c.Row.From)
	f := finding.NewFinding(finding.Ask, "draft-law", PosOf(c), values).On(subjectOf(c)).By(finding.TheMaker)
	f.Sum = run.sumOf(c)
	return f
}

// subjectKey groups checks about the same substances; the maker's own rules
// stand apart from the law's.
func subjectKey(c *LimitCheck) string {
	if c.Shape.Kind == checkTogether {
		return "together|" + c.Row.SumGroup
	}
	key := ""
	if len(c.Substances) == 1 {
		key = c.Substances[0]
	} else {
		names := slices.Clone(c.Substances)
		slices.Sort(names)
		key = strings.Join(names, "|")
	}
	if c.Row.Own {
		key = "own|" + key
	}
	return key
}

// tightest picks of each group the check that allows least, in the order of the
// table: of rules that were made, or of drafts, which stop nothing.
func tightest(checks []LimitCheck, verdict LimitVerdict, drafts bool) []*LimitCheck {
	var out []*LimitCheck
	at := map[string]int{}
	for i := range checks {
		c := &checks[i]
		if c.Verdict != verdict || (c.Row.Instrument == annex.InstrumentDraft) != drafts {
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
		case allowsLess(*c, *out[i]):
			out[i] = c
		}
	}
	return out
}

// allowsLess says whether one check leaves less room than another: substances
// that exclude each other first, then nothing, then less, and last no figure.
func allowsLess(a, b LimitCheck) bool {
	if (a.Shape.Kind == checkTogether) != (b.Shape.Kind == checkTogether) {
		return a.Shape.Kind == checkTogether
	}
	switch {
	case a.LimitPct == nil:
		return a.Shape.Kind == CheckProhibited && b.Shape.Kind != CheckProhibited
	case b.LimitPct == nil:
		return b.Shape.Kind != CheckProhibited
	case b.HighestPct == nil:
		return false
	case a.HighestPct == nil:
		return true
	}
	return a.HighestPct.Less(*b.HighestPct)
}

// worthAsking leaves out rows that change nothing: no figure and no wording.
func worthAsking(c *LimitCheck) bool {
	switch {
	case c.Shape.Kind == checkResidue && len(c.Row.Spec) > 0:
		return false // asked for as a criterion of the raw material
	case c.LimitPct == nil && c.Shape.Kind == checkNone:
		return c.Row.LabelText != "" && c.Row.Annex != "IV"
	}
	return true
}

func subjectOf(c LimitCheck) string { return strings.Join(c.Substances, " + ") }

// PosOf is the formula line that brings most of it.
func PosOf(c LimitCheck) exact.Pos {
	var pos exact.Pos
	var most exact.Num
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
func (run *Run) stop(c LimitCheck, day exact.Date) finding.Finding {
	content := formula.PortionNamed(formula.With().Range("content", c.Shape.plain, "%", finding.FourDigits),
		c.WorstIn)
	where := formula.With().Quote("where", run.Matcher.where(c.Row))
	code, v := "over-limit", finding.Values(nil)
	var settle *finding.Settle
	switch {
	case c.notHere():
		code, v = "colourant-not-here", where.Quote("type", formula.LowerFirst(run.In.Type.Name))
	case c.Shape.Kind == checkTogether:
		code, v = "not-together", formula.With().Names("others", c.Shape.Others).Names("entries", c.Shape.entries).
			Quote("rule", c.Row.SumRule)
	case c.Shape.Kind == CheckProhibited:
		code, v = "prohibited", append(content.Set(formula.With().Range("content", c.Content, "%",
			finding.FourDigits)), where...)
	default:
		v = run.counted(append(content, where...), c)
		v, settle = run.ways(v, c)
	}
	f := finding.NewFinding(finding.Stop, code, PosOf(c), v.Source("law", run.In.LawSource(c.Row, day))).
		On(subjectOf(c)).By(finding.TheMaker)
	most := c.Content.Max
	f.Settle, f.Sum, f.Grade, f.Cause = settle, run.sumOf(c), &most, subjectKey(&c)
	if c.needsExact() {
		return f.By(finding.TheMaker, formula.WidestParty(c.Contributions, run.In))
	}
	return f
}

// notHere says whether the check is about a colourant outside its listed use.
func (c LimitCheck) notHere() bool {
	return c.Row.Annex == "IV" && c.Shape.Kind == CheckProhibited && !c.Row.Prohibited()
}

// ask raises a row that cannot be decided.
func (run *Run) ask(c LimitCheck, day exact.Date) finding.Finding {
	v := formula.PortionNamed(formula.With().Range("content", c.Shape.plain, "%", finding.FourDigits), c.WorstIn)
	where := formula.With().Quote("where", run.Matcher.where(c.Row))
	widest := formula.WidestParty(c.Contributions, run.In)
	code, form, who := "limit-undecided", c.Shape.state, finding.TheMaker
	switch {
	case c.Shape.Doubt != "":
		code, form, who = "limit-entry", cmp.Or(doubtForms[c.Shape.Doubt], "other"), widest
		v = v.Those("sheets", run.filesOf(c))
		if len(c.Shape.standsFor) > 0 { // Name and number contradict each other
			form = "number"
			v = v.Name("cas", c.Shape.cas).Names("others", c.Shape.standsFor)
		}
	case c.Shape.open, c.notHere():
		v = append(v, where...)
	case c.Shape.Kind == CheckProhibited && c.Shape.traces:
		code, form, who = "prohibited-trace", "", finding.TheAssessor
		v = append(v.Set(formula.With().Range("content", c.Content, "%", finding.FourDigits)), where...)
	case c.Shape.Kind == CheckProhibited && !c.Shape.Certain:
		code, form, who = "maybe-prohibited", "", widest
		v = append(formula.PortionNamed(formula.With().Num("most", c.Content.Max, "%", finding.FourDigits),
			c.WorstIn), where...)
	case c.Shape.Kind == checkResidue:
		who = widest
		v = v.Num("limit", *c.LimitPct, "%", finding.AsIs)
		if form == "part" {
			v = v.Quote("basis", strings.TrimPrefix(c.Row.Basis.Text, "as "))
		}
	case form == "if-it-counts":
		v = run.counted(append(v, where...), c)
	}
	if code == "limit-undecided" && len(c.Shape.missing) > 0 {
		v = v.Those("facts", factTerms(c.Shape.missing)).Those("fixes", fixTerms(c.Shape.missing, run.filesOf(c)))
		if slices.Contains(c.Shape.missing, missingForm) {
			v = v.Quote("only", c.Row.OnlyForm)
		}
	}
	f := finding.NewFinding(finding.Ask, code, PosOf(c), v.Source("law", run.In.LawSource(c.Row, day))).
		As(form).On(subjectOf(c)).By(who)
	f.Sum = run.sumOf(c)
	return f
}

// needsExact says whether a narrower range could keep the limit.
func (c LimitCheck) needsExact() bool {
	return c.LimitPct != nil && c.Shape.Kind == CheckFigure && !c.LimitPct.Less(c.Content.Min) &&
		!c.Content.IsExact()
}

// counted adds what a content counts as where that differs, and the limit.
func (run *Run) counted(v finding.Values, c LimitCheck) finding.Values {
	if c.Row.Basis.Text != "" && c.Shape.Kind == CheckFigure {
		v = v.Range("counted", c.Content, "%", finding.FourDigits)
	}
	if c.LimitPct != nil {
		v = v.Num("limit", *c.LimitPct, "%", finding.AsIs).Quote("basis", c.Row.Basis.Text).
			Flag(c.Row.Sum.Strict, "strictly")
	}
	return v
}

// ways adds what would keep a limit: the most of each raw material in the unit of
// its line, rounded down so that it does.
func (run *Run) ways(v finding.Values, c LimitCheck) (finding.Values, *finding.Settle) {
	mix := formula.MixtureNamed(run.Comps, c.WorstIn)
	var ways finding.Values
	var settle *finding.Settle
	for _, r := range c.Room() {
		if r.AtMostPct == nil {
			continue
		}
		way, at := run.In.Least(mix, r.Ingredient, r.UsePct, *r.AtMostPct)
		ways = ways.Term("", "reduce", way)
		if settle == nil {
			settle = at
		}
	}
	switch {
	case len(ways) > 0:
		v = v.Those("ways", ways).Flag(len(ways) > 1, "others")
	case c.HighestPct != nil:
		v = v.Num("highest", *c.HighestPct, "%", finding.FourDown)
	}
	return v.Flag(c.needsExact(), "exact"), settle
}

func (run *Run) sumOf(c LimitCheck) []finding.Term {
	return append(run.In.TermsOf(c.Contributions), c.Basis()...)
}

// factTerms are facts that are missing as terms.
func factTerms(facts []string) finding.Values {
	var list finding.Values
	for _, x := range facts {
		list = list.Term("", "fact-"+x, nil)
	}
	return list
}

// namesNoSheet are the facts that no sheet supplies.
var namesNoSheet = []string{law.MissingAge, law.MissingInhalable, law.MissingProfessional,
	law.MissingFormaldehyde}

// fixTerms are what supplies the missing facts as terms.
func fixTerms(facts []string, sheets finding.Values) finding.Values {
	var list finding.Values
	for _, x := range facts {
		v := formula.With()
		if !slices.Contains(namesNoSheet, x) {
			v = v.Those("sheets", sheets)
		}
		list = list.Term("", "supply-"+x, v)
	}
	return list
}

// filesOf are the raw materials whose sheets bring a substance.
func (run *Run) filesOf(c LimitCheck) finding.Values {
	var ids []string
	for _, k := range c.Contributions {
		if run.In.Sheets[k.Ingredient] != nil && !slices.Contains(ids, k.Ingredient) {
			ids = append(ids, k.Ingredient)
		}
	}
	return run.In.MaterialsNamed(ids)
}
