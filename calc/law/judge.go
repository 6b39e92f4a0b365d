package law

import (
	"slices"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/condition"
)

// Verdict is the answer to whether a condition holds.
type Verdict int

// The three verdicts. Undecided is the zero value: a fact is missing.
const (
	Undecided Verdict = iota
	DoesNot
	Holds
)

// String returns undecided, does not or holds.
func (v Verdict) String() string { return [...]string{"undecided", "does not", "holds"}[v] }

// Names of the facts an answer may miss.
const (
	MissingAge          = "age"
	MissingFunction     = "function"
	MissingInhalable    = "inhalable"
	MissingProfessional = "professional"
	MissingNano         = "nano"
	MissingMassive      = "massive"
	MissingNatural      = "natural-content"
	MissingRefining     = "refining-history"
	MissingButadiene    = "butadiene"
	MissingFormaldehyde = "released-formaldehyde"
)

// Answer is a verdict with the facts that would decide an undecided one, sorted.
type Answer struct {
	Verdict Verdict
	Missing []string
}

var (
	itHolds   = Answer{Verdict: Holds}
	itDoesNot = Answer{Verdict: DoesNot}
)

func missing(fact string) Answer { return Answer{Undecided, []string{fact}} }

func answerOf(b bool) Answer {
	if b {
		return itHolds
	}
	return itDoesNot
}

func (t Truth) answer(fact string) Answer {
	switch t {
	case Yes:
		return itHolds
	case No:
		return itDoesNot
	}
	return missing(fact)
}

// Not turns an answer round; an undecided one stays so.
func (a Answer) Not() Answer {
	switch a.Verdict {
	case Holds:
		return itDoesNot
	case DoesNot:
		return itHolds
	}
	return a
}

// join combines answers by Kleene's logic: the decisive verdict wins, else
// anything undecided leaves all undecided, else the other verdict.
func join(decisive, other Answer, answers []Answer) Answer {
	open := Answer{}
	for _, a := range answers {
		switch a.Verdict {
		case decisive.Verdict:
			return decisive
		case Undecided:
			for _, m := range a.Missing {
				if !slices.Contains(open.Missing, m) {
					open.Missing = append(open.Missing, m)
				}
			}
		}
	}
	if open.Missing == nil {
		return other
	}
	slices.Sort(open.Missing)
	return open
}

func allOf(answers []Answer) Answer { return join(itDoesNot, itHolds, answers) }

func anyOf(answers []Answer) Answer { return join(itHolds, itDoesNot, answers) }

// JudgeCondition says whether the condition holds in s, by Kleene's three-valued logic.
// A fact that s does not state makes the answer undecided wherever it matters.
func JudgeCondition(c condition.Condition, s Situation) Answer {
	if len(c.Clauses) == 0 {
		return itDoesNot
	}
	s = s.Complete()
	var room [4]Answer // most conditions are short
	var more [12]Answer
	clauses := room[:0]
	for _, cl := range c.Clauses {
		terms := more[:0]
		for _, t := range cl.Terms {
			terms = append(terms, judge(t, s))
		}
		a := anyOf(terms)
		if cl.Except {
			a = a.Not()
		}
		clauses = append(clauses, a)
	}
	return allOf(clauses)
}

func judge(t condition.Term, s Situation) Answer {
	switch t.Kind {
	case "all":
		return itHolds
	case "rinse-off":
		return answerOf(s.RinseOff)
	case "leave-on":
		return answerOf(!s.RinseOff)
	case "area":
		return answerOf(slices.Contains(s.Areas, t.Value))
	case "product":
		return answerOf(slices.Contains(s.Codes, t.Value))
	case "claim":
		return answerOf(slices.Contains(s.Claims, t.Value))
	case "population":
		return s.age(populationAges[t.Value])
	case "function":
		return s.function(t.Value)
	case "released-formaldehyde>":
		if s.FormaldPct == nil {
			return missing(MissingFormaldehyde)
		}
		return answerOf(t.Over.Less(*s.FormaldPct))
	case "butadiene>=":
		if s.ButadienePct == nil {
			return missing(MissingButadiene)
		}
		return answerOf(!s.ButadienePct.Less(t.Over))
	}
	return s.bare(t.Kind)
}

// bare judges the words that stand for one fact each.
func (s Situation) bare(word string) Answer {
	switch word {
	case "inhalable":
		return s.Inhalable.answer(MissingInhalable)
	case "professional":
		return s.Professional.answer(MissingProfessional)
	case "nano":
		return s.Nano.answer(MissingNano)
	case "massive":
		return s.Massive.answer(MissingMassive)
	case "natural-content":
		return s.Natural.answer(MissingNatural)
	case "refining-history-unknown":
		return s.RefiningKnown.answer(MissingRefining).Not()
	}
	return answerOf(slices.Contains(s.Forms, word)) // spray and its kinds, loose-powder
}

// age holds where the product is intended for anyone in the span: a product for
// several ages meets the rules of each.
func (s Situation) age(span Ages) Answer {
	if s.Ages == nil {
		return missing(MissingAge)
	}
	return answerOf(s.Ages.From < span.To && span.From < s.Ages.To)
}

// function judges function=. A substance with two functions meets the rules of
// both; non-x holds where there is a function other than x.
func (s Situation) function(word string) Answer {
	switch word {
	case "non-preservative":
		return s.otherThan("preservative")
	case "non-colorant":
		return s.otherThan("colorant")
	}
	if slices.Contains(s.Functions, word) {
		return itHolds
	}
	if !s.FunctionsKnown {
		return missing(MissingFunction)
	}
	return itDoesNot
}

func (s Situation) otherThan(function string) Answer {
	if slices.ContainsFunc(s.Functions, func(f string) bool { return f != function }) {
		return itHolds
	}
	if !s.FunctionsKnown {
		return missing(MissingFunction)
	}
	return answerOf(len(s.Functions) == 0)
}

// JudgeLimit says whether the row holds in s: its condition, and the purpose its
// annex is about.
//
// A row of Annex IV rules the use as colourant and asks for the function. A row
// of Annex V or VI holds for every use, also where the purpose is not known,
// since another purpose rarely lifts it; Annex VI alone does not rule a
// substance known to be a colourant and nothing else.
func JudgeLimit(l *annex.Limit, s Situation) Answer {
	a := JudgeCondition(l.Condition, s)
	switch l.Annex {
	case "IV":
		return allOf([]Answer{a, s.function("colorant")})
	case "VI":
		if s.otherThan("colorant").Verdict == DoesNot {
			return itDoesNot
		}
	}
	return a
}
