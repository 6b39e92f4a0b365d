package limits

import (
	"slices"
	"sync"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/trade"
	"gallipot/calc/purpose"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
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
	Row        *annex.Limit
	Substances []string // of the product that are counted for the row
	// Content is what counts against the row, % w/w in its basis, in the mixture
	// where it is highest.
	Content  exact.Range
	WorstIn  string     // that portion; "" for the whole
	LimitPct *exact.Num // % w/w in the basis of the row; nil where the row has no figure
	Verdict  LimitVerdict
	Reason   string // why, in words
	// Missing names the facts that would decide an undecided row, in words.
	Missing       []string
	Contributions []formula.Contribution
	// HighestPct is the most of the substances together, as they are and not in
	// the row's basis, % w/w, that passes with their proportions as they are; nil
	// where the row has no figure or allows nothing.
	HighestPct *exact.Num

	Shape checkShape

	run *Run // that made it; nil: none did
	mix int  // the mixture with the highest content
}

// Basis is the arithmetic from content to counted content.
func (c LimitCheck) Basis() (terms []finding.Term) {
	for _, t := range c.Shape.Terms {
		if s := t.U.PerComp[c.mix]; s != nil && (c.Row.Basis.Text != "" || len(c.Shape.Terms) > 1) {
			terms = append(terms, basisTerm(c.Row, t, s))
		}
	}
	return terms
}

// Room is what each raw material may be at most, the others as they are.
func (c LimitCheck) Room() []limitRoom {
	if c.run == nil || c.HighestPct == nil {
		return nil
	}
	return c.run.room(c.Shape.Terms, c.mix, c.Content.Max, *c.LimitPct)
}

// limitRoom is the most of one raw material that keeps a limit while everything
// else stays as it is.
type limitRoom struct {
	Ingredient string
	UsePct     exact.Num  // % w/w of the mixture it has now
	AtMostPct  *exact.Num // % w/w of the mixture; nil where the others exceed the limit without it
	Pos        exact.Pos  // its line in the formula
}

// checkShape is what findings need to know of a check beyond its words.
type checkShape struct {
	Kind    checkKind
	Uses    []*LimitUse
	traces  bool // all of it is impurity
	Certain bool // present whatever the ranges
	Doubt   string
	either  bool     // kept whether or not the condition holds
	open    bool     // the condition is not decided
	Others  []string // what it may not stand beside
	label   labelDue
	plain   exact.Range // the substances as they are, % of the mixture
	Terms   []Term      // what was counted
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
	CheckFigure     checkKind = iota // a content against a limit
	CheckProhibited                  // nothing is allowed
	checkTogether                    // substances that exclude each other
	checkResidue                     // the limit counts a residue, not the substance
	checkNone                        // no figure, or not applicable
)

// OnlyTrace says that nothing of the substance is allowed, and that all of it is a trace of raw
// materials: Article 17 of Regulation (EC) 1223/2009 allows what cannot be avoided and is safe.
func (c *LimitCheck) OnlyTrace() bool { return c.Shape.Kind == CheckProhibited && c.Shape.traces }

// LimitUse is one substance of the product with everything its rows ask for.
type LimitUse struct {
	S        *formula.Substance // of the whole product
	key      string
	names    []string // Name alone
	Roles    purpose.Roles
	certain  *law.Situation       // with the functions it certainly has
	wide     *law.Situation       // with those its sheets list besides; nil where same
	same     bool                 // both are alike
	number   int                  // among those of the product that variants share; 0: it is of one
	market   rows.Market          // that its rows are of; "": they are those of all
	Matches  []rowMatch           // rows of all times that hold for the market
	elements []element            // class entries whose element its name holds
	PerComp  []*formula.Substance // the same substance in each mixture; nil where it is not
	formald  exact.Num            // least formaldehyde in the product, %
	matcher  *matcher
	// botanical says that it is an oil, extract or other preparation of a plant.
	botanical bool
}

// Ground is what the runs of one variant in several markets share: its substances, what
// they do in the product, and the rows of all markets that name them.
type Ground struct {
	comps   []*formula.Composition
	base    law.Situation
	matcher *matcher
	uses    []*LimitUse
	known   *judged

	// Room for what is made several at once.
	made       []LimitUse
	situations []law.Situation
	everywhere []*formula.Substance
	names      []string
}

// GroundOf prepares the runs of one variant. The market of the input does not matter.
func GroundOf(in *formula.Input, comps []*formula.Composition) *Ground {
	g := &Ground{comps: comps, matcher: matcherOf(in.Session), base: purpose.Base(in),
		uses: make([]*LimitUse, 0, len(comps[0].Substances)), known: judgedOf(in)}
	formald := leastFormaldehyde(comps[0])
	mixtures := ""
	for _, c := range comps {
		mixtures += c.Mixture.Name + "\x00"
	}
	for _, s := range comps[0].Substances {
		if s.Undeclared || s.Total.IsZero() {
			continue
		}
		if !comps[0].Again(s) || len(comps) > mostMixtures { // of this variant, so far as is known
			g.uses = append(g.uses, g.use(in, s, formald))
			continue
		}
		key := useKey{product: in.Product, kind: in.Type, date: in.Date, mixtures: mixtures, formald: formald}
		for i, c := range comps {
			key.substances[i] = c.Same(s)
		}
		u := g.known.use(key)
		if u == nil {
			u = g.use(in, s, formald)
			u = g.known.keep(key, u)
		}
		g.uses = append(g.uses, u)
	}
	return g
}

// use is one substance with everything its rows ask for.
func (g *Ground) use(in *formula.Input, s *formula.Substance, formald exact.Num) *LimitUse {
	known := g.matcher.known(s)
	u := &room(&g.made, 1)[0]
	*u = LimitUse{S: s, key: s.Key(), names: room(&g.names, 1), Roles: purpose.Of(in, s), formald: formald,
		matcher: g.matcher, Matches: known.matches, elements: known.elements, PerComp: room(&g.everywhere, len(g.comps))}
	u.names[0] = u.Name()
	for i, c := range g.comps {
		u.PerComp[i] = c.Same(s)
	}
	if len(u.Matches) == 0 {
		return u
	}
	u.botanical = known.botanical
	u.certain = &room(&g.situations, 1)[0]
	*u.certain = purpose.Situation(in, g.base, s)
	u.certain.Functions, u.certain.FunctionsKnown = u.Roles.Main, u.Roles.Known
	if u.same = slices.Equal(u.Roles.Main, u.Roles.All); !u.same {
		wide := *u.certain
		wide.Functions = u.Roles.All
		u.wide = &wide
	}
	return u
}

// madeAtOnce is how many small things are made at once.
const madeAtOnce = 16

// room is room for n more things beside others of their kind.
func room[T any](pool *[]T, n int) []T {
	if len(*pool) < n {
		*pool = make([]T, max(n, madeAtOnce))
	}
	out := (*pool)[:n:n]
	*pool = (*pool)[n:]
	return out
}

// Run is one assessment of a product against the limit tables.
type Run struct {
	In      *formula.Input
	Comps   []*formula.Composition
	base    law.Situation // of every use in the product
	Matcher *matcher
	Uses    []*LimitUse // those that a row names
	Others  []*LimitUse // those that none names
	named   []namedUse  // each row with each use it names, in the order of the table
	known   *judged
	key     []byte      // room for a key that is put together
	nums    []exact.Num // room for figures that are pointed to
	terms   []Term      // room for terms of checks
}

// newRun prepares a variant for one market.
func newRun(in *formula.Input, comps []*formula.Composition) *Run { return GroundOf(in, comps).Run(in) }

// Run is the assessment of a variant in the market of the input.
func (g *Ground) Run(in *formula.Input) *Run {
	run := &Run{In: in, Comps: g.comps, Matcher: g.matcher, base: g.base, known: g.known}
	both := make([]*LimitUse, 2*len(g.uses))
	run.Uses, run.Others = both[:0:len(g.uses)], both[len(g.uses):len(g.uses)]
	for _, u := range g.uses {
		if u = g.known.in(u, in.Market); len(u.Matches) == 0 {
			run.Others = append(run.Others, u)
		} else {
			run.Uses = append(run.Uses, u)
		}
	}
	n := 0
	for _, u := range run.Uses {
		n += len(u.Matches)
	}
	run.named = make([]namedUse, 0, n)
	for _, u := range run.Uses {
		for i := range u.Matches {
			run.named = append(run.named, namedUse{u.Matches[i].place, &u.Matches[i], u})
		}
	}
	slices.SortStableFunc(run.named, func(a, b namedUse) int { return a.place - b.place })
	return run
}

// num keeps a figure that a check points to.
func (run *Run) num(n exact.Num) *exact.Num {
	kept := &room(&run.nums, 1)[0]
	*kept = n
	return kept
}

// namedUse is a use with a row that names it, and that row's place in the table.
type namedUse struct {
	place int
	match *rowMatch
	u     *LimitUse
}

// usesOf are the uses that a row names.
func (run *Run) usesOf(row *annex.Limit) []namedUse {
	place, known := run.Matcher.place(row)
	if !known {
		return nil
	}
	from, _ := slices.BinarySearchFunc(run.named, place, func(n namedUse, p int) int { return n.place - p })
	to := from
	for to < len(run.named) && run.named[to].place == place {
		to++
	}
	return run.named[from:to]
}

// leastFormaldehyde is the formaldehyde that is certainly in the product.
func leastFormaldehyde(c *formula.Composition) exact.Num {
	if s := c.Find("Formaldehyde"); s != nil {
		return s.Total.Min
	}
	return exact.Num{}
}

func (u *LimitUse) Name() string {
	if u.S.Nano {
		return u.S.INCI + " (nano)"
	}
	return u.S.INCI
}

// IsTrace says whether a substance is in the product as an impurity alone.
func (u *LimitUse) IsTrace() bool {
	return !slices.ContainsFunc(u.S.Contributions,
		func(k formula.Contribution) bool { return k.Route != formula.ByImpurity })
}

// match returns how a row names the substance, nil where it does not.
func (u *LimitUse) match(row *annex.Limit) *rowMatch {
	for i := range u.Matches {
		if u.Matches[i].Row == row {
			return &u.Matches[i]
		}
	}
	return nil
}

// HasRole says whether a substance certainly has a function, and whether it may.
func (u *LimitUse) HasRole(function string) (sure, may bool) {
	sure = slices.Contains(u.Roles.Main, function)
	return sure, sure || slices.Contains(u.Roles.All, function) || !u.Roles.Known
}

// OfFragrance says whether a substance may serve as fragrance, or is an impurity of a
// material that may: a fragrance Standard counts what comes in with such materials.
func (u *LimitUse) OfFragrance(in *formula.Input) bool {
	return slices.Contains(u.Roles.All, purpose.Fragrance) ||
		slices.ContainsFunc(u.S.Contributions, func(k formula.Contribution) bool {
			sheet := in.Sheets[k.Ingredient]
			return k.Route == formula.ByImpurity && sheet != nil &&
				(sheet.IsScent() || slices.Contains(purpose.OfSheet(in, sheet).All, purpose.Fragrance))
		})
}

// SituationOf is the situation of one use, with its functions.
func (run *Run) SituationOf(u *LimitUse) law.Situation {
	s := purpose.Situation(run.In, run.base, u.S)
	s.Functions, s.FunctionsKnown = u.Roles.All, u.Roles.Known
	return s
}

// ComesAs says whether the product is, or may be, a spray or inhaled.
func (run *Run) ComesAs(what string) bool {
	if what == "inhalable" {
		return run.base.Inhalable != law.No
	}
	return slices.Contains(run.base.Forms, what)
}

// inForce says whether a row binds a newly placed product on a day.
func (run *Run) inForce(row *annex.Limit, day exact.Date) bool {
	return row.In(run.In.Market, day)
}

// Term is one substance that counts for a row.
type Term struct {
	U      *LimitUse
	Factor exact.Num
	remark string
	Sure   bool // its condition holds; false: it may hold
	whole  bool // the table has no factor: it is counted whole, and may count for less
	Own    bool // the row itself names it; false: it is added by the sum rule
	// only limits what counts to some materials; nil counts all.
	Only map[string]bool
}

// labelDue says whether a row's wording belongs on the label.
type labelDue int

const (
	labelNone labelDue = iota
	labelMaybe
	labelCertain
)

// judged is what the variants of a product share: a substance that is in several of them
// in the same way is one use, and a row is judged once for the uses that it names. It may
// be used in parallel; two at once may both make the same.
type judged struct {
	mu     sync.RWMutex
	uses   map[useKey]*LimitUse
	here   map[hereKey]*LimitUse
	checks map[string][]LimitCheck // by rowKey
}

// mostMixtures is how many mixtures a key holds: the whole and three portions.
const mostMixtures = 4

// judgedOf is what the variants of a product share; of this input alone where nothing is.
func judgedOf(in *formula.Input) *judged {
	if j := formula.SharedOf[judged](in); j != nil {
		return j
	}
	return new(judged)
}

// useKey is what tells the uses of a product apart: the substance in each mixture.
type useKey struct {
	product    *formula.Product
	kind       *trade.ProductType
	date       exact.Date
	substances [mostMixtures]*formula.Substance
	mixtures   string // their names
	formald    exact.Num
}

// hereKey is a use in one market.
type hereKey struct {
	use    *LimitUse
	market rows.Market
}

func (j *judged) use(key useKey) *LimitUse {
	j.mu.RLock()
	defer j.mu.RUnlock()
	return j.uses[key]
}

// keep keeps a use and numbers it; it returns the one that is kept.
func (j *judged) keep(key useKey, u *LimitUse) *LimitUse {
	j.mu.Lock()
	defer j.mu.Unlock()
	if j.uses == nil {
		j.uses, j.here, j.checks = map[useKey]*LimitUse{}, map[hereKey]*LimitUse{}, map[string][]LimitCheck{}
	}
	if other := j.uses[key]; other != nil {
		return other
	}
	j.uses[key] = u
	u.number = len(j.uses)
	return u
}

// in is a use with the rows of one market: itself where all of them hold there.
func (j *judged) in(u *LimitUse, market rows.Market) *LimitUse {
	elsewhere := func(m rowMatch) bool { return !m.Row.For(market) }
	if !slices.ContainsFunc(u.Matches, elsewhere) {
		return u
	}
	narrowed := func() *LimitUse {
		here := *u
		here.Matches, here.market = slices.DeleteFunc(slices.Clone(u.Matches), elsewhere), market
		return &here
	}
	if u.number == 0 {
		return narrowed()
	}
	key := hereKey{u, market}
	j.mu.RLock()
	here := j.here[key]
	j.mu.RUnlock()
	if here == nil {
		here = narrowed()
		j.mu.Lock()
		defer j.mu.Unlock()
		if other := j.here[key]; other != nil {
			return other
		}
		j.here[key] = here
	}
	return here
}
