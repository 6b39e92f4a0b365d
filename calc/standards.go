package calc

import (
	"regexp"
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// StandardVerdict says how the disclosed content of a substance stands against a
// fragrance Standard.
type StandardVerdict string

// The verdicts on a Standard.
const (
	StandardKept          StandardVerdict = "kept by what is disclosed"
	StandardExceeded      StandardVerdict = "exceeded"
	StandardOpen          StandardVerdict = "open"       // above or below, by where in its range, or by a fact that no paper states
	StandardProhibited    StandardVerdict = "prohibited" // not to be used as a fragrance ingredient
	StandardNoRestriction StandardVerdict = "no restriction"
	StandardNoFigure      StandardVerdict = "limit not in our table" // never to be read as no limit
	StandardSpecification StandardVerdict = "specification"          // of the raw material, no percentage
	StandardNotApplicable StandardVerdict = "not applicable"
)

// StandardCheck is one fragrance Standard against what the papers disclose.
type StandardCheck struct {
	Standard   string
	Substances []string // of the product that count for it
	Category   string
	// Content is what the papers disclose, % w/w of the mixture where it is
	// highest: a lower bound of what is there.
	Content  ingredients.Range
	WorstIn  string           // that portion; "" for the whole
	LimitPct *ingredients.Num // % w/w of the finished product; nil where the table has no figure
	// Ratio is content(max) ÷ limit; for oils that are phototoxic together the sum
	// of their ratios. No unit; nil where there is no figure.
	Ratio         *ingredients.Num
	Verdict       StandardVerdict
	Reason        string
	Row           *law.FragranceStandard // nil for a sum over several Standards
	Contributions []Contribution

	expressed bool // taken as expressed, since the sheet does not say
	natural   bool // it comes in with natural materials, or may be absent
	soft      bool // the verdict rests on a row or a fact that is not sure
}

// Standards compares what sheets disclose of fragrance substances with the
// fragrance Standards for the category of the product type.
//
//	content ≤ limit for each; content ÷ limit added over phototoxic oils ≤ 1
//
// Disclosed contents are a lower bound: they can prove a breach and never that a
// Standard is kept; the supplier's certificate does that. A blank figure is a
// limit that is not in our table.
//
// Units: % w/w of the finished product, on the whole and on each portion.
// Findings: stop "standard-over" and "standard-prohibited" where a row that was
// read proves it; ask "standard-over", "standard-prohibited", "phototoxic-sum"
// otherwise; note "standard-no-figure".
// Source: ifra-standards.csv.
func Standards(in *Input, comps []*Composition) ([]StandardCheck, []ingredients.Finding) {
	return newLimitRun(in, comps).standards()
}

func (run *limitRun) standards() ([]StandardCheck, []ingredients.Finding) {
	held := run.standardMembers()
	var checks []StandardCheck
	for _, name := range held.order {
		checks = append(checks, run.standardCheck(name, held))
	}
	if sum, ok := run.phototoxicSum(checks, held); ok {
		checks = append(checks, sum)
	}
	return checks, run.standardFindings(checks)
}

// standardSet holds the substances of the product under each Standard.
type standardSet struct {
	order []string
	rows  map[string][]*law.FragranceStandard
	uses  map[string][]*limitUse
}

// standardMembers finds the Standards of all substances that serve as fragrance.
func (run *limitRun) standardMembers() *standardSet {
	set := &standardSet{rows: map[string][]*law.FragranceStandard{}, uses: map[string][]*limitUse{}}
	add := func(name string, u *limitUse) {
		if set.rows[name] == nil {
			set.rows[name] = run.matcher.standards[name].rows
			set.order = append(set.order, name)
		}
		if !slices.Contains(set.uses[name], u) {
			set.uses[name] = append(set.uses[name], u)
		}
	}
	for _, u := range append(slices.Clone(run.uses), run.others...) {
		if !slices.Contains(u.roles.all, fnFragrance) {
			continue
		}
		for _, name := range run.standardsOf(u) {
			add(name, u)
		}
		for _, m := range u.matches {
			for _, name := range run.matcher.counted[entryOf(m.row)] {
				add(name, u)
			}
		}
	}
	slices.SortFunc(set.order, func(a, b string) int { return run.matcher.standards[a].place - run.matcher.standards[b].place })
	return set
}

// standardsOf names the Standards of a substance, by its name, its CAS number
// and those that the dictionary ties to the name.
func (run *limitRun) standardsOf(u *limitUse) []string {
	cas := list(u.s.CAS)
	if d := run.in.Dict.Lookup(u.s.INCI); d != nil {
		cas = append(cas, d.CAS...)
	}
	var names []string
	for _, row := range run.in.Law.FragranceStandards(u.s.INCI, cas...) {
		if !slices.Contains(names, row.Substance) {
			names = append(names, row.Substance)
		}
	}
	return preparationNamed(run.in.Law, names, u.s.INCI)
}

// preparationNamed decides between Standards that share a number, such as those
// of an oil and an absolute, by the words of the ingredient's name.
func preparationNamed(tables *law.Tables, names []string, inci string) []string {
	if len(names) < 2 {
		return names
	}
	words := nameWords(inci)
	var fit []string
	for _, n := range names {
		for _, w := range nameWords(strings.NewReplacer("(", " ", ")", " ", ",", " ").Replace(n)) {
			if w = strings.TrimSuffix(w, "s"); tables.Words(law.WordsStandardPreparation).In(w) && slices.Contains(words, w) {
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
func (run *limitRun) standardCheck(name string, set *standardSet) StandardCheck {
	c := StandardCheck{Standard: name, Category: run.in.Type.FragranceCategory, Substances: namesOf(set.uses[name])}
	uses := slices.Clone(set.uses[name])
	if other := set.uses[set.rows[name][0].Together]; other != nil {
		uses = append(uses, other...)
		c.Substances = namesOf(uses)
	}
	run.weigh(&c, uses)
	rows := set.rows[name]
	c.Row = rows[0]
	at := slices.IndexFunc(rows, func(r *law.FragranceStandard) bool { return r.Covers(c.Category) })
	if at < 0 {
		c.Verdict = StandardNoFigure
		c.Reason = "the table has no row for category " + c.Category
		return c
	}
	c.Row = rows[at]
	c.soft = c.Row.FromMemory() || c.Row.NewerUnread
	switch {
	case c.Row.Type == "none":
		c.Verdict, c.Reason = StandardNotApplicable, c.Row.Basis
	case c.Row.Type == "specification":
		c.Verdict, c.Reason = StandardSpecification, "no percentage, but a specification of the raw material: "+c.Row.Note
	case c.Row.Unrestricted:
		c.Verdict, c.Reason = StandardNoRestriction, "no ceiling in category "+c.Category
	case c.Row.MaxPct == nil:
		c.Verdict, c.Reason = StandardNoFigure, "a Standard exists; its figure is not in our table"
	case c.Row.MaxPct.IsZero():
		run.standardBan(&c, uses)
	default:
		run.standardLimit(&c, uses)
	}
	return c
}

// weigh fills in the highest disclosed content.
func (run *limitRun) weigh(c *StandardCheck, uses []*limitUse) {
	var terms []term
	for _, u := range uses {
		terms = append(terms, term{u: u, factor: ingredients.Int(1), sure: true})
	}
	mix, sum := run.worst(terms, false)
	c.Content, c.WorstIn = sum, run.comps[mix].Mixture.Name
	for _, u := range uses {
		if s := u.perComp[mix]; s != nil {
			c.Contributions = append(c.Contributions, s.Contributions...)
		}
	}
}

// standardBan settles a prohibition: what comes in with natural materials is for
// the assessor, since prohibitions speak of use as such.
func (run *limitRun) standardBan(c *StandardCheck, uses []*limitUse) {
	natural := true
	for _, u := range uses {
		natural = natural && naturalOf(run.in, u.s) == law.Yes && !isBotanical(run.in.Law, u.s.INCI)
	}
	c.Verdict, c.Reason = StandardProhibited, "not to be used as a fragrance ingredient"
	if c.Row.Basis != c.Reason {
		c.Reason += ": " + c.Row.Basis
	}
	if natural || c.Content.Min.IsZero() {
		c.soft, c.natural = true, true
		c.Reason += "; here it comes in with natural materials or may be absent, which is for the assessor"
	}
}

func (run *limitRun) standardLimit(c *StandardCheck, uses []*limitUse) {
	limit := *c.Row.MaxPct
	ratio := c.Content.Max.Quo(limit)
	c.LimitPct, c.Ratio = &limit, &ratio
	if isPhototoxic(c.Row) {
		free, known := run.expressed(uses)
		if free {
			c.Verdict, c.Reason, c.Ratio = StandardNotApplicable, "the sheet says that it is free of furocoumarins or distilled, and the Standard is for the expressed oil", nil
			return
		}
		if !known {
			c.soft, c.expressed = true, true
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
func isPhototoxic(row *law.FragranceStandard) bool {
	return row.Phototoxic && row.MaxPct != nil && !row.MaxPct.IsZero()
}

// askedFor is what a name says is still to be asked for: it says nothing of the oil.
var askedFor = regexp.MustCompile(`(?i)\bask for [^)]*`)

// expressed reads from the names of the sheets whether an oil is free of
// furocoumarins, and whether they say at all.
func (run *limitRun) expressed(uses []*limitUse) (free, known bool) {
	free, known = true, true
	freeOil, expressedOil := run.in.Law.Words(law.WordsFurocoumarinFree), run.in.Law.Words(law.WordsExpressed)
	for _, u := range uses {
		for _, id := range sortedMaterials(u.s) {
			text := u.s.INCI + " " + id
			if s := run.in.Sheets[id]; s != nil {
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
func (run *limitRun) phototoxicSum(checks []StandardCheck, set *standardSet) (StandardCheck, bool) {
	sum := StandardCheck{Standard: "phototoxic oils together", Category: run.in.Type.FragranceCategory}
	var most ingredients.Num
	var oils []StandardCheck
	for _, c := range checks {
		if c.Row != nil && isPhototoxic(c.Row) && c.Ratio != nil {
			oils = append(oils, c)
			sum.Substances = append(sum.Substances, c.Substances...)
			sum.Contributions = append(sum.Contributions, c.Contributions...)
			sum.soft = sum.soft || c.soft
		}
	}
	if len(oils) < 2 {
		return sum, false
	}
	for i, comp := range run.comps {
		var ratio ingredients.Num
		for _, c := range oils {
			for _, u := range set.uses[c.Standard] {
				if s := u.perComp[i]; s != nil {
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
	if ingredients.Int(1).Less(most) {
		sum.Verdict, sum.Reason = StandardExceeded, "use ÷ limit adds up to "+most.Sig(4)+", more than 1"
	}
	return sum, true
}

func (run *limitRun) standardFindings(checks []StandardCheck) []ingredients.Finding {
	var fs []ingredients.Finding
	var blank []string
	for _, c := range checks {
		switch c.Verdict {
		case StandardExceeded, StandardOpen, StandardProhibited:
			fs = append(fs, run.standardFinding(c))
		case StandardNoFigure:
			blank = append(blank, c.Standard)
		}
	}
	if len(blank) > 0 {
		f := run.in.onProduct(ingredients.NewFinding(ingredients.Note, "standard-no-figure", run.in.Product.Pos, with().Name("category", run.in.Type.FragranceCategory))).
			By(ingredients.TheAssessor)
		for _, name := range blank {
			f.Things = f.Things.Name("", name)
		}
		fs = append(fs, f)
	}
	return fs
}

func (run *limitRun) standardFinding(c StandardCheck) ingredients.Finding {
	sev, code, form := ingredients.Stop, "standard-over", ""
	v := portion(with().Name("standard", c.Standard).Range("content", c.Content, "%", ingredients.FourDigits), c.WorstIn).Name("category", c.Category).
		MaybeNum("limit", c.LimitPct, "%", ingredients.AsIs).Flag(c.expressed, "expressed")
	switch {
	case c.Row == nil:
		code = "phototoxic-sum"
		v = portion(with(), c.WorstIn).MaybeNum("ratio", c.Ratio, "", ingredients.FourDigits)
	case c.Verdict == StandardProhibited:
		code = "standard-prohibited"
		v = portion(with().Name("standard", c.Standard).Range("content", c.Content, "%", ingredients.FourDigits), c.WorstIn).Flag(c.natural, "natural")
		if c.Row.Basis != "not to be used as a fragrance ingredient" {
			v = v.Quote("basis", c.Row.Basis)
		}
	case c.Verdict == StandardOpen:
		form = "range"
	}
	if c.Ratio != nil && c.Content.Max.Sign() > 0 || c.Row == nil && c.Ratio != nil {
		v = v.Num("share", hundred.Quo(*c.Ratio), "%", ingredients.ThreeDown)
	}
	if c.soft || c.Verdict == StandardOpen {
		sev = ingredients.Ask
		v = v.Flag(true, "unsure")
	}
	pos := run.in.Product.Pos
	if len(c.Contributions) > 0 {
		pos = c.Contributions[0].LinePos
	}
	if c.Row != nil {
		v = v.Source("law", rowSource(c.Row.Source, c.Row.File, c.Row.Key, c.Row.FromMemory()))
	}
	f := ingredients.NewFinding(sev, code, pos, v).As(form).On(strings.Join(c.Substances, " + ")).By(ingredients.TheMaker)
	if sev == ingredients.Ask {
		f = f.By(ingredients.TheAssessor)
	}
	f.Sum = run.in.termsOf(c.Contributions)
	grade := c.Content.Max
	if c.Ratio != nil {
		grade = *c.Ratio
	}
	f.Grade, f.Cause = &grade, c.Standard
	return f
}
