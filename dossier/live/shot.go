package live

import (
	"sync"

	"gallipot/dossier"
	"gallipot/ingredients"
)

// Shot is a workshop as it stood at one moment, with what was computed from it since.
type Shot struct {
	// Number grows with every change.
	Number int
	// Workshop is nil where the folder has no workshop.yaml.
	Workshop *dossier.Workshop
	Findings []ingredients.Finding // of reading
	Options  dossier.Options

	mu       sync.Mutex
	assessed map[string]func() *dossier.Assessment
	checked  func() checked
}

type checked struct {
	as      []*dossier.Assessment
	batches []ingredients.Finding
}

// How many products are kept computed with all their results.
const mostAssessed = 40

// Assess returns a product computed on the day of the shot. It is computed once.
func (s *Shot) Assess(p *dossier.Product) *dossier.Assessment {
	s.mu.Lock()
	if s.assessed == nil || len(s.assessed) > mostAssessed {
		s.assessed = map[string]func() *dossier.Assessment{}
	}
	once := s.assessed[p.Source.Name]
	if once == nil {
		once = sync.OnceValue(func() *dossier.Assessment { return s.Workshop.Assess(p, s.Options) })
		s.assessed[p.Source.Name] = once
	}
	s.mu.Unlock()
	return once()
}

// Check returns the findings of all products that can be computed, and those of batches.
// Results are let go, as those of dossier.Workshop.CheckAll.
func (s *Shot) Check() ([]*dossier.Assessment, []ingredients.Finding) {
	s.mu.Lock()
	if s.checked == nil {
		s.checked = sync.OnceValue(func() checked {
			as, batches := s.Workshop.CheckAll(s.Workshop.Computable(s.Workshop.Products), nil, s.Options)
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
func (s *Shot) Trial(name string, data []byte) (*dossier.Assessment, []ingredients.Finding) {
	p, findings := dossier.ReadProduct(ingredients.NewSource(name, data), s.Workshop.Markets)
	if p == nil {
		return nil, findings
	}
	for _, f := range findings {
		if f.Unread {
			return nil, findings
		}
	}
	if computable := s.Workshop.Computable([]*dossier.Product{p}); len(computable) == 0 {
		return nil, findings
	}
	return s.Workshop.Assess(p, s.Options), findings
}
