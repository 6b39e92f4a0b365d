package live

import (
	"sync"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/workshop"
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
	assessed map[string]func() *assess.Assessment
	checked  func() checked
}

type checked struct {
	as      []*assess.Assessment
	batches []finding.Finding
}

// How many products are kept computed with all their results.
const mostAssessed = 40

// Assess returns a product computed on the day of the shot. It is computed once.
func (s *Shot) Assess(p *workshop.Product) *assess.Assessment {
	s.mu.Lock()
	if s.assessed == nil || len(s.assessed) > mostAssessed {
		s.assessed = map[string]func() *assess.Assessment{}
	}
	once := s.assessed[p.Source.Name]
	if once == nil {
		once = sync.OnceValue(func() *assess.Assessment { return dossier.Assess(s.Workshop, p, s.Options) })
		s.assessed[p.Source.Name] = once
	}
	s.mu.Unlock()
	return once()
}

// Check returns the findings of all products that can be computed, and those of batches.
// Results are let go, as those of dossier.Workshop.CheckAll.
func (s *Shot) Check() ([]*assess.Assessment, []finding.Finding) {
	s.mu.Lock()
	if s.checked == nil {
		s.checked = sync.OnceValue(func() checked {
			as, batches := dossier.CheckAll(s.Workshop, s.Workshop.Computable(s.Workshop.Products), nil, s.Options)
			return checked{as, batches}
		})
	}
	do := s.checked
	s.mu.Unlock()
	c := do()
	return c.as, c.batches
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
	need := func(id string) { ok = ok && (id == "" || s.Workshop.Sheets[id] != nil) }
	for _, phase := range p.Formula.Phases {
		for _, line := range phase.Lines {
			need(line.Ingredient)
		}
	}
	fills := func(list []formula.Fill) {
		for _, f := range list {
			for _, part := range f.Parts {
				need(part.Ingredient)
			}
		}
	}
	for _, v := range p.Variants {
		fills(v.Fill)
		for _, portion := range v.Portions {
			fills(portion.Fill)
		}
		for _, a := range v.ThenAdd {
			need(a.Ingredient)
		}
	}
	return ok
}
