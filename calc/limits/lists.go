package limits

import (
	"iter"
	"slices"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/purpose"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// closedList is an annex that permits: what is used for its purpose and is not
// on it is not allowed.
type closedList struct {
	function, annex, code string
}

var closedLists = []closedList{
	{purpose.Preservative, "V", "not-listed-preservative"},
	{purpose.Colorant, "IV", "not-listed-colourant"},
	{purpose.UVFilter, "VI", "not-listed-uv-filter"},
}

// closedLists checks what sheets name as preservative, colourant or UV filter
// against the closed lists in force.
//
// A material with that as its main function and nothing of it on the list is
// not allowed. Where something of it is listed, the rest is taken as carrier:
// common solvents, humectants and the like without a word; a substance that the
// tables know no other use for is asked about when the sheet names no other
// function.
func (run *Run) closedLists(checks []LimitCheck, day exact.Date) []finding.Finding {
	var fs []finding.Finding
	for _, u := range run.Comps[0].Uses() {
		m := run.In.Materials[u.Ingredient]
		if m == nil || m.Sheet.IsScent() {
			continue
		}
		serves := purpose.OfSheet(run.In, m.Sheet).All
		for _, l := range closedLists {
			if slices.Contains(serves, l.function) {
				fs = append(fs, run.closedList(m, l, day)...)
			}
		}
	}
	for u := range run.Every() {
		if formula.IsCI(u.S.INCI) && !run.onList(u.S.INCI, u.S.Nano, "IV", day) {
			fs = append(fs, finding.NewFinding(finding.Stop, "not-listed-colourant", u.S.Contributions[0].SourcePos,
				formula.With().Day("day", day).Source("law", run.In.AnnexSource("IV"))).
				As("number").On(u.S.INCI).By(finding.TheMaker))
		}
	}
	return fs
}

// closedList checks one material against one list.
func (run *Run) closedList(m *formula.Material, l closedList, day exact.Date) []finding.Finding {
	at, only := -1, true
	for i, wording := range m.Sheet.Functions {
		switch f, ok := purpose.FunctionOf(run.In.Session, wording); {
		case ok && f == l.function && at < 0:
			at = i
		case !ok || f != l.function:
			only = false
		}
	}
	if at < 0 {
		return nil
	}
	var room [80]byte
	listed, complete := false, true
	var unlisted, carriers []string
	for _, p := range m.Parts {
		switch {
		case p.Undeclared:
			complete = false
		case p.Pct.IsZero():
		case run.onList(p.INCI, p.Nano, l.annex, day):
			listed = true
		case run.Matcher.carries[string(ingredients.AppendKey(room[:0], p.INCI))]:
			carriers = append(carriers, p.INCI)
		case !formula.IsCI(p.INCI) || l.annex != "IV": // a number off the list is a finding of its own
			unlisted = append(unlisted, p.INCI)
		}
	}
	s := m.Sheet
	say := func(sev finding.Severity, form string, names []string) []finding.Finding {
		f := run.In.OnMaterial(finding.NewFinding(sev, l.code, s.Pos, formula.With().Names("substances", names).
			Day("day", day).Source("law", run.In.AnnexSource(l.annex))), s.ID).As(form).
			By(s.Asked()).At(s.Pos.File, "functions", nil)
		if sev == finding.Stop {
			f = f.By(finding.TheMaker)
		}
		return []finding.Finding{f}
	}
	switch {
	case !listed && len(unlisted)+len(carriers) == 0:
		return nil
	case !listed && at == 0 && complete:
		if len(unlisted) == 0 {
			unlisted = carriers
		}
		return say(finding.Stop, "none", unlisted)
	case !listed:
		return say(finding.Ask, "none-known", append(unlisted, carriers...))
	case only && len(unlisted) > 0:
		return say(finding.Ask, "beside", unlisted)
	}
	return nil
}

// Every goes over the uses that a row names, then those that none names.
func (run *Run) Every() iter.Seq[*LimitUse] {
	return func(yield func(*LimitUse) bool) {
		for _, list := range [][]*LimitUse{run.Uses, run.Others} {
			for _, u := range list {
				if !yield(u) {
					return
				}
			}
		}
	}
}

// onList says whether a row in force of an annex names a substance.
func (run *Run) onList(inci string, nano bool, which string, day exact.Date) bool {
	var room [80]byte
	key := ingredients.AppendKey(room[:0], inci)
	if nano {
		key = append(key, " (nano)"...)
	}
	u := run.use(key)
	return u != nil && slices.ContainsFunc(u.Matches, func(m rowMatch) bool {
		return m.Row.Annex == which && run.inForce(m.Row, day) && m.Row.Sum.Kind != annex.SumLabel
	})
}

// use finds a substance that a row names.
func (run *Run) use(key []byte) *LimitUse {
	for _, u := range run.Uses {
		if u.key == string(key) {
			return u
		}
	}
	return nil
}

// lineFindings reports substances that have limits in force of which none is for
// this kind of product: no line is not a pass.
func (run *Run) lineFindings(checks []LimitCheck, day exact.Date) []finding.Finding {
	var fs []finding.Finding
	for _, u := range run.Uses {
		if figure, line := u.lines(checks); !figure || line {
			continue
		}
		sev := finding.Ask
		if u.IsTrace() {
			sev = finding.Note
		}
		var rows finding.Values
		for i := range checks {
			row := checks[i].Row
			if !slices.Contains(checks[i].Shape.Uses, u) || row.Own || u.match(row) == nil || !hasFigure(row) {
				continue
			}
			rows = rows.Term("", "row-where", formula.With().Name("row", row.Key).
				Quote("where", run.Matcher.where(row)))
		}
		f := finding.NewFinding(sev, "no-line", u.S.Contributions[0].LinePos,
			formula.With().Quote("type", formula.LowerFirst(run.In.Type.Name)).Day("day", day).
				Source("rows", rows)).On(u.Name()).By(finding.TheAssessor)
		f.Sum = run.In.TermsOf(u.S.Contributions)
		fs = append(fs, f)
	}
	return fs
}

// lines says whether rows set a figure for a use, and whether one of all its rows is for
// this kind of product.
func (u *LimitUse) lines(checks []LimitCheck) (figure, line bool) {
	for i := range checks {
		c, row := &checks[i], checks[i].Row
		if !slices.Contains(c.Shape.Uses, u) || row.Own || u.match(row) == nil {
			continue
		}
		general := row.Condition.Always() && row.MaxPct == nil // labelling or criteria for every product
		line = line || c.Verdict != LimitNotApplicable && !general
		figure = figure || hasFigure(row)
	}
	return figure, line
}

// hasFigure says whether a row sets a figure for what is in a product.
func hasFigure(row *annex.Limit) bool {
	return row.MaxPct != nil && row.Annex != "II" && row.Annex != "IV" && !row.DyesHair()
}

// classFindings asks about substances whose name holds the element of a class
// entry that does not list them.
func (run *Run) classFindings(checks []LimitCheck, day exact.Date) []finding.Finding {
	var fs []finding.Finding
	for u := range run.Every() {
		for _, e := range u.elements {
			if !run.inForce(e.row, day) || u.match(e.row) != nil || run.Lets(u, e.row) {
				continue
			}
			f, ok := run.classMember(u, e.row, day)
			if ok {
				fs = append(fs, f)
				break
			}
		}
	}
	return fs
}

// Lets says whether a class entry leaves a substance to another entry or names
// it as an exception.
func (run *Run) Lets(u *LimitUse, row *annex.Limit) bool {
	if slices.ContainsFunc(row.ExemptNames,
		func(n string) bool { return ingredients.NameKey(n) == ingredients.NameKey(u.S.INCI) }) {
		return true
	}
	return slices.ContainsFunc(u.Matches, func(m rowMatch) bool {
		return slices.Contains(row.Exempt, formula.EntryOf(m.Row)) || slices.Contains(row.Exempt, m.Row.Annex)
	})
}

func (run *Run) classMember(u *LimitUse, row *annex.Limit, day exact.Date) (finding.Finding, bool) {
	if law.JudgeLimit(row, purpose.Situation(run.In, run.base, u.S)).Verdict == law.DoesNot || row.MaxPct == nil ||
		!row.MaxPct.Less(u.S.Total.Max) {
		return finding.Finding{}, false
	}
	f := finding.NewFinding(finding.Ask, "class-member", u.S.Contributions[0].LinePos,
		formula.With().Name("entry", formula.EntryOf(row)).Quote("class", row.Names[0]).
			Source("law", run.In.LawSource(row, day))).On(u.Name()).By(finding.TheAssessor)
	f.Sum = run.In.TermsOf(u.S.Contributions)
	return f, true
}
