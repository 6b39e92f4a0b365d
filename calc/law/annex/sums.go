package annex

import (
	"errors"
	"fmt"
	"slices"

	"gallipot/calc/law/rows"
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
	Entries  []string // Entries of the row's group whose rows are added; empty: those of Groups
	Groups   []string // groups whose rows are added; the row's own among them
	// AnyCondition says that rows of the groups are added whatever their condition;
	// else those with the same one.
	AnyCondition bool
}

var sumKinds = map[string]SumKind{"": NoSum, "all": SumAll, "below": SumAll, "each": SumEach,
	"label": SumLabel, "exclusive": SumExclusive}

// sum reads the sum rule of a row.
func sum(r *rows.Record, l *Limit) Sum {
	word := r.Word("sum", "", "all", "below", "each", "label", "exclusive")
	s := Sum{Kind: sumKinds[word], LimitPct: r.Pct("sum_pct"), Strict: word == "below",
		Entries: Entries(r, "sum_entries"), Groups: r.List("sum_groups"),
		AnyCondition: r.Word("sum_conditions", "", "any") == "any"}
	switch {
	case s.Kind == NoSum:
		if s.LimitPct != nil || s.Entries != nil || s.Groups != nil || s.AnyCondition {
			r.FailIn("sum", errors.New("empty, yet other cells say how to add"))
		}
		return Sum{}
	case s.LimitPct == nil:
		s.LimitPct = l.MaxPct
	case l.MaxPct != nil && s.LimitPct.Less(*l.MaxPct):
		r.FailIn("sum_pct", fmt.Errorf("%s is below max_pct %s", s.LimitPct, l.MaxPct))
	}
	if l.SumGroup != "" && s.Groups == nil {
		s.Groups = []string{l.SumGroup}
	}
	return s
}

// Adds says whether the substances of row belong to the sum of l.
func (row *Limit) Adds(l *Limit) bool {
	switch {
	case len(l.Sum.Entries) > 0:
		return row.SumGroup == l.SumGroup && slices.Contains(l.Sum.Entries, row.Annex+"/"+row.Entry)
	case row.SumGroup == "" || !slices.Contains(l.Sum.Groups, row.SumGroup):
		return false
	}
	return l.Sum.AnyCondition || row.Condition.Text == l.Condition.Text
}
