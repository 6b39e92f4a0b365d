package ageing

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/safety"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
	"gallipot/ingredients/exact"
)

// MicroVerdict is the outcome of a microbiological comparison.
type MicroVerdict string

// The outcomes, the gravest last.
const (
	MicroPass  MicroVerdict = "pass"
	MicroQuery MicroVerdict = "query" // within the scatter of counting, or not settled by the figures
	MicroFail  MicroVerdict = "fail"
)

var microGravity = map[MicroVerdict]int{MicroPass: 0, MicroQuery: 1, MicroFail: 2}

func worseMicro(a, b MicroVerdict) MicroVerdict {
	if microGravity[a] < microGravity[b] {
		return b
	}
	return a
}

// CountCheck compares a total count with the limit of the product's class.
type CountCheck struct {
	Class   string    // law.MicroStrict or law.MicroOther
	CFUPerG exact.Num // colonies per g
	Limit   *safety.StabilityItem
	Scatter *safety.StabilityItem // above it the count fails
	Verdict MicroVerdict
}

// CheckCount compares a total count (bacteria, yeasts and moulds) with the limit
// of the class. Between the limit and the counting tolerance it is a query.
//
// Source: ISO 17516 as in stability-micro.csv, rows L1, L2, L8 and L9.
func CheckCount(class string, cfuPerG exact.Num, tables *table.Tables) CountCheck {
	c := CountCheck{Class: class, CFUPerG: cfuPerG, Limit: law.StabilityRow(tables, "L2"),
		Scatter: law.StabilityRow(tables, "L9"), Verdict: MicroPass}
	if class == trade.MicroStrict {
		c.Limit, c.Scatter = law.StabilityRow(tables, "L1"), law.StabilityRow(tables, "L8")
	}
	switch {
	case c.Scatter.Number.Less(cfuPerG):
		c.Verdict = MicroFail
	case c.Limit.Number.Less(cfuPerG):
		c.Verdict = MicroQuery
	}
	return c
}

// MicroClass returns the class of ISO 17516 that a product belongs to: the
// strict one for children under three, the eye area and mucous membranes.
func MicroClass(p *formula.Product, t *trade.ProductType) string {
	if t.MicroClass == trade.MicroStrict || p.IntendedFor == formula.UnderThree ||
		slices.ContainsFunc(p.BodyAreas, func(a string) bool {
			return a == "eye" || a == "mucous" ||
				a == "nappy"
		}) {
		return trade.MicroStrict
	}
	return trade.MicroOther
}

// LogCount is a count as its decimal logarithm.
type LogCount struct {
	Log10 float64 // log10 CFU per g
	Below bool    // below the limit of detection: Log10 is the limit
	Known bool
}

// OrganismCounts are the counts of one organism in a challenge test.
type OrganismCounts struct {
	Organism string
	Days     map[int]LogCount // by day from inoculation; day 0 is the start
	Pos      exact.Pos
}

// Groups of challenge organisms as the criteria name them.
const (
	groupBacteria    = "bacteria"
	groupCandida     = "Candida albicans"
	groupAspergillus = "Aspergillus brasiliensis"
)

// challengeCriterion is one line of the criteria of a challenge test.
type challengeCriterion struct {
	Set        string // A or B
	Group      string
	Day        int
	LeastLog   float64 // smallest log reduction from the start
	NoIncrease int     // day since which there may be no increase; 0: not asked
	OnlyNoRise bool    // the reduction asked for is 0: no increase from the start
	Row        *safety.StabilityItem
}

// challengeCriteria returns the criteria of ISO 11930 from the table, in its
// order, and the scatter in log units that is accepted when judging. A row
// without a least reduction is not judged.
//
// Source: stability-micro.csv, rows C1 to C16.
func challengeCriteria(tables *table.Tables) (list []challengeCriterion, scatter float64) {
	for _, set := range []string{"A", "B"} {
		for _, row := range law.StabilityTopic(tables, "challenge "+set) {
			if row.Low == nil {
				continue
			}
			c := challengeCriterion{Set: set, Group: strings.Join(row.Organisms, " "), Day: row.Day,
				LeastLog: row.Low.Float(), OnlyNoRise: row.Low.IsZero(), NoIncrease: row.NoRise, Row: row}
			list = append(list, c)
		}
	}
	return list, law.StabilityNumber(tables, "C16").Float()
}

// challengeOrganisms returns the organisms of the test.
//
// Source: stability-micro.csv, row C17.
func challengeOrganisms(tables *table.Tables) []string {
	return law.StabilityRow(tables, "C17").Organisms
}

// challengeLine is one criterion with what an organism did.
type challengeLine struct {
	Criterion challengeCriterion
	Organism  string
	Reduction float64 // log units from the start; at least this where Bound
	Bound     bool    // the count was below detection
	Known     bool
	Verdict   MicroVerdict
	Why       string // what decides, in words
}

// ChallengeResult is a challenge test evaluated from its counts.
type ChallengeResult struct {
	Lines   []challengeLine
	A, B    MicroVerdict // over all organisms
	Missing []string     // organisms of the standard with no counts
	Scatter float64      // log units
}

// Verdict words the outcome: A, B or fail, and "open" where a figure is missing
// or lies within the scatter.
func (r *ChallengeResult) Verdict() string {
	switch {
	case r.A == MicroPass && len(r.Missing) == 0:
		return "A"
	case r.B == MicroFail:
		return "fail"
	case r.B == MicroPass && r.A == MicroFail && len(r.Missing) == 0:
		return "B"
	}
	return "open"
}

// EvaluateChallenge compares log reductions with criteria A and B.
//
//	reduction(day) = log10 N(0) − log10 N(day)
//
// A count below detection gives a least reduction. A value within the scatter
// below a criterion is a query and no pass; no increase means not more than the
// scatter above the day before.
//
// Source: ISO 11930 as in stability-micro.csv, rows C1 to C20.
func EvaluateChallenge(counts []OrganismCounts, tables *table.Tables) *ChallengeResult {
	criteria, scatter := challengeCriteria(tables)
	r := &ChallengeResult{A: MicroPass, B: MicroPass, Scatter: scatter}
	for _, c := range criteria {
		for _, o := range counts {
			if groupOf(o.Organism) != c.Group {
				continue
			}
			line := judgeCriterion(c, o, scatter)
			r.Lines = append(r.Lines, line)
			if c.Set == "A" {
				r.A = worseMicro(r.A, line.Verdict)
			} else {
				r.B = worseMicro(r.B, line.Verdict)
			}
		}
	}
	for _, name := range challengeOrganisms(tables) {
		if !slices.ContainsFunc(counts, func(o OrganismCounts) bool { return sameOrganism(o.Organism, name) }) {
			r.Missing = append(r.Missing, name)
		}
	}
	slices.SortStableFunc(r.Lines, func(a, b challengeLine) int {
		return cmp.Or(cmp.Compare(a.Criterion.Set, b.Criterion.Set), cmp.Compare(a.Organism, b.Organism),
			cmp.Compare(a.Criterion.Day, b.Criterion.Day))
	})
	return r
}

// groupOf returns the group whose criteria hold for an organism.
func groupOf(organism string) string {
	switch {
	case sameOrganism(organism, groupCandida):
		return groupCandida
	case sameOrganism(organism, groupAspergillus):
		return groupAspergillus
	}
	return groupBacteria
}

// sameOrganism compares names by the first letter of the genus and the species,
// so that E. coli is Escherichia coli.
func sameOrganism(a, b string) bool { return organismKey(a) == organismKey(b) && organismKey(a) != "" }

func organismKey(name string) string {
	words := strings.Fields(strings.ToLower(strings.ReplaceAll(name, ".", " ")))
	if len(words) < 2 {
		return ""
	}
	return words[0][:1] + " " + words[len(words)-1]
}

func judgeCriterion(c challengeCriterion, o OrganismCounts, scatter float64) challengeLine {
	line := challengeLine{Criterion: c, Organism: o.Organism, Verdict: MicroPass}
	start, now := o.Days[0], o.Days[c.Day]
	if !start.Known || !now.Known || start.Below {
		line.Verdict, line.Why = MicroQuery, fmt.Sprintf("no count of day %d", c.Day)
		if !start.Known || start.Below {
			line.Why = "no count of day 0"
		}
		return line
	}
	line.Known, line.Bound, line.Reduction = true, now.Below, start.Log10-now.Log10
	// logarithms of typed decimals: a reduction of 3.0 must not fail as 2.9999…
	const grain = 1e-9
	switch {
	case line.Reduction >= c.LeastLog-grain:
	case now.Below:
		line.Verdict, line.Why = MicroQuery,
			"the count is below detection, and the start was too low to show the reduction"
	case line.Reduction >= c.LeastLog-scatter-grain:
		line.Verdict, line.Why = MicroQuery, fmt.Sprintf("within the scatter of %s below the criterion",
			formula.FigureText(scatter))
	default:
		line.Verdict, line.Why = MicroFail, "reduction below the criterion"
	}
	if c.NoIncrease > 0 {
		before := o.Days[c.NoIncrease]
		switch {
		case !before.Known:
			if line.Verdict == MicroPass {
				line.Verdict, line.Why = MicroQuery, fmt.Sprintf("no count of day %d to compare with", c.NoIncrease)
			}
		case !now.Below && now.Log10 > before.Log10+scatter+grain:
			line.Verdict, line.Why = MicroFail, fmt.Sprintf("%s more than on day %d",
				formula.FigureText(now.Log10-before.Log10), c.NoIncrease)
		}
	}
	return line
}
