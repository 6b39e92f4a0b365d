package tabular

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/recipe/columns"
	"gallipot/dossier/transcribe/recipe/terms"
	"gallipot/ingredients/exact"
)

// stats is what a column of amounts holds.
type stats struct {
	columns.Column
	filled   int
	sum      exact.Num
	rest     bool // a line is the rest
	ownUnits int  // cells that print their unit
	base     string
}

// choice says how the columns of amounts are read.
type choice struct {
	primary  stats
	others   []stats
	variants []stats
	phases   []stats // each column is a phase
	ask      string  // why every line is open
}

// stats looks at what each column of amounts holds.
func (b *body) stats() []stats {
	var out []stats
	for _, c := range b.t.Cols {
		if c.Role != columns.IsAmount {
			continue
		}
		s := stats{Column: c, base: b.d.HeadBase(c.Head)}
		units := map[string]int{}
		for _, e := range b.entries {
			a, ok := e.amounts[c.Col]
			if !ok {
				continue
			}
			s.filled++
			if a.Value != "" {
				s.sum = s.sum.Add(figure.Sum(a.Value))
			}
			s.rest = s.rest || a.QS == dose.To100 || a.QS == dose.Open
			if a.Unit != "" {
				s.ownUnits++
				units[a.Unit]++
			}
		}
		if s.Unit == "" && s.ownUnits > 0 {
			best := ""
			for u, n := range units {
				if best == "" || n > units[best] || n == units[best] && u < best {
					best = u
				}
			}
			if formulation.IsMass(best) || s.ownUnits == s.filled {
				s.Unit = best
			}
		}
		if s.filled > 0 || s.Version != "" {
			out = append(out, s)
		}
	}
	return out
}

// rank orders columns of amounts: the lowest is the formula.
func rank(s stats) int {
	switch {
	case s.Share:
		return 6
	case s.Unit == "%":
		return 0
	case s.Unit == "g" && s.Batch == "":
		return 1
	case s.Unit == "parts":
		return 2
	case s.Unit == "" && s.Batch == "":
		return 3
	case s.Unit == "g" || s.Batch != "":
		return 4
	}
	return 5
}

// choose decides which columns are the formula.
func (b *body) choose() choice {
	all := b.stats()
	all = b.visible(all)
	all = b.versions(all)
	var ch choice
	if len(all) == 0 {
		return ch
	}
	b.titleUnit(all)
	if len(all) > 1 && slices.ContainsFunc(all, func(s stats) bool { return s.Version == "trial" }) {
		ch.ask = "trials"
	}
	if cols := b.byPhase(all); cols != nil {
		ch.phases, ch.primary = cols, cols[0]
		return ch
	}
	slices.SortStableFunc(all, func(x, y stats) int { return cmp.Compare(rank(x), rank(y)) })
	if vs := b.byVariant(all); vs != nil {
		ch.variants, ch.primary = vs, vs[0]
		for _, s := range all {
			if !slices.ContainsFunc(vs, func(v stats) bool { return v.Col == s.Col }) {
				ch.others = append(ch.others, s)
			}
		}
		return ch
	}
	ch.primary, ch.others = all[0], all[1:]
	b.preferMass(&ch)
	return ch
}

// preferMass takes a column of masses where the per cents cannot be of the product.
func (b *body) preferMass(ch *choice) {
	i := slices.IndexFunc(ch.others, func(s stats) bool { return s.Unit == "g" || s.Unit == "kg" })
	if ch.primary.Unit != "%" || i < 0 {
		return
	}
	mass := ch.others[i]
	over := exact.Int(101).Less(ch.primary.sum) && mass.filled >= ch.primary.filled
	thin := ch.primary.filled*2 < len(b.entries) && mass.filled > ch.primary.filled
	if !over && !thin && !ch.primary.Share {
		return
	}
	if over {
		b.p.Say("percent-over", "sum", ch.primary.sum.Exact(), "head", ch.primary.Head)
	}
	ch.others[i], ch.primary = ch.primary, mass
}

// visible leaves hidden columns aside where others stand.
func (b *body) visible(all []stats) []stats {
	shown := slices.DeleteFunc(slices.Clone(all), func(s stats) bool { return s.Hidden })
	for _, s := range all {
		if s.Hidden {
			b.p.Say("hidden-column", "head", s.Head, "where", s.Ref)
			if len(shown) > 0 {
				b.leave(s)
			}
		}
	}
	if len(shown) == 0 {
		for _, e := range b.entries {
			e.line.Hidden = true
		}
		return all
	}
	return shown
}

// leave lists a column of amounts that is not read, with what stands in it.
func (b *body) leave(s stats) {
	var parts []string
	for _, e := range b.entries {
		if a, ok := e.amounts[s.Col]; ok {
			parts = append(parts, e.line.Name+" "+a.Printed)
		}
	}
	b.p.LeftOut = append(b.p.LeftOut, strings.TrimSpace(s.Head+": "+strings.Join(parts, ", ")))
}

// versions keeps the columns of the version in use.
func (b *body) versions(all []stats) []stats {
	marked := slices.ContainsFunc(all, func(s stats) bool { return s.Version == "current" })
	olds := slices.ContainsFunc(all, func(s stats) bool { return s.Version == "old" })
	highest := ""
	numbers := 0
	for _, s := range all {
		if terms.IsNumber(s.Version) {
			numbers++
			if highest == "" || terms.VersionLess(highest, s.Version) {
				highest = s.Version
			}
		}
	}
	var out []stats
	for _, s := range all {
		keep := true
		switch {
		case s.Version == "old":
			keep = false
		case terms.IsNumber(s.Version) && (marked || numbers > 1 && s.Version != highest):
			keep = false
		case s.Version == "" && marked && olds && s.Unit == "%" && s.base != "":
			keep = true
		}
		if !keep {
			b.p.Say("older-column", "head", s.Head, "where", s.Ref)
			b.leave(s)
			continue
		}
		out = append(out, s)
	}
	if numbers > 1 && !marked {
		b.p.Say("highest-version", "version", highest)
	}
	if len(out) == 0 {
		return all
	}
	return out
}

// titleUnit gives columns without a unit the one that the title names: "grams for
// one tray".
func (b *body) titleUnit(all []stats) {
	unit := ""
	for _, r := range b.t.Above {
		for _, c := range r.Filled() {
			if u := b.d.UnitInTitle(c.Text); u != "" {
				unit = u
			}
		}
	}
	if unit == "" && b.t.Sheet != "" {
		unit = b.d.UnitInTitle(b.t.Sheet)
	}
	for i := range all {
		if all[i].Unit == "" && unit != "" {
			all[i].Unit = unit
		}
	}
}

// byPhase says whether each column of amounts is a phase.
func (b *body) byPhase(all []stats) []stats {
	if len(all) < 2 {
		return nil
	}
	for _, s := range all {
		if _, ok := b.d.PhaseOf(s.base); !ok || s.base == "" {
			return nil
		}
	}
	for _, e := range b.entries {
		n := 0
		for _, s := range all {
			if _, ok := e.amounts[s.Col]; ok {
				n++
			}
		}
		if n > 1 {
			return nil
		}
	}
	return all
}

// byVariant finds columns whose heads are names: one for each variant.
func (b *body) byVariant(all []stats) []stats {
	var named []stats
	for _, s := range all {
		if s.base != "" && s.Batch == "" && !s.Share && s.Version == "" {
			named = append(named, s)
		}
	}
	if len(named) < 2 {
		return nil
	}
	unit := named[0].Unit
	same := slices.DeleteFunc(slices.Clone(named), func(s stats) bool { return s.Unit != unit })
	if len(same) < 2 {
		return nil
	}
	seen := map[string]bool{}
	for _, s := range same {
		if seen[lexicon.Fold(s.base)] {
			return nil
		}
		seen[lexicon.Fold(s.base)] = true
	}
	for _, s := range all { // a column for the whole formula goes before
		if s.base == "" && s.Unit == unit && s.filled >= len(b.entries)-1 {
			return nil
		}
	}
	slices.SortStableFunc(same, func(x, y stats) int { return x.Col - y.Col })
	return same
}
