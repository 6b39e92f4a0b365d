package table

import (
	"slices"
	"strings"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/trade"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// StateOf returns the state of the annexes of a market; NI has that of the EU. It
// panics on a market the table has not, which the tests rule out.
func (t *Tables) StateOf(m rows.Market) *annex.LawState {
	for _, s := range t.states {
		if s.Market == m.Annexes() {
			return s
		}
	}
	panic("law: no state of " + string(m))
}

// SumRows returns the rows whose substances are added to those of l, l among
// them, as far as they are in force: the rows of the entries its rule names, or
// the rows of its groups. A substance is counted with
// the factor of the row it is found in.
func (t *Tables) SumRows(l *annex.Limit, m rows.Market, day exact.Date) []*annex.Limit {
	if l.Sum.Kind == annex.NoSum || l.Sum.Kind == annex.SumEach {
		return []*annex.Limit{l}
	}
	var out []*annex.Limit
	for _, row := range t.Limits {
		if row == l || row.In(m, day) && row.Adds(l) {
			out = append(out, row)
		}
	}
	return out
}

// PolymerOf returns what is known of a synthetic polymer by its name, nil where
// the name is none of the table.
func (t *Tables) PolymerOf(inci string) *trade.Polymer {
	var room [64]byte
	return t.byPolymer[string(ingredients.AppendKey(room[:0], inci))]
}

// IsSubstrate says whether a substance is one that colourants are laid on.
func (t *Tables) IsSubstrate(inci string) bool {
	same := t.Names().Same(inci)
	for _, s := range t.substrates {
		if same[ingredients.NameKey(s.Key)] {
			return true
		}
	}
	return false
}

// UsePhrase returns the longest phrase of the table that stands in a text, or nil.
func (t *Tables) UsePhrase(text string) *trade.UsePhrase {
	text = " " + strings.Join(strings.Fields(strings.ToLower(text)), " ") + " "
	var best *trade.UsePhrase
	for _, p := range t.usePhrases {
		if strings.Contains(text, " "+p.Phrase) && (best == nil || len(p.Phrase) > len(best.Phrase)) {
			best = p
		}
	}
	return best
}

// AcidPreservative returns the row of a name, or nil.
func (t *Tables) AcidPreservative(inci string) *trade.AcidPreservative {
	var room [64]byte
	key := ingredients.AppendKey(room[:0], inci)
	for _, a := range t.acids {
		if slices.ContainsFunc(a.Keys, func(k string) bool { return k == string(key) }) {
			return a
		}
	}
	return nil
}

// AreaWords returns the customary words for body areas, in the order of the table.
func (t *Tables) AreaWords() []*trade.AreaWord { return slices.Clone(t.areaWords) }

// TraceGuides returns the guides for a product type, of each group the row that
// is made most closely for it, in the order of the table.
func (t *Tables) TraceGuides(p *trade.ProductType) []*trade.TraceGuide {
	best := map[string]int{}
	for _, g := range t.traceGuides {
		best[g.Group] = max(best[g.Group], g.Specific(p))
	}
	var out []*trade.TraceGuide
	for _, g := range t.traceGuides {
		if s := g.Specific(p); s > 0 && s == best[g.Group] {
			out = append(out, g)
		}
	}
	return out
}

// TraceGuideRows returns all rows in the order of the table.
func (t *Tables) TraceGuideRows() []*trade.TraceGuide { return slices.Clone(t.traceGuides) }

// TTCExcluded returns the group that a name points to, or nil. A name that
// points to none may still belong to one: structure decides, not the name.
func (t *Tables) TTCExcluded(inci string) *trade.TTCExclusion {
	key := ingredients.NameKey(inci)
	words := strings.FieldsFunc(key, func(r rune) bool {
		return r == ' ' || r == '/' || r == '(' || r == ')' ||
			r == ','
	})
	for _, x := range t.TTCExclusions {
		if slices.ContainsFunc(x.Words, func(w string) bool { return slices.Contains(words, w) }) ||
			slices.ContainsFunc(x.Parts, func(p string) bool { return strings.Contains(key, p) }) {
			return x
		}
	}
	return nil
}
