package tabular

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/formulation"
	"gallipot/ingredients/exact"
)

// fractions turns shares of 1 into per cent where the column sums to 1.
func (b *body) fractions(ch *choice) {
	cols := []*stats{&ch.primary}
	for i := range ch.variants {
		cols = append(cols, &ch.variants[i])
	}
	for _, s := range cols {
		if s.Unit != "%" && s.Unit != "" || s.ownUnits > 0 || s.filled < 2 ||
			exact.Int(1).Add(figure.Sum("0.006")).Less(s.sum) {
			continue
		}
		if figure.Near(s.sum, exact.Int(1), figure.Sum("0.0051")) && !s.rest {
			hundred := exact.Int(100)
			for _, e := range b.entries {
				if a, ok := e.amounts[s.Col]; ok {
					for _, v := range []*string{&a.Value, &a.Low, &a.High} {
						if *v != "" {
							*v = figure.Sum(*v).Mul(hundred).Exact()
						}
					}
					e.amounts[s.Col] = a
				}
			}
			for i := range b.totals {
				if a, ok := b.totals[i].amounts[s.Col]; ok && a.Value != "" {
					a.Value = figure.Sum(a.Value).Mul(hundred).Exact()
					b.totals[i].amounts[s.Col] = a
				}
			}
			s.sum, s.Unit = s.sum.Mul(hundred), "%"
			b.p.Say("shares-of-one", "head", s.Head)
		} else if s.rest && s.sum.Less(exact.Int(1)) && s.filled > 2 {
			ch.ask = "shares"
		}
	}
}

// compare looks whether grams and per cents of the same lines agree.
func (b *body) compare(ch *choice) {
	if ch.primary.Unit != "%" || ch.primary.Share || len(ch.variants) > 0 {
		return
	}
	for _, s := range ch.others {
		if s.Unit != "g" && s.Batch == "" || s.Share {
			continue
		}
		scale := b.scale(ch.primary, s)
		if scale.Sign() <= 0 {
			continue
		}
		for _, e := range b.entries {
			x, ok1 := e.amounts[ch.primary.Col]
			y, ok2 := e.amounts[s.Col]
			if !ok1 || !ok2 || x.Value == "" || y.Value == "" || x.Unit != "" && x.Unit != "%" {
				continue
			}
			want := figure.Sum(x.Value).Mul(scale)
			slack := figure.HalfStep(y.Value).Add(figure.HalfStep(x.Value).Mul(scale)).Mul(figure.Sum("1.02"))
			if !figure.Near(want, figure.Sum(y.Value), slack) {
				x.Doubt, x.Note = dose.Changed, strings.Trim(x.Note+"; "+formulation.Sentence("note-grams",
					"printed", y.Printed), "; ")
				e.amounts[ch.primary.Col] = x
				b.p.Say("columns-differ", "name", e.line.Name, "one", x.Printed, "other", alsoText(y, s))
			}
		}
	}
}

// scale is how many grams one per cent is in a column: by the batch its head
// names, otherwise by the middle one of its lines.
func (b *body) scale(pct, mass stats) exact.Num {
	var ratios []exact.Num
	for _, e := range b.entries {
		x, ok1 := e.amounts[pct.Col]
		y, ok2 := e.amounts[mass.Col]
		if ok1 && ok2 && x.Value != "" && y.Value != "" && figure.Sum(x.Value).Sign() > 0 {
			ratios = append(ratios, figure.Sum(y.Value).Quo(figure.Sum(x.Value)))
		}
	}
	if len(ratios) < 3 {
		return exact.Num{}
	}
	slices.SortFunc(ratios, exact.Num.Cmp)
	return ratios[len(ratios)/2]
}
