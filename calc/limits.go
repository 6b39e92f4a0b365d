package calc

import (
	"slices"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// LimitVerdict says how a product stands against one row of the limit table.
type LimitVerdict string

// The verdicts on a limit row.
const (
	LimitKept          LimitVerdict = "kept"
	LimitExceeded      LimitVerdict = "exceeded"
	LimitNotApplicable LimitVerdict = "not applicable" // its condition does not hold for this product
	LimitUndecided     LimitVerdict = "undecided"      // the product file does not say what the condition asks
	LimitNoFigure      LimitVerdict = "no figure"      // applies without a numeric limit: wording or criteria
)

// LimitCheck is one row of the limit table that was considered for a product.
type LimitCheck struct {
	Row        *law.Limit
	Substances []string // of the product that are counted for the row
	// Content is what counts against the row, % w/w in its basis, in the mixture
	// where it is highest.
	Content  ingredients.Range
	WorstIn  string           // that portion; "" for the whole
	LimitPct *ingredients.Num // % w/w in the basis of the row; nil where the row has no figure
	Verdict  LimitVerdict
	Reason   string // why, in words
	// Missing names the facts that would decide an undecided row, in words.
	Missing       []string
	Contributions []Contribution
	Basis         []ingredients.Term // the arithmetic from content to counted content
	// HighestPct is the most of the substances together, as they are and not in
	// the row's basis, % w/w, that passes with their proportions as they are; nil
	// where the row has no figure or allows nothing.
	HighestPct *ingredients.Num
	Room       []LimitRoom // what each raw material may be at most, the others as they are

	shape checkShape
}

// LimitRoom is the most of one raw material that keeps a limit while everything
// else stays as it is.
type LimitRoom struct {
	Ingredient string
	UsePct     ingredients.Num  // % w/w of the mixture it has now
	AtMostPct  *ingredients.Num // % w/w of the mixture; nil where the others exceed the limit without it
	Pos        ingredients.Pos  // its line in the formula
}

// checkShape is what findings need to know of a check beyond its words.
type checkShape struct {
	kind    checkKind
	uses    []*limitUse
	traces  bool // all of it is impurity
	certain bool // present whatever the ranges
	doubt   string
	either  bool     // kept whether or not the condition holds
	open    bool     // the condition is not decided
	others  []string // what it may not stand beside
	label   labelDue
	plain   ingredients.Range // the substances as they are, % of the mixture
	terms   []term            // what was counted
	// state names why an undecided row is not decided, and missing the facts that
	// would decide it, for the wording of its finding.
	state     string
	missing   []string
	entries   []string // of what it may not stand beside
	cas       string   // a number that contradicts the name
	standsFor []string // what that number stands for
}

// checkKind says which rule a check applied.
type checkKind int

const (
	checkFigure     checkKind = iota // a content against a limit
	checkProhibited                  // nothing is allowed
	checkTogether                    // substances that exclude each other
	checkResidue                     // the limit counts a residue, not the substance
	checkNone                        // no figure, or not applicable
)

// Limits compares a composition with every row of the limit tables that names
// one of its substances and is in force on the day.
//
//	counted = Σ content(max) × factor of the basis, over the substances of the row
//	kept when counted ≤ limit; a row that says "below" is kept when counted < limit
//
// It is compared on the whole product and on each portion; the highest counts.
// A row whose condition the product file cannot decide is undecided, unless the
// content keeps it anyway. A row that allows nothing is exceeded when the
// substance is certainly there, and undecided when it may be or is a trace.
//
// Units: % w/w of the finished product; exact, not rounded.
// Findings: stop "over-limit", "prohibited", "not-together", "ph-limit",
// "not-listed-preservative", "not-listed-colourant", "not-listed-uv-filter",
// "colourant-not-here"; ask "maybe-prohibited", "prohibited-trace",
// "limit-undecided", "limit-entry", "no-line", "class-member", "criterion",
// "coming-limit"; note "label-wording", "coming-label", "coming-limit".
// Source: Regulation (EC) 1223/2009 Annexes II to VI and their GB counterparts;
// limits.csv; worked cases in testdata/published/limits_cases.csv.
func Limits(in *Input, comps []*Composition) ([]LimitCheck, []ingredients.Finding) {
	return newLimitRun(in, comps).limits()
}

func (run *limitRun) limits() ([]LimitCheck, []ingredients.Finding) {
	checks, findings := run.on(run.in.Date)
	return checks, append(findings, run.coming(checks, findings)...)
}

// on judges all rows in force on a day and says what follows.
func (run *limitRun) on(day ingredients.Date) ([]LimitCheck, []ingredients.Finding) {
	checks := run.checks(day)
	findings := run.checkFindings(checks, day)
	findings = append(findings, run.lineFindings(checks, day)...)
	findings = append(findings, run.closedLists(checks, day)...)
	findings = append(findings, run.classFindings(checks, day)...)
	findings = append(findings, run.labelFindings(checks, day)...)
	findings = append(findings, run.criteriaFindings(checks)...)
	return checks, findings
}

// limitUse is one substance of the product with everything its rows ask for.
type limitUse struct {
	s        *Substance // of the whole product
	key      string
	roles    roles
	certain  law.Situation   // with the functions it certainly has
	wide     law.Situation   // with those its sheets list besides
	same     bool            // both are alike
	matches  []rowMatch      // rows of all times that hold for the market
	elements []element       // class entries whose element its name holds
	perComp  []*Substance    // the same substance in each mixture; nil where it is not
	formald  ingredients.Num // least formaldehyde in the product, %
}

// limitRun is one assessment of a product against the limit tables.
type limitRun struct {
	in      *Input
	comps   []*Composition
	base    law.Situation // of every use in the product
	matcher *matcher
	uses    []*limitUse // those that a row names
	others  []*limitUse // those that none names
}

func newLimitRun(in *Input, comps []*Composition) *limitRun {
	run := &limitRun{in: in, comps: comps, matcher: matcherOf(in.Session), base: baseSituation(in)}
	formald := leastFormaldehyde(comps[0])
	for _, s := range comps[0].Substances {
		if s.Undeclared || s.Total.IsZero() {
			continue
		}
		u := &limitUse{s: s, key: s.Key(), roles: rolesOf(in, s), formald: formald}
		known := run.matcher.known(s)
		u.elements = known.elements
		for _, m := range known.matches {
			if m.row.For(in.Market) {
				u.matches = append(u.matches, m)
			}
		}
		for _, c := range comps {
			u.perComp = append(u.perComp, c.byKey[u.key])
		}
		if len(u.matches) == 0 {
			run.others = append(run.others, u)
			continue
		}
		u.certain = useSituation(in, run.base, s)
		u.wide = u.certain
		u.certain.Functions, u.certain.FunctionsKnown = u.roles.main, u.roles.known
		u.wide.Functions, u.wide.FunctionsKnown = u.roles.all, u.roles.known
		u.same = slices.Equal(u.roles.main, u.roles.all)
		run.uses = append(run.uses, u)
	}
	return run
}

// leastFormaldehyde is the formaldehyde that is certainly in the product.
func leastFormaldehyde(c *Composition) ingredients.Num {
	if s := c.Find("Formaldehyde"); s != nil {
		return s.Total.Min
	}
	return ingredients.Num{}
}

// isTrace says whether a substance is in the product as an impurity alone.
func (u *limitUse) isTrace() bool {
	return !slices.ContainsFunc(u.s.Contributions, func(k Contribution) bool { return k.Route != ByImpurity })
}

// match returns how a row names the substance, nil where it does not.
func (u *limitUse) match(row *law.Limit) *rowMatch {
	for i := range u.matches {
		if u.matches[i].row == row {
			return &u.matches[i]
		}
	}
	return nil
}
