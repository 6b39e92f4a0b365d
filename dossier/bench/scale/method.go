package scale

import (
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// method is how the product is made, for the page of a line: the steps keep their order and
// their numbers, since one of a phase may come long after the phase is weighed.
type method struct {
	Phase, Heat string // of the line: what the phase is heated to, °C
	Here        []methodStep
	All         []methodStep
}

type methodStep struct {
	N                              int
	Phase, Do, TempC, Minutes, RPM string
}

// methodAt is what the method says at a line of a batch; behind the last line it is all of it.
func methodAt(p *workshop.Product, b *workshop.Batch, i int) method {
	m := method{}
	if p == nil {
		return m
	}
	if i < len(b.Lines) {
		m.Phase = b.Lines[i].Phase
	}
	for _, ph := range p.Formula.Phases {
		if ph.ID == m.Phase && m.Phase != "" {
			m.Heat = figure(ph.HeatC)
		}
	}
	for n, s := range p.Process {
		x := methodStep{n + 1, s.Phase, s.Do, figure(s.TempC), figure(s.Minutes), figure(s.RPM)}
		m.All = append(m.All, x)
		if m.Phase != "" && s.Phase == m.Phase {
			m.Here = append(m.Here, x)
		}
	}
	return m
}

func figure(n *exact.Num) string {
	if n == nil {
		return ""
	}
	return n.Decimal()
}
