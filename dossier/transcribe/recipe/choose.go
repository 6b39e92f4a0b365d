package recipe

import (
	"cmp"
	"regexp"
	"slices"
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/ingredients/exact"
)

// stats is what a column of amounts holds.
type stats struct {
	column
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

func (b *body) stats() []stats {
	var out []stats
	for _, c := range b.t.cols {
		if c.role != isAmount {
			continue
		}
		s := stats{column: c, base: b.d.headBase(c.head)}
		units := map[string]int{}
		for _, e := range b.entries {
			a, ok := e.amounts[c.col]
			if !ok {
				continue
			}
			s.filled++
			if a.Value != "" {
				s.sum = s.sum.Add(num(a.Value))
			}
			s.rest = s.rest || a.QS == dose.To100 || a.QS == dose.Open
			if a.Unit != "" {
				s.ownUnits++
				units[a.Unit]++
			}
		}
		if s.unit == "" && s.ownUnits > 0 {
			best := ""
			for u, n := range units {
				if best == "" || n > units[best] || n == units[best] && u < best {
					best = u
				}
			}
			if massy(best) || s.ownUnits == s.filled {
				s.unit = best
			}
		}
		if s.filled > 0 || s.version != "" {
			out = append(out, s)
		}
	}
	return out
}

func massy(unit string) bool {
	switch unit {
	case "%", "g", "kg", "mg", "oz", "lb", "parts", "ppm":
		return true
	}
	return false
}

func rank(s stats) int {
	switch {
	case s.share:
		return 6
	case s.unit == "%":
		return 0
	case s.unit == "g" && s.batch == "":
		return 1
	case s.unit == "parts":
		return 2
	case s.unit == "" && s.batch == "":
		return 3
	case s.unit == "g" || s.batch != "":
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
	if len(all) > 1 && slices.ContainsFunc(all, func(s stats) bool { return s.version == "trial" }) {
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
			if !slices.ContainsFunc(vs, func(v stats) bool { return v.col == s.col }) {
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
	i := slices.IndexFunc(ch.others, func(s stats) bool { return s.unit == "g" || s.unit == "kg" })
	if ch.primary.unit != "%" || i < 0 {
		return
	}
	mass := ch.others[i]
	over := exact.Int(101).Less(ch.primary.sum) && mass.filled >= ch.primary.filled
	thin := ch.primary.filled*2 < len(b.entries) && mass.filled > ch.primary.filled
	if !over && !thin && !ch.primary.share {
		return
	}
	if over {
		b.p.say("percent-over", "sum", ch.primary.sum.Exact(), "head", ch.primary.head)
	}
	ch.others[i], ch.primary = ch.primary, mass
}

// visible leaves hidden columns aside where others stand.
func (b *body) visible(all []stats) []stats {
	shown := slices.DeleteFunc(slices.Clone(all), func(s stats) bool { return s.hidden })
	for _, s := range all {
		if s.hidden {
			b.p.say("hidden-column", "head", s.head, "where", s.ref)
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
		if a, ok := e.amounts[s.col]; ok {
			parts = append(parts, e.line.Name+" "+a.Printed)
		}
	}
	b.p.LeftOut = append(b.p.LeftOut, strings.TrimSpace(s.head+": "+strings.Join(parts, ", ")))
}

// versions keeps the columns of the version in use.
func (b *body) versions(all []stats) []stats {
	marked := slices.ContainsFunc(all, func(s stats) bool { return s.version == "current" })
	olds := slices.ContainsFunc(all, func(s stats) bool { return s.version == "old" })
	highest := ""
	numbers := 0
	for _, s := range all {
		if isNumber(s.version) {
			numbers++
			if highest == "" || versionLess(highest, s.version) {
				highest = s.version
			}
		}
	}
	var out []stats
	for _, s := range all {
		keep := true
		switch {
		case s.version == "old":
			keep = false
		case isNumber(s.version) && (marked || numbers > 1 && s.version != highest):
			keep = false
		case s.version == "" && marked && olds && s.unit == "%" && s.base != "":
			keep = true
		}
		if !keep {
			b.p.say("older-column", "head", s.head, "where", s.ref)
			b.leave(s)
			continue
		}
		out = append(out, s)
	}
	if numbers > 1 && !marked {
		b.p.say("highest-version", "version", highest)
	}
	if len(out) == 0 {
		return all
	}
	return out
}

func isNumber(s string) bool { return s != "" && s[0] >= '0' && s[0] <= '9' }

// versionLess compares "1.9" with "1.10".
func versionLess(a, b string) bool {
	x, y := strings.Split(a, "."), strings.Split(b, ".")
	for i := range min(len(x), len(y)) {
		if n, m := num(x[i]), num(y[i]); !n.Equal(m) {
			return n.Less(m)
		}
	}
	return len(x) < len(y)
}

// titleUnit gives columns without a unit the one that the title names: "grams for
// one tray".
func (b *body) titleUnit(all []stats) {
	unit := ""
	for _, r := range b.t.above {
		for _, c := range r.filled() {
			if u := b.d.unitInTitle(c.text); u != "" {
				unit = u
			}
		}
	}
	if unit == "" && b.t.sheet != "" {
		unit = b.d.unitInTitle(b.t.sheet)
	}
	for i := range all {
		if all[i].unit == "" && unit != "" {
			all[i].unit = unit
		}
	}
}

var percentTitle = regexp.MustCompile(`(?i)(^|\s)(in|amounts|all)\s+%|%\s+(by|w|of the whole)`)

// unitInTitle finds the words of a title that say what all amounts are.
func (d *doc) unitInTitle(s string) string {
	f := " " + lexicon.Fold(s) + " "
	for _, w := range []string{"grams", "gram", "gramm", "grammes", "grammi", "gramos"} {
		if strings.Contains(f, " "+w+" ") && !strings.ContainsAny(beforeWord(f, w), "0123456789") {
			return "g"
		}
	}
	switch {
	case strings.Contains(f, " in g ") || strings.Contains(f, " all in g ") || strings.Contains(s, "(g)"):
		return "g"
	case strings.Contains(f, " percent ") || strings.Contains(f, " per cent ") ||
		strings.Contains(f, " prozent ") || strings.Contains(s, "(%)") || percentTitle.MatchString(s) || strings.Contains(s, "% w/w") ||
		strings.Contains(f, " pourcent ") || strings.Contains(f, " in percent "):
		return "%"
	case strings.Contains(f, " in parts ") || strings.Contains(f, " parts by weight ") ||
		strings.Contains(f, " in teilen "):
		return "parts"
	}
	return ""
}

func beforeWord(f, w string) string {
	i := strings.Index(f, " "+w+" ")
	words := strings.Fields(f[:i+1])
	if len(words) == 0 {
		return ""
	}
	return words[len(words)-1]
}

// byPhase says whether each column of amounts is a phase.
func (b *body) byPhase(all []stats) []stats {
	if len(all) < 2 {
		return nil
	}
	for _, s := range all {
		if _, ok := b.d.phaseOf(s.base); !ok || s.base == "" {
			return nil
		}
	}
	for _, e := range b.entries {
		n := 0
		for _, s := range all {
			if _, ok := e.amounts[s.col]; ok {
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
		if s.base != "" && s.batch == "" && !s.share && s.version == "" {
			named = append(named, s)
		}
	}
	if len(named) < 2 {
		return nil
	}
	unit := named[0].unit
	same := slices.DeleteFunc(slices.Clone(named), func(s stats) bool { return s.unit != unit })
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
		if s.base == "" && s.unit == unit && s.filled >= len(b.entries)-1 {
			return nil
		}
	}
	slices.SortStableFunc(same, func(x, y stats) int { return x.col - y.col })
	return same
}
