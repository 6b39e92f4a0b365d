package standards

import (
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
	"gallipot/calc/limits"
	"gallipot/calc/purpose"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/pattern"
)

// StandardVerdict says how the disclosed content of a substance stands against a
// fragrance Standard.
type StandardVerdict string

// The verdicts on a Standard.
const (
	StandardKept     StandardVerdict = "kept by what is disclosed"
	StandardExceeded StandardVerdict = "exceeded"
	// above or below, by where in its range, or by a fact that no paper states
	StandardOpen          StandardVerdict = "open"
	StandardProhibited    StandardVerdict = "prohibited" // not to be used as a fragrance ingredient
	StandardNoRestriction StandardVerdict = "no restriction"
	StandardNoFigure      StandardVerdict = "limit not in the tables" // never to be read as no limit
	StandardSpecification StandardVerdict = "specification"           // of the raw material, no percentage
	StandardNotApplicable StandardVerdict = "not applicable"
)

// StandardCheck is one fragrance Standard against what the papers disclose.
type StandardCheck struct {
	Standard   string
	Substances []string // of the product that count for it
	Category   string
	// Content is what the papers disclose, % w/w of the mixture where it is
	// highest: a lower bound of what is there.
	Content  exact.Range
	WorstIn  string     // that portion; "" for the whole
	LimitPct *exact.Num // % w/w of the finished product; nil where the table has no figure
	// Ratio is content(max) ÷ limit; for oils that are phototoxic together the sum
	// of their ratios. No unit; nil where there is no figure.
	Ratio         *exact.Num
	Verdict       StandardVerdict
	Reason        string
	Row           *trade.FragranceStandard // nil for a sum over several Standards
	Contributions []formula.Contribution

	expressed bool // taken as expressed, since the sheet does not say
	natural   bool // it comes in with natural materials, or may be absent
	Soft      bool // the verdict rests on a row or a fact that is not sure
}

// StandardsOfLimitRun compares what sheets disclose of fragrance substances with the
// fragrance Standards for the category of the product type.
//
//	content ≤ limit for each; content ÷ limit added over phototoxic oils ≤ 1
//
// Disclosed contents are a lower bound: they can prove a breach and never that a
// Standard is kept; the supplier's certificate does that. A blank figure is a
// limit that is not in the tables.
//
// Units: % w/w of the finished product, on the whole and on each portion.
// Findings: stop "standard-over" and "standard-prohibited" where a row that was
// read proves it; ask "standard-over", "standard-prohibited", "phototoxic-sum"
// otherwise; note "standard-no-figure".
// Source: ifra-standards.csv.
func StandardsOfLimitRun(run *limits.Run) ([]StandardCheck, []finding.Finding) {
	held := standardMembers(run)
	checks := make([]StandardCheck, 0, len(held)+1)
	for i := range held {
		checks = append(checks, standardCheck(run, &held[i], held))
	}
	if sum, ok := phototoxicSum(run, checks, held); ok {
		checks = append(checks, sum)
	}
	return checks, standardFindings(run, checks)
}

// heldStandard is a Standard with the substances of the product under it.
type heldStandard struct {
	name string
	rows []*trade.FragranceStandard
	uses []*limits.LimitUse
}

// standardSet holds the Standards of a product, in the order of the table.
type standardSet []heldStandard

// of are the substances under a Standard.
func (set standardSet) of(name string) []*limits.LimitUse {
	for i := range set {
		if set[i].name == name {
			return set[i].uses
		}
	}
	return nil
}

// standardMembers finds the Standards of all substances that serve as fragrance or are
// an impurity of what does.
func standardMembers(run *limits.Run) standardSet {
	type pair struct {
		name  string
		place int
		u     *limits.LimitUse
	}
	pairs := make([]pair, 0, 2*len(run.Uses))
	add := func(name string, u *limits.LimitUse) {
		if !slices.ContainsFunc(pairs, func(p pair) bool { return p.u == u && p.name == name }) {
			pairs = append(pairs, pair{name, run.Matcher.Standards[name].Place, u})
		}
	}
	for u := range run.Every() {
		if !u.OfFragrance(run.In) {
			continue
		}
		for _, name := range standardsOf(run, u) {
			add(name, u)
		}
		for _, m := range u.Matches {
			for _, name := range run.Matcher.Counted[formula.EntryOf(m.Row)] {
				add(name, u)
			}
		}
	}
	slices.SortStableFunc(pairs, func(a, b pair) int { return a.place - b.place })
	uses := make([]*limits.LimitUse, len(pairs))
	set := make(standardSet, 0, len(pairs))
	for i, p := range pairs {
		uses[i] = p.u
		if n := len(set); n > 0 && set[n-1].name == p.name {
			set[n-1].uses = uses[i-len(set[n-1].uses) : i+1 : i+1]
			continue
		}
		set = append(set, heldStandard{p.name, run.Matcher.Standards[p.name].Rows, uses[i : i+1 : i+1]})
	}
	return set
}

// standardsOf names the Standards of a substance, by its name, its CAS number
// and those that the dictionary ties to the name.
func standardsOf(run *limits.Run, u *limits.LimitUse) []string {
	return formula.MemoryOf[standardMemory](run.In.Session).Of([2]string{u.S.INCI, u.S.CAS}, func() []string {
		cas := formula.List(u.S.CAS)
		if d := run.In.Dict.Lookup(u.S.INCI); d != nil {
			cas = append(cas, d.CAS...)
		}
		var names []string
		for _, row := range law.FragranceStandards(run.In.Law, u.S.INCI, cas...) {
			if !slices.Contains(names, row.Substance) {
				names = append(names, row.Substance)
			}
		}
		for _, n := range run.Matcher.StandardsListed(u.S.INCI) {
			if !slices.Contains(names, n) {
				names = append(names, n)
			}
		}
		return preparationNamed(run.In.Law, names, u.S.INCI)
	})
}

// standardMemory keeps the Standards of substances by name and number.
type standardMemory struct {
	formula.Memo[[2]string, []string]
}

// preparationNamed decides between Standards that share a number, such as those
// of an oil and an absolute, by the words of the ingredient's name.
func preparationNamed(tables *table.Tables, names []string, inci string) []string {
	if len(names) < 2 {
		return names
	}
	words := limits.NameWords(inci)
	var fit []string
	for _, n := range names {
		for _, w := range limits.NameWords(strings.NewReplacer("(", " ", ")", " ", ",", " ").Replace(n)) {
			if w = strings.TrimSuffix(w, "s"); tables.Words(rows.WordsStandardPreparation).In(w) &&
				slices.Contains(words, w) {
				fit = append(fit, n)
				break
			}
		}
	}
	if fit == nil {
		return names
	}
	return fit
}

// standardCheck settles one Standard.
func standardCheck(run *limits.Run, held *heldStandard, set standardSet) StandardCheck {
	c := StandardCheck{Standard: held.name, Category: run.In.Type.FragranceCategory}
	uses, rows := held.uses, held.rows
	if other := set.of(rows[0].Together); other != nil {
		uses = append(uses, other...)
	}
	c.Substances = limits.NamesOf(uses)
	weighOfLimitRun(run, &c, uses)
	c.Row = rows[0]
	at := slices.IndexFunc(rows, func(r *trade.FragranceStandard) bool { return r.Covers(c.Category) })
	if at < 0 {
		c.Verdict = StandardNoFigure
		c.Reason = "the table has no row for category " + c.Category
		return c
	}
	c.Row = rows[at]
	c.Soft = c.Row.FromMemory() || c.Row.NewerUnread
	switch {
	case c.Row.Type == "none":
		c.Verdict, c.Reason = StandardNotApplicable, c.Row.Basis
	case c.Row.Type == "specification":
		c.Verdict, c.Reason = StandardSpecification,
			"no percentage, but a specification of the raw material: "+c.Row.Specification
	case c.Row.Unrestricted:
		c.Verdict, c.Reason = StandardNoRestriction, "no ceiling in category "+c.Category
	case c.Row.MaxPct == nil:
		c.Verdict, c.Reason = StandardNoFigure, "a Standard exists; its figure is not in the tables"
	case c.Row.MaxPct.IsZero():
		standardBan(run, &c, uses)
	default:
		standardLimit(run, &c, uses)
	}
	return c
}

// weighOfLimitRun fills in the highest disclosed content.
func weighOfLimitRun(run *limits.Run, c *StandardCheck, uses []*limits.LimitUse) {
	var room [4]limits.Term
	terms := room[:0]
	for _, u := range uses {
		terms = append(terms, limits.Term{U: u, Factor: exact.Int(1), Sure: true})
	}
	mix, sum := run.Worst(terms, false)
	c.Content, c.WorstIn = sum, run.Comps[mix].Mixture.Name
	for _, u := range uses {
		switch s := u.PerComp[mix]; {
		case s == nil:
		case c.Contributions == nil:
			c.Contributions = slices.Clip(s.Contributions)
		default:
			c.Contributions = append(c.Contributions, s.Contributions...)
		}
	}
}

// standardBan settles a prohibition: what comes in with natural materials is for
// the assessor, since prohibitions speak of use as such.
func standardBan(run *limits.Run, c *StandardCheck, uses []*limits.LimitUse) {
	natural := true
	for _, u := range uses {
		natural = natural && purpose.NaturalOf(run.In, u.S) == law.Yes && !formula.IsBotanical(run.In.Law, u.S.INCI)
	}
	c.Verdict, c.Reason = StandardProhibited, "not to be used as a fragrance ingredient"
	if c.Row.Basis != c.Reason {
		c.Reason += ": " + c.Row.Basis
	}
	if natural || c.Content.Min.IsZero() {
		c.Soft, c.natural = true, true
		c.Reason += "; here it comes in with natural materials or may be absent, which is for the assessor"
	}
}

func standardLimit(run *limits.Run, c *StandardCheck, uses []*limits.LimitUse) {
	limit := *c.Row.MaxPct
	ratio := c.Content.Max.Quo(limit)
	c.LimitPct, c.Ratio = c.Row.MaxPct, &ratio
	if isPhototoxic(c.Row) {
		free, known := expressed(run, uses)
		if free {
			c.Verdict, c.Reason, c.Ratio = StandardNotApplicable,
				"the sheet says that it is free of furocoumarins or distilled, and the Standard is for the expressed oil", nil
			return
		}
		if !known {
			c.Soft, c.expressed = true, true
			c.Reason = "taken as expressed, since the sheet does not say; "
		}
	}
	switch {
	case limit.Less(c.Content.Min):
		c.Verdict = StandardExceeded
		c.Reason += "more than " + limit.Exact() + " % in category " + c.Category
	case limit.Less(c.Content.Max):
		c.Verdict = StandardOpen
		c.Reason += "its range reaches above " + limit.Exact() + " %"
	default:
		c.Verdict = StandardKept
		c.Reason += "what is disclosed is not more than " + limit.Exact() + " %; the papers may not name all of it"
	}
}

// isPhototoxic says whether a row is about oils that are phototoxic by their
// furocoumarins, which count together.
func isPhototoxic(row *trade.FragranceStandard) bool {
	return row.Phototoxic && row.MaxPct != nil && !row.MaxPct.IsZero()
}

// askedFor is what a name says is still to be asked for: it says nothing of the oil.
var askedFor = pattern.New(`(?i)\bask for [^)]*`)

// expressed reads from the names of the sheets whether an oil is free of
// furocoumarins, and whether they say at all.
func expressed(run *limits.Run, uses []*limits.LimitUse) (free, known bool) {
	free, known = true, true
	freeOil, expressedOil := run.In.Law.Words(rows.WordsFurocoumarinFree), run.In.Law.Words(rows.WordsExpressed)
	for _, u := range uses {
		for _, id := range limits.SortedMaterials(u.S) {
			text := u.S.INCI + " " + id
			if s := run.In.Sheets[id]; s != nil {
				text += " " + s.Name
			}
			isFree := freeOil.In(askedFor.ReplaceAllString(text, ""))
			free = free && isFree
			known = known && (isFree || expressedOil.In(text))
		}
	}
	return free, known
}

// phototoxicSum adds use ÷ limit of the phototoxic oils in each mixture.
func phototoxicSum(run *limits.Run, checks []StandardCheck, set standardSet) (StandardCheck, bool) {
	sum := StandardCheck{Standard: "phototoxic oils together", Category: run.In.Type.FragranceCategory}
	var most exact.Num
	var oils []StandardCheck
	for _, c := range checks {
		if c.Row != nil && isPhototoxic(c.Row) && c.Ratio != nil {
			oils = append(oils, c)
			sum.Substances = append(sum.Substances, c.Substances...)
			sum.Contributions = append(sum.Contributions, c.Contributions...)
			sum.Soft = sum.Soft || c.Soft
		}
	}
	if len(oils) < 2 {
		return sum, false
	}
	for i, comp := range run.Comps {
		var ratio exact.Num
		for _, c := range oils {
			for _, u := range set.of(c.Standard) {
				if s := u.PerComp[i]; s != nil {
					ratio = ratio.Add(s.Total.Max.Quo(*c.LimitPct))
				}
			}
		}
		if i == 0 || most.Less(ratio) {
			most, sum.WorstIn = ratio, comp.Mixture.Name
		}
	}
	sum.Ratio = &most
	sum.Verdict, sum.Reason = StandardKept, "use ÷ limit adds up to "+most.Sig(4)+", not more than 1"
	if exact.Int(1).Less(most) {
		sum.Verdict, sum.Reason = StandardExceeded, "use ÷ limit adds up to "+most.Sig(4)+", more than 1"
	}
	return sum, true
}

func standardFindings(run *limits.Run, checks []StandardCheck) []finding.Finding {
	var fs []finding.Finding
	var blank []string
	for _, c := range checks {
		switch c.Verdict {
		case StandardExceeded, StandardOpen, StandardProhibited:
			fs = append(fs, standardFinding(run, c))
		case StandardNoFigure:
			blank = append(blank, c.Standard)
		}
	}
	if len(blank) > 0 {
		f := run.In.OnProduct(finding.NewFinding(finding.Note, "standard-no-figure", run.In.Product.Pos,
			formula.With().Name("category", run.In.Type.FragranceCategory))).
			By(finding.TheAssessor)
		fs = append(fs, f.AboutNames(blank))
	}
	return fs
}

func standardFinding(run *limits.Run, c StandardCheck) finding.Finding {
	sev, code, form := finding.Stop, "standard-over", ""
	v := formula.PortionNamed(formula.With().Name("standard", c.Standard).Range("content", c.Content, "%",
		finding.FourDigits), c.WorstIn).Name("category", c.Category).
		MaybeNum("limit", c.LimitPct, "%", finding.AsIs).Flag(c.expressed, "expressed")
	switch {
	case c.Row == nil:
		code = "phototoxic-sum"
		v = formula.PortionNamed(formula.With(), c.WorstIn).MaybeNum("ratio", c.Ratio, "", finding.FourDigits)
	case c.Verdict == StandardProhibited:
		code = "standard-prohibited"
		v = formula.PortionNamed(formula.With().Name("standard", c.Standard).Range("content", c.Content, "%",
			finding.FourDigits), c.WorstIn).Flag(c.natural, "natural")
		if c.Row.Basis != "not to be used as a fragrance ingredient" {
			v = v.Quote("basis", c.Row.Basis)
		}
	case c.Verdict == StandardOpen:
		form = "range"
	}
	if c.Ratio != nil && c.Content.Max.Sign() > 0 || c.Row == nil && c.Ratio != nil {
		v = v.Num("share", formula.Hundred.Quo(*c.Ratio), "%", finding.ThreeDown)
	}
	if c.Soft || c.Verdict == StandardOpen {
		sev = finding.Ask
		v = v.Flag(true, "unsure")
	}
	pos := run.In.Product.Pos
	if len(c.Contributions) > 0 {
		pos = c.Contributions[0].LinePos
	}
	if c.Row != nil {
		v = v.Source("law", formula.RowSource(c.Row.Source, c.Row.File, c.Row.Key, c.Row.FromMemory()))
	}
	f := finding.NewFinding(sev, code, pos, v).As(form).On(strings.Join(c.Substances, " + ")).
		By(finding.TheMaker)
	if sev == finding.Ask {
		f = f.By(finding.TheAssessor)
	}
	f.Sum = run.In.TermsOf(c.Contributions)
	grade := c.Content.Max
	if c.Ratio != nil {
		grade = *c.Ratio
	}
	f.Grade, f.Cause = &grade, c.Standard
	return f
}
