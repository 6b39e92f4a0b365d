package product

import (
	"gallipot/dossier/assess"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/decide"
	"gallipot/dossier/edit/history"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// withBatches is an assessment with what is open in the records of its batches.
func withBatches(v *frame.Visit, a *assess.Assessment) *assess.Assessment {
	all := *a
	all.Findings = v.Open(a)
	return &all
}

// on makes the decisions on what is asked of a product.
func on(a *assess.Assessment) frame.On {
	return func(f *finding.Finding) (workshop.Decision, bool) { return decide.On(a, f, "") }
}

// saveDecision writes what was decided on something that is asked, for the values that were
// shown. A stop cannot be decided.
func saveDecision(v *frame.Visit) error {
	p, a, form, err := computed(v)
	if err != nil {
		return err
	}
	a = withBatches(v, a)
	d, about, err := v.Decision(a.Findings, on(a))
	if err != nil {
		return err
	}
	data, err := decide.Added(p.Source, d)
	if err != nil {
		return err
	}
	return v.SaveFiles(history.Label{Thing: "decision on " + p.Name, New: v.Names().
		Message(about), Place: form.Back}, form.Back,
		history.Change{Name: p.Source.Name, Base: history.Hash(p.Source.Bytes), Data: data})
}
