package calc

import (
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// closedList is an annex that permits: what is used for its purpose and is not
// on it is not allowed.
type closedList struct {
	function, annex, code string
}

var closedLists = []closedList{
	{fnPreservative, "V", "not-listed-preservative"},
	{fnColorant, "IV", "not-listed-colourant"},
	{fnUVFilter, "VI", "not-listed-uv-filter"},
}

// closedLists checks what sheets name as preservative, colourant or UV filter
// against the closed lists in force.
//
// A material with that as its main function and nothing of it on the list is
// not allowed. Where something of it is listed, the rest is taken as carrier:
// common solvents, humectants and the like without a word; a substance that the
// tables know no other use for is asked about when the sheet names no other
// function.
func (run *limitRun) closedLists(checks []LimitCheck, day ingredients.Date) []ingredients.Finding {
	var fs []ingredients.Finding
	for _, u := range useOf(run.comps[0].Mixture) {
		m := run.in.Materials[u.ingredient]
		if m == nil || m.Sheet.IsScent() {
			continue
		}
		for _, l := range closedLists {
			fs = append(fs, run.closedList(m, l, day)...)
		}
	}
	for _, u := range append(slices.Clone(run.uses), run.others...) {
		if isCI(u.s.INCI) && !run.onList(u.s.INCI, u.s.Nano, "IV", day) {
			fs = append(fs, ingredients.NewFinding(ingredients.Stop, "not-listed-colourant", u.s.Contributions[0].SourcePos, with().Day("day", day)).
				As("number").On(u.s.INCI).By(ingredients.TheMaker))
		}
	}
	return fs
}

// closedList checks one material against one list.
func (run *limitRun) closedList(m *Material, l closedList, day ingredients.Date) []ingredients.Finding {
	at, only := -1, true
	for i, wording := range m.Sheet.Functions {
		switch f, ok := run.in.functionOf(wording); {
		case ok && f == l.function && at < 0:
			at = i
		case !ok || f != l.function:
			only = false
		}
	}
	if at < 0 {
		return nil
	}
	listed, complete := false, true
	var unlisted, carriers []string
	for _, p := range m.Parts {
		switch {
		case p.Undeclared:
			complete = false
		case p.Pct.IsZero():
		case run.onList(p.INCI, p.Nano, l.annex, day):
			listed = true
		case run.matcher.carries[ingredients.NameKey(p.INCI)]:
			carriers = append(carriers, p.INCI)
		case !isCI(p.INCI) || l.annex != "IV": // a number off the list is a finding of its own
			unlisted = append(unlisted, p.INCI)
		}
	}
	s := m.Sheet
	say := func(sev ingredients.Severity, form string, names []string) []ingredients.Finding {
		f := run.in.onMaterial(ingredients.NewFinding(sev, l.code, s.Pos, with().Names("substances", names).Day("day", day)), s.ID).As(form).
			By(s.Asked()).At(s.Pos.File, "functions", nil)
		if sev == ingredients.Stop {
			f = f.By(ingredients.TheMaker)
		}
		return []ingredients.Finding{f}
	}
	switch {
	case !listed && len(unlisted)+len(carriers) == 0:
		return nil
	case !listed && at == 0 && complete:
		if len(unlisted) == 0 {
			unlisted = carriers
		}
		return say(ingredients.Stop, "none", unlisted)
	case !listed:
		return say(ingredients.Ask, "none-known", append(unlisted, carriers...))
	case only && len(unlisted) > 0:
		return say(ingredients.Ask, "beside", unlisted)
	}
	return nil
}

// onList says whether a row in force of an annex names a substance.
func (run *limitRun) onList(inci string, nano bool, annex string, day ingredients.Date) bool {
	u := run.use(substanceKey(inci, nano))
	return u != nil && slices.ContainsFunc(u.matches, func(m rowMatch) bool {
		return m.row.Annex == annex && run.inForce(m.row, day) && m.row.Sum.Kind != law.SumLabel
	})
}

// use finds a substance that a row names.
func (run *limitRun) use(key string) *limitUse {
	for _, u := range run.uses {
		if u.key == key {
			return u
		}
	}
	return nil
}

// lineFindings reports substances that have limits in force of which none is for
// this kind of product: no line is not a pass.
func (run *limitRun) lineFindings(checks []LimitCheck, day ingredients.Date) []ingredients.Finding {
	type state struct {
		figure, line bool
		rows         ingredients.Values
	}
	states := map[*limitUse]*state{}
	for _, c := range checks {
		for _, u := range c.shape.uses {
			st := states[u]
			if st == nil {
				st = &state{}
				states[u] = st
			}
			row := c.Row
			if row.Own || u.match(row) == nil {
				continue
			}
			general := row.Condition.String() == "all" && row.MaxPct == nil // labelling or criteria for every product
			if c.Verdict != LimitNotApplicable && !general {
				st.line = true
			}
			if row.MaxPct != nil && row.Annex != "II" && row.Annex != "IV" && !row.DyesHair() {
				st.figure = true
				st.rows = st.rows.Term("", "row-where", with().Name("row", row.Key).Quote("where", conditionWords(row.Condition)))
			}
		}
	}
	var fs []ingredients.Finding
	for _, u := range run.uses {
		st := states[u]
		if st == nil || !st.figure || st.line {
			continue
		}
		sev := ingredients.Ask
		if u.isTrace() {
			sev = ingredients.Note
		}
		f := ingredients.NewFinding(sev, "no-line", u.s.Contributions[0].LinePos,
			with().Quote("type", lowerFirst(run.in.Type.Name)).Day("day", day).Source("rows", st.rows)).On(u.name()).By(ingredients.TheAssessor)
		f.Sum = run.in.termsOf(u.s.Contributions)
		fs = append(fs, f)
	}
	return fs
}

// classFindings asks about substances whose name holds the element of a class
// entry that does not list them.
func (run *limitRun) classFindings(checks []LimitCheck, day ingredients.Date) []ingredients.Finding {
	var fs []ingredients.Finding
	for _, u := range append(slices.Clone(run.uses), run.others...) {
		for _, e := range u.elements {
			if !run.inForce(e.row, day) || u.match(e.row) != nil || run.lets(u, e.row) {
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

// nameWords splits a name into lower-case words.
func nameWords(name string) []string {
	return strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return r == ' ' || r == '-' || r == '/' })
}

// lets says whether a class entry leaves a substance to another entry or names
// it as an exception.
func (run *limitRun) lets(u *limitUse, row *law.Limit) bool {
	if slices.ContainsFunc(row.ExemptNames, func(n string) bool { return ingredients.NameKey(n) == ingredients.NameKey(u.s.INCI) }) {
		return true
	}
	return slices.ContainsFunc(u.matches, func(m rowMatch) bool {
		return slices.Contains(row.Exempt, entryOf(m.row)) || slices.Contains(row.Exempt, m.row.Annex)
	})
}

func (run *limitRun) classMember(u *limitUse, row *law.Limit, day ingredients.Date) (ingredients.Finding, bool) {
	s := run.base
	s.Functions, s.FunctionsKnown = u.roles.all, u.roles.known
	if row.Judge(useSituation(run.in, s, u.s)).Verdict == law.DoesNot || row.MaxPct == nil || !row.MaxPct.Less(u.s.Total.Max) {
		return ingredients.Finding{}, false
	}
	f := ingredients.NewFinding(ingredients.Ask, "class-member", u.s.Contributions[0].LinePos,
		with().Name("entry", entryOf(row)).Quote("class", row.Names[0]).Source("law", lawSource(row, day))).On(u.name()).By(ingredients.TheAssessor)
	f.Sum = run.in.termsOf(u.s.Contributions)
	return f, true
}
