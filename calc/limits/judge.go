package limits

import (
	"slices"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/condition"
	"gallipot/calc/purpose"
	"gallipot/ingredients/exact"
)

// Facts that are missing beside those of the conditions.
const (
	missingMatch  = "entry"  // which entry a substance belongs to
	missingFactor = "factor" // how much of what a limit counts is in a substance
	missingForm   = "form"   // whether a material has the form that a row is for
	missingUse    = "use"    // whether a substance serves the purpose of its annex here
	missingScent  = "scent"  // whether a substance with a scent is there for something else
)

// answer says whether a row holds for a use, with the reason where it does not.
type answer struct {
	law.Answer
	why   string // why it does not hold
	doubt string // why the match is open
}

// judge says whether a row holds for one use of one substance on a day.
//
// Where a sheet lists several functions the first is taken as certain and the
// others as possible: a row that turns on them is undecided. A prohibition gives
// way where an entry that it excepts holds.
func (u *LimitUse) judge(row *annex.Limit, run *Run, day exact.Date) answer {
	a := u.judgeAlone(row)
	if a.Verdict == law.DoesNot {
		return a
	}
	open := law.Answer{}
	for _, m := range u.Matches {
		if !slices.Contains(row.Excepted, formula.EntryOf(m.Row)) || m.Row.Prohibited() ||
			!run.inForce(m.Row, day) {
			continue
		}
		switch e := u.judgeAlone(m.Row); {
		case e.Verdict == law.Holds && e.doubt != "": // it may be another entry's
			open = law.Answer{Missing: []string{missingMatch}}
		case e.Verdict == law.Holds:
			return answer{Answer: law.Answer{Verdict: law.DoesNot}, why: "entry " + formula.EntryOf(m.Row) +
				" excepts this use"}
		case e.Verdict == law.Undecided:
			open = e.Answer
		}
	}
	if open.Missing != nil {
		a.Verdict = law.Undecided
		a.Missing = Union(a.Missing, open.Missing)
	}
	if a.doubt != "" && a.Verdict == law.Holds {
		a.Answer = law.Answer{Verdict: law.Undecided, Missing: []string{missingMatch}}
	}
	return a
}

// judgeAlone judges a row without a look at others.
func (u *LimitUse) judgeAlone(row *annex.Limit) answer {
	a := answer{Answer: u.reading(row, *u.certain)}
	if m := u.match(row); m != nil {
		a.doubt = m.doubt
	}
	if !u.same {
		if w := u.reading(row, *u.wide); w.Verdict != a.Verdict {
			missing := Union(a.Missing, w.Missing)
			a.Answer = law.Answer{Verdict: law.Undecided, Missing: Union(missing, []string{law.MissingFunction})}
		}
	}
	if a.Verdict == law.DoesNot && u.mayBeScent(row) {
		a.Answer = law.Answer{Verdict: law.Undecided, Missing: []string{missingScent}}
	}
	if a.Verdict == law.DoesNot {
		a.why = u.whyNot(row)
		return a
	}
	if m := u.beside(row); m != "" {
		a.Answer = law.Answer{Verdict: law.Undecided, Missing: Union(a.Missing, []string{m})}
	}
	return a
}

// beside names a fact that a row asks for beside its condition, where the sheets
// leave it open: the form that it is limited to, and the purpose of the
// annex. A preservative may come in with any raw material, since that had to be
// preserved; what is in the product as a fragrance alone is another matter, and
// so is a substance of the UV filter annex that no sheet calls one.
func (u *LimitUse) beside(row *annex.Limit) string {
	switch {
	case row.OnlyForm != "":
		return missingForm
	case row.Annex == "V" && !row.Condition.Mentions("function") && u.onlyFragrance():
		return missingUse
	case row.Annex == "VI":
		switch sure, may := u.HasRole(purpose.UVFilter); {
		case sure:
		case may:
			return law.MissingFunction
		default:
			return missingUse
		}
	}
	return ""
}

// mayBeScent says whether a row that bans a fragrance ingredient would hold for a
// plant material, but for what the sheet says it is there for: an oil called an
// emollient scents the product all the same, and only the maker knows what it was
// chosen for.
func (u *LimitUse) mayBeScent(row *annex.Limit) bool {
	ofScent := slices.ContainsFunc(row.Condition.Clauses, func(c condition.Clause) bool {
		return !c.Except && slices.Contains(c.Terms, condition.Term{Kind: "function", Value: purpose.Fragrance})
	})
	if !row.Prohibited() || !ofScent || !u.botanical || u.IsTrace() {
		return false
	}
	s := *u.certain
	s.Functions, s.FunctionsKnown = []string{purpose.Fragrance}, true
	return u.reading(row, s).Verdict == law.Holds
}

func (u *LimitUse) onlyFragrance() bool {
	return u.Roles.Known && len(u.Roles.All) == 1 && u.Roles.All[0] == purpose.Fragrance
}

// reading judges a row in one reading of the functions. A figure for released
// formaldehyde is not in a sheet; what is there as such is the least of it.
func (u *LimitUse) reading(row *annex.Limit, s law.Situation) law.Answer {
	a := law.JudgeLimit(row, s)
	if a.Verdict == law.Undecided && slices.Contains(a.Missing, law.MissingFormaldehyde) &&
		u.formald.Sign() > 0 {
		s.FormaldPct = &u.formald
		if b := law.JudgeLimit(row, s); b.Verdict == law.Holds {
			return b
		}
	}
	return a
}

// whyNot words the first part of a row's condition that does not hold.
func (u *LimitUse) whyNot(row *annex.Limit) string {
	for i, c := range row.Condition.Clauses {
		if law.JudgeCondition((condition.Condition{Clauses: []condition.Clause{c}}), *u.certain).
			Verdict == law.DoesNot {
			return u.matcher.whereClause(row, i)
		}
	}
	switch row.Annex {
	case "IV":
		return "it is not used as a colourant"
	case "VI":
		return "it is used as a colourant only"
	}
	return "its condition does not hold: " + u.matcher.where(row)
}

func Union(a, b []string) []string {
	if len(b) == 0 && slices.IsSorted(a) {
		return slices.Clip(a)
	}
	out := slices.Clone(a)
	for _, x := range b {
		if !slices.Contains(out, x) {
			out = append(out, x)
		}
	}
	slices.Sort(out)
	return out
}

// factWords says in words which fact is missing. What supplies it stands in the table of
// wordings, under supply-….
var factWords = map[string]string{
	law.MissingAge:          "the age it is intended for",
	law.MissingFunction:     "what it is in the product for",
	law.MissingInhalable:    "whether users can breathe it in",
	law.MissingProfessional: "whether it is for professional use only",
	law.MissingNano:         "whether it is a nanomaterial",
	law.MissingMassive:      "whether the metal is in pieces of 1 mm and more",
	law.MissingNatural:      "whether it comes from natural essences only",
	law.MissingRefining:     "the refining history",
	law.MissingButadiene:    "its butadiene content",
	law.MissingFormaldehyde: "how much formaldehyde it releases",
	missingFactor:           "how much of what the limit counts is in it",
	missingForm:             "whether the material has the form the row is for",
	missingUse:              "whether it serves the purpose of that annex here, which its sheets do not say",
	missingScent:            "whether its scent is what it is there for, since it is banned as a fragrance ingredient",
	missingMatch:            "which entry it belongs to",
}

// missingWords lists missing facts in words.
func missingWords(missing []string) []string {
	var out []string
	for _, m := range missing {
		out = append(out, factWords[m])
	}
	return out
}
