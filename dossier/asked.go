package dossier

import (
	"strings"

	"gallipot/dossier/assess"
	"gallipot/dossier/batch"
	"gallipot/dossier/decide"
	"gallipot/dossier/stock"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// Asked is what there is to say about a product and its batches, or about a lot, with the
// decisions that can be written on what of it is asked.
type Asked struct {
	Found []finding.Finding
	File  string // where a decision is written

	on func(f *finding.Finding) (workshop.Decision, bool)
}

// AskedOfLot is what is asked about a lot; a lot is of no one product.
func AskedOfLot(w *workshop.Workshop, lot *workshop.Lot, opt assess.Options) *Asked {
	return &Asked{stock.Of(w, opt.Date).FindingsOn(lot.Code), "workshop.yaml",
		func(f *finding.Finding) (workshop.Decision, bool) { return decide.OnLot(f, opt.Date), true }}
}

// AskedOf is what is asked of a product, to be decided for one variant where that is named;
// with only, the others are left out.
func AskedOf(w *workshop.Workshop, p *workshop.Product, variant string, only bool, opt assess.Options) *Asked {
	a := Assess(w, p, opt)
	if only {
		a = a.Only([]string{variant})
	}
	found := append(a.Findings, batch.BatchFindings(w, []*assess.Assessment{a})...)
	return &Asked{found, p.File(),
		func(f *finding.Finding) (workshop.Decision, bool) { return decide.On(a, f, variant) }}
}

// Choice is what of Asked has a code, and a subject where one is named.
type Choice struct {
	Decisions []workshop.Decision // without words yet
	Subjects  []string            // of them
	Whole     bool                // all can be written for the variant alone
	Codes     []string            // of all that is asked
	Others    []string            // subjects of the code beside the one named
}

// Choose finds what a decision is to be about.
func (x *Asked) Choose(code, subject string) Choice {
	c := Choice{Whole: true}
	for i := range x.Found {
		f := &x.Found[i]
		if !decide.Can(f) {
			continue
		}
		d, ok := x.on(f)
		c.Codes = words.AddOnce(c.Codes, d.Code)
		switch {
		case d.Code != code:
		case !decide.Named(f, subject) && !strings.EqualFold(d.Subject, subject):
			c.Others = words.AddOnce(c.Others, d.Subject)
		default:
			c.Decisions, c.Subjects = append(c.Decisions, d), words.AddOnce(c.Subjects, d.Subject)
			c.Whole = c.Whole && ok
		}
	}
	return c
}
