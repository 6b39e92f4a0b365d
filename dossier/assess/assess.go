package assess

import (
	"cmp"
	"reflect"
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/dossier/parallel"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Options say what a run is for.
type Options struct {
	Date exact.Date // the day whose law counts
	// DateChosen says that the day was given, and is not that of the clock.
	DateChosen bool
	Markets    []rows.Market // empty: the product's own
	Law        *table.Tables // nil: those the workshop was read against
	// Session holds what several runs over the same tables share; nil, or one of
	// other tables or of another workshop: a session is made for this run.
	Session *session
	// WithoutAnswer leaves the assessor's figures and accepted points out.
	WithoutAnswer bool
	Step          func() // called when one of several products is done, by several at once; nil: not
	// Checks look at a product as assessed and say what its papers, records and
	// labels leave open; see [Check].
	Checks []Check
	// Settle marks those of a product's findings that are decided, and says which
	// decisions no longer hold; nil: none is looked for.
	Settle func(*Assessment, []finding.Finding) []finding.Finding
}

// Check says what one subject leaves open for a product.
type Check func(*Assessment) []finding.Finding

// Assessment is everything computed for one product: a result for each variant
// in each market, and what there is to say about all of them together.
type Assessment struct {
	Workshop    *workshop.Workshop
	Product     *workshop.Product // as of the day: see asOf
	Options     Options
	Entered     *workshop.Product // as it stands in its file
	Markets     []rows.Market
	Results     []*calc.Result // variants in the order of the file, for each its markets in order
	Findings    []finding.Finding
	Fingerprint string // of the figures without any answer
	// Answer is the assessor's answer that figures use; nil: none is on record for them.
	Answer *workshop.Recorded

	shared *shared // what its checks share while they run; nil: they do not
}

// Result returns the result of a variant in a market, or nil.
func (a *Assessment) Result(variant string, market rows.Market) *calc.Result {
	for _, r := range a.Results {
		if r.Input.Variant.ID == variant && r.Input.Market == market {
			return r
		}
	}
	return nil
}

// ByVariant returns the results of one variant, a market each.
func (a *Assessment) ByVariant(variant string) []*calc.Result {
	var rs []*calc.Result
	for _, r := range a.Results {
		if r.Input.Variant.ID == variant {
			rs = append(rs, r)
		}
	}
	return rs
}

// Run computes a product for all its variants and markets, and asks the checks of
// the options in their order.
//
// Errors: none; a product whose type is unknown has been refused by Load.
func Run(w *workshop.Workshop, p *workshop.Product, opt Options) *Assessment {
	opt = opt.Within(w)
	a := &Assessment{Workshop: w, Product: AsOf(p, opt.Date), Options: opt, Markets: opt.Markets, Entered: p}
	p = a.Product
	if len(a.Markets) == 0 {
		a.Markets = p.Markets
	}
	productType, ok := law.ProductType(opt.Law, p.Type)
	if !ok {
		return a
	}
	// a run for some of the markets has the fingerprint of all: what it is for
	// changes no figure
	markets := slices.Clone(p.Markets)
	for _, m := range a.Markets {
		markets = words.AddOnce(markets, m)
	}
	compute := func(judged []formula.Judged) [][]*calc.Result {
		results := make([][]*calc.Result, len(p.Variants))
		shared := &formula.Shared{}
		parallel.Each(len(p.Variants), func(i int) {
			results[i] = calc.AssessMarkets(&formula.Input{Product: p.Product, Variant: p.Variants[i],
				Type: productType, Judged: judged, Shared: shared,
				Sheets: w.Sheets, Materials: opt.Session.Materials, Date: opt.Date,
				Session: opt.Session.Session}, markets)
		})
		return results
	}
	results := compute(nil)
	a.Results = slices.Concat(results...)
	a.Fingerprint = fingerprint(a)
	if !opt.WithoutAnswer {
		a.Answer = p.AnswerFor(a.Fingerprint)
	}
	if a.Answer != nil && len(a.Answer.Values) > 0 {
		results = compute(a.Answer.Values)
	}
	a.Results = nil
	for _, ofVariant := range results {
		for _, m := range a.Markets {
			a.Results = append(a.Results, ofVariant[slices.Index(markets, m)])
		}
	}
	a.Findings = accepted(a, merge(a))
	return a
}

// filed are the findings from reading and from the checks that concern the
// product: those in its own file and in the sheets it uses.
func (a *Assessment) filed() []finding.Finding {
	files := map[string]bool{a.Product.Source.Name: true}
	for _, id := range UsedSheets(a) {
		if s := a.Workshop.SheetSource(id); s != nil {
			files[s.Name] = true
		}
	}
	var fs []finding.Finding
	for _, f := range a.Workshop.Loaded {
		if files[f.Pos.File] && !f.Unread {
			fs = append(fs, f)
		}
	}
	a.shared = &shared{of: a, known: map[reflect.Type]any{}}
	for _, check := range a.Options.Checks {
		fs = append(fs, check(a)...)
	}
	a.shared = nil
	return fs
}

// shared is what the checks of one assessment make once. They run one after the other.
type shared struct {
	of    *Assessment // a copy of it with other options has nothing of it
	known map[reflect.Type]any
}

// Once returns the one value of its type that the checks of an assessment share while they
// run, made when it is first asked for; outside of them it is made each time.
func Once[T any](a *Assessment, make func(*Assessment) T) T {
	if a.shared == nil || a.shared.of != a {
		return make(a)
	}
	key := reflect.TypeFor[T]()
	v, is := a.shared.known[key]
	if !is {
		v = make(a)
		a.shared.known[key] = v
	}
	return v.(T)
}

// merge joins findings of several variants and markets that have one cause into one
// that says which it concerns; a finding about all of them names none. Where figures
// differ the gravest are shown, with the variant they are of.
func merge(a *Assessment) []finding.Finding {
	j := joining{variants: len(a.Product.Variants), markets: len(a.Markets)}
	if len(a.Results) > 0 { // most causes are in each
		n := 2 * len(a.Results[0].Findings)
		j.list, j.order, j.at = make([]finding.Finding, 0, n), make([]*joinedAt, 0, n), make(map[string]*joinedAt, n)
	}
	for _, r := range a.Results {
		variant := a.Product.ID + "/" + r.Input.Variant.ID
		for _, f := range r.Findings {
			j.add(f, variant, string(r.Input.Market))
		}
	}
	all := calc.Unique(append(j.joined(), a.filed()...))
	if a.Options.Settle != nil {
		all = a.Options.Settle(a, all)
	}
	return all
}

// joining joins findings that have one cause.
type joining struct {
	list              []finding.Finding
	at                map[string]*joinedAt
	key               []byte // room for the key of one finding
	order             []*joinedAt
	variants, markets int // how many there are in all
}

// joinedAt is where a cause was found.
type joinedAt struct {
	place             int // in list
	variants, markets []string
	worst             string // the variant whose figures are shown
	differ            bool   // other variants have other figures
	once              bool   // each thing stands once in its list
}

func (j *joining) add(f finding.Finding, variant, market string) {
	if j.at == nil {
		j.at = map[string]*joinedAt{}
	}
	j.key = f.AppendCauseKey(j.key[:0])
	p := j.at[string(j.key)]
	if p == nil {
		p = &joinedAt{place: len(j.list), worst: variant, variants: make([]string, 0, j.variants),
			markets: make([]string, 0, j.markets)}
		f.Things = slices.Clip(f.Things) // the results keep theirs
		j.at[string(j.key)], j.order, j.list = p, append(j.order, p), append(j.list, f)
	} else {
		j.list[p.place] = p.join(j.list[p.place], f, variant)
	}
	p.variants = words.AddOnce(p.variants, variant)
	p.markets = words.AddOnce(p.markets, market)
}

// join adds to a finding what another one of the same cause says.
func (p *joinedAt) join(have, f finding.Finding, variant string) finding.Finding {
	if f.Grade != nil && have.Key() != f.Key() {
		p.differ = p.differ || variant != p.worst
		if have.Grade.Less(*f.Grade) {
			p.worst = variant
			return f.JoinSources(have)
		}
		return have.JoinSources(f)
	}
	have = have.JoinSources(f)
	more := slices.ContainsFunc(f.Things, func(x finding.Value) bool { return !have.Things.Has(&x) })
	if more || !p.once {
		have.Things, p.once = words.UniqueValues(append(have.Things, f.Things...)), true
	}
	return have
}

func (j *joining) joined() []finding.Finding {
	for _, p := range j.order {
		f := &j.list[p.place]
		if len(p.variants) < j.variants {
			f.Variants = p.variants
		}
		if len(p.markets) < j.markets {
			f.Markets = p.markets
		}
		if p.differ {
			f.Worst = p.worst
		}
	}
	return j.list
}

// sharedKey tells which findings of several products say the same.
func sharedKey(f finding.Finding) string {
	if slices.Contains(bySupplier, f.Code) {
		f.Pos, f.Subject, f.About = exact.Pos{}, "", finding.Value{}
		return f.Key() + partyKey(f.Who)
	}
	return f.Key()
}

func partyKey(who []finding.Party) string { return "\x00" + words.Whom(who) }

// MergeFindings joins the findings of several products: what is said about a
// sheet is said once, with the products it concerns.
//
// Those of the workshop as a whole come first: what could not be read, what
// stands in workshop.yaml, and with everything set all that was found on reading.
func MergeFindings(w *workshop.Workshop, as []*Assessment, everything bool) []finding.Finding {
	keys := make([][]string, len(as))
	for i, a := range as {
		keys[i] = SharedKeys(a)
	}
	return MergeKeyed(w, as, keys, everything)
}

// SharedKeys tells of each finding of a product which of other products say the same, for
// whoever joins them more than once.
func SharedKeys(a *Assessment) []string {
	keys := make([]string, len(a.Findings))
	for i, f := range a.Findings {
		keys[i] = sharedKey(f)
	}
	return keys
}

// MergeKeyed is MergeFindings for products whose SharedKeys are known.
func MergeKeyed(w *workshop.Workshop, as []*Assessment, keys [][]string, everything bool) []finding.Finding {
	joined := mergeProducts(as, keys)
	have := map[string]bool{}
	if len(w.Loaded) > 0 {
		for i := range joined {
			have[joined[i].Key()] = true
		}
	}
	order := make([]*finding.Finding, 0, len(w.Loaded)+len(joined))
	for i := range w.Loaded {
		f := &w.Loaded[i]
		general := !strings.Contains(f.Pos.File, "/")
		if !have[f.Key()] && (f.Unread || general || everything) {
			order = append(order, f)
		}
	}
	for i := range joined {
		order = append(order, &joined[i])
	}
	slices.SortStableFunc(order, func(a, b *finding.Finding) int { return cmp.Compare(a.Severity, b.Severity) })
	all := make([]finding.Finding, len(order))
	for i, f := range order {
		all[i] = *f
	}
	return all
}

// mergeProducts joins the findings of products by their keys. What it joins is its own: the
// products keep theirs.
func mergeProducts(as []*Assessment, keys [][]string) []finding.Finding {
	places := map[string]int{} // of each key, in the order in which they are met
	for _, of := range keys {
		for _, key := range of {
			if _, met := places[key]; !met {
				places[key] = len(places)
			}
		}
	}
	all := make([]finding.Finding, 0, len(places))
	products := make([][]string, len(places))
	for n, a := range as {
		for k, f := range a.Findings {
			i := places[keys[n][k]]
			if i == len(all) {
				f.Variants = slices.Clip(f.Variants)
				all, products[i] = append(all, f), []string{a.Product.ID}
				continue
			}
			products[i] = words.AddOnce(products[i], a.Product.ID)
			if slices.Contains(bySupplier, f.Code) {
				all[i] = joinMaterials(all[i], f)
			}
			all[i].Variants = append(all[i].Variants, f.Variants...)
		}
	}
	for i := range all {
		f, ps := &all[i], products[i]
		if len(as) > 1 && (len(ps) > 1 || len(f.Variants) == 0) && fromSheet(*f) {
			f.Variants = ps
		}
	}
	return all
}

// fromSheet says whether a finding stands in a sheet, where the place alone does
// not tell which product is meant.
func fromSheet(f finding.Finding) bool { return !strings.HasPrefix(f.Pos.File, "products/") }

// WithoutAnswer is the assessment as it is without the assessor's figures and accepted
// points; itself where there are none.
func (a *Assessment) WithoutAnswer() *Assessment {
	if a.Answer == nil {
		return a
	}
	opt := a.Options
	opt.WithoutAnswer = true
	return Run(a.Workshop, a.Entered, opt)
}
