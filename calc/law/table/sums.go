package table

import (
	"regexp"
	"strings"

	"gallipot/ingredients/exact"
)

// SumKind says how the contents behind a limit row are added.
type SumKind int

// The kinds of sum rule.
const (
	// NoSum: the row states no rule; each substance is compared on its own.
	NoSum SumKind = iota
	// SumAll: the contents of all substances of [Tables.SumRows] are added.
	SumAll
	// SumEach: each substance is compared on its own, on purpose.
	SumEach
	// SumLabel: no limit; a sum above LimitPct asks for the label wording.
	SumLabel
	// SumExclusive: the substances of the row are added and compared with
	// LimitPct, and no substance that only the other rows of [Tables.SumRows]
	// name may be in the same product.
	SumExclusive
)

// Sum is a sum rule in typed form.
type Sum struct {
	Kind SumKind
	// LimitPct is the highest sum in % w/w on the row's basis, or the trigger of
	// SumLabel; nil where the row sets no figure.
	LimitPct *exact.Num
	Strict   bool     // the sum must stay below LimitPct, not at it
	Entries  []string // entries the rule names, such as III/157; empty: the rows of the group
	Words    []string // substances the rule names in part, such as cetrimonium
}

var (
	sumForm   = regexp.MustCompile(`^sum(?:\(([^)]*)\))?(<=|<|>)(max_pct|\d+(?:\.\d+)?)( => label| with .*| and .*)?$`)
	eachForm  = regexp.MustCompile(`^each<=(\d+(?:\.\d+)?)$`)
	entryForm = regexp.MustCompile(`^(?:(II|III|IV|V|VI)/)?(\d+[a-z]?)$`)
	wordForm  = regexp.MustCompile(`^[a-z]+(-[a-z]+)?$`)
)

// sum reads the sum rule of a row.
func (r *record) sum(maxPct *exact.Num) Sum {
	rule := r.text("sum_rule")
	switch {
	case rule == "":
		return Sum{}
	case strings.Contains(rule, "exclude each other"), strings.HasPrefix(rule, "not with any other"):
		return Sum{Kind: SumExclusive, LimitPct: maxPct}
	}
	if m := eachForm.FindStringSubmatch(rule); m != nil {
		return Sum{Kind: SumEach, LimitPct: r.sumFigure(m[1], maxPct)}
	}
	m := sumForm.FindStringSubmatch(rule)
	if m == nil {
		r.fail("sum_rule: %q is not understood", rule)
		return Sum{}
	}
	s := Sum{Kind: SumAll, Strict: m[2] == "<", LimitPct: r.sumFigure(m[3], maxPct)}
	if label := m[4] == " => label"; label != (m[2] == ">") {
		r.fail("sum_rule: > goes with => label")
	} else if label {
		s.Kind = SumLabel
	}
	annex := ""
	for item := range strings.SplitSeq(m[1], ",") {
		item = strings.TrimSpace(item)
		if e := entryForm.FindStringSubmatch(item); e != nil {
			if e[1] != "" {
				annex = e[1]
			}
			s.Entries = append(s.Entries, annex+"/"+e[2])
			continue
		}
		switch {
		case item == "", item == "nano", item == "non-nano": // the rows of the group
		case wordForm.MatchString(item):
			s.Words = append(s.Words, item)
		default:
			r.fail("sum_rule: %q is not understood", item)
		}
	}
	return s
}

func (r *record) sumFigure(text string, maxPct *exact.Num) *exact.Num {
	if text == "max_pct" {
		return maxPct
	}
	n, err := exact.ParseNum(text)
	if err != nil {
		r.fail("sum_rule: %v", err)
		return nil
	}
	if maxPct != nil && !maxPct.Equal(n) && !strings.Contains(r.text("sum_rule"), " with ") {
		r.fail("sum_rule says %s, max_pct says %s", text, maxPct)
	}
	return &n
}

// SumRows returns the rows whose substances are added to those of l, l among
// them, as far as they are in force: the rows of the entries its rule names, or
// the rows of its group with the same condition. A substance is counted with
// the factor of the row it is found in.
func (t *Tables) SumRows(l *Limit, m Market, day exact.Date) []*Limit {
	if l.Sum.Kind == NoSum || l.Sum.Kind == SumEach {
		return []*Limit{l}
	}
	var out []*Limit
	for _, row := range t.Limits {
		if row == l || row.In(m, day) && row.adds(l) {
			out = append(out, row)
		}
	}
	return out
}

// adds says whether the substances of row belong to the sum of l.
func (row *Limit) adds(l *Limit) bool {
	switch {
	case len(l.Sum.Entries) > 0:
		for _, e := range l.Sum.Entries {
			if e == row.Annex+"/"+row.Entry {
				return row.SumGroup == l.SumGroup
			}
		}
		return false
	case len(l.Sum.Words) > 0:
		return row.Annex == l.Annex && row.Condition.Text == l.Condition.Text && row.namesAny(l.Sum.Words)
	case row.SumGroup == "":
		return false
	case l.Sum.Kind == SumExclusive && strings.HasPrefix(l.SumGroup, row.SumGroup+"-"):
		return true // a group with a part of its own, such as alkynoates-allyl
	case row.SumGroup != l.SumGroup:
		return false
	case l.Sum.Kind == SumLabel, l.Sum.Kind == SumExclusive, strings.Contains(l.SumRule, "nano"):
		return true
	}
	return row.Condition.Text == l.Condition.Text
}

func (row *Limit) namesAny(words []string) bool {
	for _, n := range row.Names {
		for _, w := range words {
			if strings.HasPrefix(strings.ToLower(n), w) {
				return true
			}
		}
	}
	return false
}
