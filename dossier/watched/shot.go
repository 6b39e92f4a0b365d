package watched

import (
	"maps"
	"slices"
	"sync"
	"sync/atomic"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// Shot is a workshop as it stood at one moment, with what was computed from it since.
type Shot struct {
	// Number grows with every change.
	Number int
	// Workshop is nil where the folder has no workshop.yaml.
	Workshop *workshop.Workshop
	Findings []finding.Finding // of reading
	Options  assess.Options

	mu       sync.Mutex
	assessed map[string]*once
	checked  map[string]*checked // by the file of the product
	check    sync.Mutex          // one check at a time; the next one finds its outcome
	outcome  *outcome            // of the check; nil: none yet
}

// outcome is what a check of all products found.
type outcome struct {
	as      []*assess.Assessment
	keys    [][]string // of the findings of each
	batches []finding.Finding
	merged  sync.Once
	all     []finding.Finding // of all products, joined
}

// once is a product that is computed when it is first asked for.
type once struct {
	do   sync.Once
	done atomic.Bool
	a    *assess.Assessment
}

// checked are the findings of a product and of its batches, without results.
type checked struct {
	a       *assess.Assessment
	batches []finding.Finding
	keys    []string // of the findings of the product: all points are joined after each change
}

// How many products are kept computed with all their results.
const mostAssessed = 40

// Assess returns a product computed on the day of the shot. It is computed once.
func (s *Shot) Assess(p *workshop.Product) *assess.Assessment {
	s.mu.Lock()
	if s.assessed == nil || len(s.assessed) > mostAssessed {
		s.assessed = map[string]*once{}
	}
	o := s.assessed[p.Source.Name]
	if o == nil {
		o = &once{}
		s.assessed[p.Source.Name] = o
	}
	s.mu.Unlock()
	o.do.Do(func() {
		if o.a == nil { // not kept from before
			o.a = dossier.Assess(s.Workshop, p, s.Options)
		}
		o.done.Store(true)
	})
	return o.a
}

// Check returns the findings of all products that can be computed, and those of batches.
// Results are let go, as those of dossier.CheckAll.
func (s *Shot) Check() ([]*assess.Assessment, []finding.Finding) {
	o := s.found()
	return slices.Clip(o.as), slices.Clip(o.batches)
}

// Points returns the findings of all products joined, with all that was found on reading,
// and those of batches.
func (s *Shot) Points() (all, batches []finding.Finding) {
	o := s.found()
	o.merged.Do(func() { o.all = assess.MergeKeyed(s.Workshop, o.as, o.keys, true) })
	return slices.Clip(o.all), slices.Clip(o.batches)
}

// found checks all products once.
func (s *Shot) found() *outcome {
	s.check.Lock()
	defer s.check.Unlock()
	if s.outcome != nil {
		return s.outcome
	}
	products := s.Workshop.Computable(s.Workshop.Products)
	s.mu.Lock()
	known := maps.Clone(s.checked)
	s.mu.Unlock()
	if known == nil {
		known = map[string]*checked{}
	}
	var open []*workshop.Product
	for _, p := range products {
		if known[p.Source.Name] == nil {
			open = append(open, p)
		}
	}
	dossier.CheckEach(s.Workshop, open, nil, s.Options, func(a *assess.Assessment, batches []finding.Finding) {
		known[a.Product.Source.Name] = &checked{a, batches, assess.SharedKeys(a)}
	})
	s.mu.Lock()
	s.checked = known
	s.mu.Unlock()
	s.outcome = &outcome{as: make([]*assess.Assessment, len(products)), keys: make([][]string, len(products))}
	var batches []finding.Finding
	for i, p := range products {
		c := known[p.Source.Name]
		s.outcome.as[i], s.outcome.keys[i] = c.a, c.keys
		batches = append(batches, c.batches...)
	}
	s.outcome.batches = calc.Unique(batches)
	return s.outcome
}

// Trial computes a product from other bytes than those in its file. Nothing is written.
// Where they cannot be read, or name a material that there is not, the assessment is nil
// and the findings say why.
func (s *Shot) Trial(name string, data []byte) (*assess.Assessment, []finding.Finding) {
	p, findings := workshop.ReadProduct(source.NewSource(name, data), s.Workshop.Markets, s.Options.Law)
	if p == nil {
		return nil, findings
	}
	for _, f := range findings {
		if f.Unread {
			return nil, findings
		}
	}
	if !s.known(p) {
		return nil, findings
	}
	return dossier.Assess(s.Workshop, p, s.Options), findings
}

// Figures computes a product from other bytes than those in its file, without what papers
// and records add: it answers while a reader types. of is the product as it stands on disk;
// the results are those of its variants in the order of the bytes, each in all its markets.
// They are nil where the bytes cannot be read or name a material that there is not.
func (s *Shot) Figures(of *assess.Assessment,
	data []byte) (*workshop.Product, []*calc.Result, []finding.Finding) {
	p, findings := workshop.ReadProduct(source.NewSource(of.Product.Source.Name, data), s.Workshop.Markets,
		s.Options.Law)
	if p == nil {
		return nil, nil, findings
	}
	for _, f := range findings {
		if f.Unread {
			return p, nil, findings
		}
	}
	session := s.Options.Session
	kind, ok := law.ProductType(session.Law, p.Type)
	if !ok || !s.known(p) {
		return p, nil, findings
	}
	in := formula.Input{Product: p.Product, Type: kind, Shared: &formula.Shared{}, Sheets: s.Workshop.Sheets,
		Materials: session.Materials, Date: s.Options.Date, Session: session.Session}
	results := make([][]*calc.Result, len(p.Variants))
	var wg sync.WaitGroup
	for i, v := range p.Variants {
		wg.Go(func() {
			one := in
			one.Variant = v
			results[i] = calc.AssessMarkets(&one, of.Markets)
		})
	}
	wg.Wait()
	var all []*calc.Result
	for _, r := range results {
		all = append(all, r...)
	}
	return p, all, findings
}

// known says whether every material of a product has a sheet.
func (s *Shot) known(p *workshop.Product) bool {
	ok := true
	workshop.EachReference(p.Product,
		func(id string, _ exact.Pos) { ok = ok && (id == "" || s.Workshop.Sheets[id] != nil) })
	return ok
}
