package law

import (
	"gallipot/calc/law/duties"
	"gallipot/calc/law/table"
	"gallipot/ingredients/exact"
)

// LabelRules returns the rules of one part, in the order of the table.
func LabelRules(t *table.Tables, part string) []*duties.LabelRule {
	var out []*duties.LabelRule
	for _, l := range t.LabelRules {
		if l.Part == part {
			out = append(out, l)
		}
	}
	return out
}

// LabelRule returns one rule. It panics on an unknown id, as [Tables.Fact] does.
func LabelRule(t *table.Tables, id string) *duties.LabelRule {
	for _, l := range t.LabelRules {
		if l.Key == id {
			return l
		}
	}
	panic("law: no label rule " + id)
}

// LabelBand returns the rule of a part whose bounds hold the figure q, or nil
// where none does.
//
// Units: q is in g or ml for quantities, in % w/w for bands of content, in cm²
// for faces. A figure that equals an upper bound belongs to that band.
func LabelBand(t *table.Tables, part string, q exact.Num) *duties.LabelRule {
	for _, l := range t.LabelRules {
		if l.Part == part && l.Holds(q) {
			return l
		}
	}
	return nil
}
