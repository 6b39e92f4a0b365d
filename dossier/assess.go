package dossier

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/law"
	"gallipot/ingredients"
)

// Options say what a run is for.
type Options struct {
	Date ingredients.Date // the day whose law counts
	// DateChosen says that the day was given, and is not that of the clock.
	DateChosen bool
	Markets    []law.Market // empty: the product's own
	Law        *law.Tables
	Step       func() // called when one of several products is done, by several at once; nil: not
	// Checks look at a product as assessed and say what its papers, records and
	// labels leave open; see [Check].
	Checks []Check
}

// Check says what one subject leaves open for a product.
type Check func(*Assessment) []ingredients.Finding

// Assessment is everything computed for one product: a result for each variant
// in each market, and what there is to say about all of them together.
type Assessment struct {
	Workshop    *Workshop
	Product     *Product // as of the day: see asOf
	Options     Options
	entered     *Product // as it stands in its file
	Markets     []law.Market
	Results     []*calc.Result // variants in the order of the file, for each its markets in order
	Findings    []ingredients.Finding
	Fingerprint string
}

// Result returns the result of a variant in a market, or nil.
func (a *Assessment) Result(variant string, market law.Market) *calc.Result {
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
func Run(w *Workshop, p *Product, opt Options) *Assessment {
	opt.Law = w.lawTables(opt.Law)
	a := &Assessment{Workshop: w, Product: p.asOf(opt.Date), Options: opt, Markets: opt.Markets, entered: p}
	p = a.Product
	if len(a.Markets) == 0 {
		a.Markets = p.Markets
	}
	productType, ok := opt.Law.ProductType(p.Type)
	if !ok {
		return a
	}
	dict := opt.Law.Dictionary()
	materials := w.materials(dict)
	// a run for some of the markets has the fingerprint of all: what it is for
	// changes no figure
	markets := slices.Clone(p.Markets)
	for _, m := range a.Markets {
		markets = addOnce(markets, m)
	}
	results := make([][]*calc.Result, len(p.Variants))
	inParallel(len(p.Variants), func(i int) {
		results[i] = calc.AssessMarkets(&calc.Input{Product: p.Product, Variant: p.Variants[i], Type: productType,
			Sheets: w.Sheets, Materials: materials, Date: opt.Date, Law: opt.Law, Dict: dict}, markets)
	})
	a.Results = slices.Concat(results...)
	a.Fingerprint = fingerprint(a)
	a.Results = nil
	for _, ofVariant := range results {
		for _, m := range a.Markets {
			a.Results = append(a.Results, ofVariant[slices.Index(markets, m)])
		}
	}
	a.Findings = merge(a)
	return a
}

// filed are the findings from reading and from the checks that concern the
// product: those in its own file and in the sheets it uses.
func (a *Assessment) filed() []ingredients.Finding {
	files := map[string]bool{a.Product.Source.Name: true}
	for _, id := range usedSheets(a) {
		if s := a.Workshop.SheetSource(id); s != nil {
			files[s.Name] = true
		}
	}
	var fs []ingredients.Finding
	for _, f := range a.Workshop.loaded {
		if files[f.Pos.File] && !f.Unread {
			fs = append(fs, f)
		}
	}
	for _, check := range a.Options.Checks {
		fs = append(fs, check(a)...)
	}
	return fs
}

// lawTables adds the maker's own rows to the program's tables, once.
func (w *Workshop) lawTables(builtin *law.Tables) *law.Tables {
	w.adopt.Do(func() { w.tables = builtin.WithLimits(w.ownRows) })
	return w.tables
}

// materials prepares the sheets once for a workshop and dictionary.
func (w *Workshop) materials(dict *ingredients.Dictionary) map[string]*calc.Material {
	w.prepare.Do(func() { w.prepared = calc.PrepareAll(w.Sheets, dict) })
	return w.prepared
}

// merge joins equal findings of several variants and markets into one that says
// which it concerns; a finding about all of them names none.
func merge(a *Assessment) []ingredients.Finding {
	type where struct {
		at                int // in all
		variants, markets []string
	}
	var all []ingredients.Finding
	var places []*where // of all, in its order
	known := map[string]*where{}
	for _, r := range a.Results {
		variant := a.Product.ID + "/" + r.Input.Variant.ID
		for _, f := range r.Findings {
			key := findingKey(f)
			p := known[key]
			if p == nil {
				p = &where{at: len(all)}
				f.Items = slices.Clip(f.Items) // the results keep theirs
				known[key], places, all = p, append(places, p), append(all, f)
			}
			for _, item := range f.Items {
				all[p.at].Items = addOnce(all[p.at].Items, item)
			}
			p.variants = addOnce(p.variants, variant)
			p.markets = addOnce(p.markets, string(r.Input.Market))
		}
	}
	for i, p := range places {
		if len(p.variants) < len(a.Product.Variants) {
			all[i].Variants = p.variants
		}
		if len(p.markets) < len(a.Markets) {
			all[i].Markets = p.markets
		}
	}
	return calc.Unique(append(all, a.filed()...))
}

func findingKey(f ingredients.Finding) string {
	return strings.Join([]string{f.Severity.String(), f.Code, f.Pos.String(), f.Message, f.Fix}, "\x00")
}

// sharedKey tells which findings of several products say the same.
func sharedKey(f ingredients.Finding) string {
	if slices.Contains(bySupplier, f.Code) {
		f.Pos = ingredients.Pos{}
	}
	return findingKey(f)
}

func addOnce[T comparable](list []T, s T) []T {
	if slices.Contains(list, s) {
		return list
	}
	return append(list, s)
}

// MergeFindings joins the findings of several products: what is said about a
// sheet is said once, with the products it concerns.
//
// Those of the workshop as a whole come first: what could not be read, what
// stands in workshop.yaml, and with everything set all that was found on reading.
func MergeFindings(w *Workshop, as []*Assessment, everything bool) []ingredients.Finding {
	joined := mergeProducts(as)
	have := map[string]bool{}
	for _, f := range joined {
		have[findingKey(f)] = true
	}
	var all []ingredients.Finding
	for _, f := range w.loaded {
		general := !strings.Contains(f.Pos.File, "/")
		if !have[findingKey(f)] && (f.Unread || general || everything) {
			all = append(all, f)
		}
	}
	all = append(all, joined...)
	slices.SortStableFunc(all, func(a, b ingredients.Finding) int { return cmp.Compare(a.Severity, b.Severity) })
	return all
}

func mergeProducts(as []*Assessment) []ingredients.Finding {
	var all []ingredients.Finding
	at := map[string]int{}
	products := map[string][]string{}
	for _, a := range as {
		for _, f := range a.Findings {
			key := sharedKey(f)
			i, known := at[key]
			if !known {
				at[key] = len(all)
				all = append(all, f)
				products[key] = []string{a.Product.ID}
				continue
			}
			products[key] = addOnce(products[key], a.Product.ID)
			if slices.Contains(bySupplier, f.Code) {
				all[i] = joinMaterials(all[i], f)
			}
			all[i].Variants = append(all[i].Variants, f.Variants...)
		}
	}
	for i, f := range all {
		if ps := products[sharedKey(f)]; len(as) > 1 && (len(ps) > 1 || len(f.Variants) == 0) && fromSheet(f) {
			all[i].Variants = ps
		}
	}
	return all
}

// fromSheet says whether a finding stands in a sheet, where the place alone does
// not tell which product is meant.
func fromSheet(f ingredients.Finding) bool { return !strings.HasPrefix(f.Pos.File, "products/") }
