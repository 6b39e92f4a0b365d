package formula

import (
	"fmt"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Share is one raw material of a mixture and how much of it there is.
type Share struct {
	Ingredient string
	Pct        exact.Num // % w/w of the mixture
	Phase      string
	Slot       string    // the slot it fills; "" for a line of its own
	Added      bool      // stirred in after 100 parts of base
	Rest       bool      // the q.s. line
	Pos        exact.Pos // the line of the formula
	FillPos    exact.Pos // where the variant names the material; none for a line of its own
}

// Mixture is a resolved formula: the whole of a variant, or one portion of it.
type Mixture struct {
	Name     string    // "" for the whole
	SharePct exact.Num // % of the filled pack; 100 for the whole
	Shares   []Share   // in the order of the formula, then additions
}

// Recipe is a variant with its slots filled: the whole, and each portion that a
// user may take alone.
type Recipe struct {
	Whole    Mixture
	Portions []Mixture // empty when the pack is filled with one mixture
	// TotalPct is what the percentages of the formula add up to, as typed with
	// q.s. counted as the rest; 100 for a formula in grams.
	TotalPct exact.Num
}

// Mixtures returns the whole and then each portion: every limit is checked on
// all of them.
func (r *Recipe) Mixtures() []Mixture {
	return append([]Mixture{r.Whole}, r.Portions...)
}

// Resolve fills the slots of a variant and turns amounts into % w/w.
//
//	percent: w = typed amount; q.s. = 100 − Σ others; an unfilled slot goes to q.s.
//	grams:   w = mass / Σ masses × 100
//	portions: w(whole) = Σ share(portion) × w(portion)
//	additions after 100: w = parts / (100 + Σ parts) × 100, the base shrinks alike
//
// Units: % w/w. Not rounded.
// tolerance is how far typed percentages may be from 100: room for rounding,
// none for a forgotten line.
//
// Findings: stop "not-100" when percentages miss 100 by more than that, stop
// "over-100" when they leave nothing for q.s., stop "empty-formula"; note
// "rescaled" when an unfilled slot has no q.s. line to go to. After a stop the
// shares are scaled to 100 so that the rest can still be looked at.
func Resolve(p *Product, v *Variant, tolerance exact.Num) (*Recipe, []finding.Finding) {
	var r Recipe
	var findings []finding.Finding
	if len(v.Portions) == 0 {
		var shares []Share
		shares, r.TotalPct, findings = resolveBase(p, v, nil, tolerance)
		r.Whole = Mixture{SharePct: Hundred, Shares: addAfter(shares, v.ThenAdd)}
		return &r, findings
	}
	whole := Mixture{SharePct: Hundred}
	for i := range v.Portions {
		part := &v.Portions[i]
		shares, total, fs := resolveBase(p, v, part, tolerance)
		r.TotalPct = total
		findings = append(findings, fs...)
		name := part.Name
		if name == "" {
			name = fmt.Sprintf("portion %d", i+1)
		}
		shares = addAfter(shares, v.ThenAdd)
		r.Portions = append(r.Portions, Mixture{Name: name, SharePct: part.SharePct, Shares: shares})
		for _, s := range shares {
			s.Pct = s.Pct.Pct(part.SharePct)
			whole.Add(s)
		}
	}
	r.Whole = whole
	return &r, findings
}

// Add puts a share into the mixture, together with an equal line if there is one.
func (m *Mixture) Add(s Share) {
	for i := range m.Shares {
		if t := &m.Shares[i]; t.Ingredient == s.Ingredient && t.Pos == s.Pos && t.Added == s.Added {
			t.Pct = t.Pct.Add(s.Pct)
			return
		}
	}
	m.Shares = append(m.Shares, s)
}

// base is a formula while it is being resolved.
type base struct {
	shares   []Share
	rest     int // index of the q.s. share, -1 when there is none
	filled   exact.Num
	unfilled exact.Num
	empty    []Line // lines whose slot the variant leaves empty
}

func resolveBase(p *Product, v *Variant, part *Portion,
	tolerance exact.Num) ([]Share, exact.Num, []finding.Finding) {
	b := base{rest: -1}
	for _, phase := range p.Formula.Phases {
		for _, line := range phase.Lines {
			b.take(phase, line, v, part)
		}
	}
	if len(b.shares) == 0 {
		f := p.About(finding.NewFinding(finding.Stop, "empty-formula", v.Pos, nil)).At(p.Pos.File, "formula", nil)
		return nil, exact.Num{}, []finding.Finding{f}
	}
	if p.Formula.Basis == Grams {
		findings := b.rescale(b.filled, p)
		return b.shares, Hundred, findings
	}
	return b.percent(p, tolerance)
}

func (b *base) take(phase Phase, line Line, v *Variant, part *Portion) {
	s := Share{Ingredient: line.Ingredient, Pct: line.Amount, Phase: phase.ID, Slot: line.Slot, Rest: line.Rest,
		Pos: line.Pos}
	if line.Slot == "" {
		if line.Rest {
			b.rest = len(b.shares)
		}
		b.filled = b.filled.Add(line.Amount)
		b.shares = append(b.shares, s)
		return
	}
	fill := findFill(line.Slot, v, part)
	if fill == nil {
		b.unfilled = b.unfilled.Add(line.Amount)
		b.empty = append(b.empty, line)
		return
	}
	b.filled = b.filled.Add(line.Amount)
	for _, f := range fill.Parts {
		s.Ingredient, s.FillPos = f.Ingredient, f.Pos
		s.Pct = line.Amount.Pct(f.SharePct)
		b.shares = append(b.shares, s)
	}
}

// findFill looks in the portion first, then in the variant.
func findFill(slot string, v *Variant, part *Portion) *Fill {
	lists := [][]Fill{v.Fill}
	if part != nil {
		lists = [][]Fill{part.Fill, v.Fill}
	}
	for _, fills := range lists {
		for i := range fills {
			if fills[i].Slot == slot {
				return &fills[i]
			}
		}
	}
	return nil
}

func (b *base) percent(p *Product, tolerance exact.Num) ([]Share, exact.Num, []finding.Finding) {
	typed := b.filled.Add(b.unfilled)
	if b.rest >= 0 {
		left := Hundred.Sub(typed)
		if left.Sign() <= 0 {
			f := p.About(finding.NewFinding(finding.Stop, "over-100", b.shares[b.rest].Pos,
				With().Num("sum", typed, "%", finding.AsIs).Num("over", typed.Sub(Hundred), "%", finding.AsIs))).
				At(p.Pos.File, "formula", nil)
			f.Sum = b.terms()
			b.shares[b.rest].Pct = exact.Num{}
			return scaled(b.shares, Hundred.Quo(typed)), typed, []finding.Finding{f}
		}
		b.shares[b.rest].Pct = left.Add(b.unfilled)
		return b.shares, Hundred, nil
	}
	diff := typed.Sub(Hundred)
	if tolerance.Less(diff) || diff.Less(tolerance.Neg()) {
		v, side := With().Num("sum", typed, "%", finding.AsIs), "short"
		if diff.Sign() > 0 {
			side = "over"
		} else {
			diff = diff.Neg()
		}
		f := p.About(finding.NewFinding(finding.Stop, "not-100", p.Formula.Pos,
			v.Num(side, diff, "%", finding.AsIs))).At(p.Pos.File, "formula", nil)
		f.Sum = b.terms()
		return scaled(b.shares, Hundred.Quo(b.filled)), typed, []finding.Finding{f}
	}
	findings := b.rescale(b.filled, p)
	return b.shares, typed, findings
}

// rescale brings the filled lines to 100 where something was left out; a formula
// in grams is always brought there.
func (b *base) rescale(filled exact.Num, p *Product) []finding.Finding {
	var findings []finding.Finding
	for _, line := range b.empty {
		findings = append(findings,
			p.About(finding.NewFinding(finding.Note, "rescaled", line.Pos, With().Name("slot", line.Slot))).
				At(line.Pos.File, "amount", nil))
	}
	if p.Formula.Basis == Grams || len(b.empty) > 0 {
		b.shares = scaled(b.shares, Hundred.Quo(filled))
	}
	return findings
}

func (b *base) terms() []finding.Term {
	var terms []finding.Term
	for i, s := range b.shares {
		if i != b.rest {
			terms = append(terms, finding.Term{Pos: s.Pos, Key: "share", Values: With().
				Num("share", s.Pct, "%", finding.AsIs).Is("material", (&Input{}).Material(s.Ingredient))})
		}
	}
	for _, l := range b.empty {
		terms = append(terms, finding.Term{Pos: l.Pos, Key: "empty-slot", Values: With().Num("share", l.Amount, "%",
			finding.AsIs).Name("slot", l.Slot)})
	}
	return terms
}

func scaled(shares []Share, factor exact.Num) []Share {
	for i := range shares {
		shares[i].Pct = shares[i].Pct.Mul(factor)
	}
	return shares
}

// addAfter stirs parts into 100 parts of base and recalculates everything.
func addAfter(shares []Share, additions []Addition) []Share {
	if len(additions) == 0 {
		return shares
	}
	total := Hundred
	for _, a := range additions {
		total = total.Add(a.Parts)
	}
	factor := Hundred.Quo(total)
	shares = scaled(shares, factor)
	for _, a := range additions {
		shares = append(shares, Share{Ingredient: a.Ingredient, Pct: a.Parts.Mul(factor), Added: true, Pos: a.Pos})
	}
	return shares
}

// About returns a finding that the maker settles in the product's file.
func (p *Product) About(f finding.Finding) finding.Finding {
	return (&Input{Product: p}).OnProduct(f).By(finding.TheMaker)
}
