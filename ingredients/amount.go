package ingredients

import (
	"fmt"
	"strings"
)

// Range is a content known between bounds, in % w/w unless its holder says
// otherwise. Min ≤ Typ ≤ Max.
type Range struct {
	Min Num `json:"min"`     // least content, %
	Typ Num `json:"typical"` // content to order a list by, %
	Max Num `json:"max"`     // highest content; limits are compared with it, %
}

// Exactly returns the range that is n alone.
func Exactly(n Num) Range { return Range{n, n, n} }

// Add returns the sum of two ranges, bound by bound.
func (r Range) Add(s Range) Range {
	return Range{r.Min.Add(s.Min), r.Typ.Add(s.Typ), r.Max.Add(s.Max)}
}

// Scale returns r with each bound multiplied by f, which must not be negative.
func (r Range) Scale(f Num) Range {
	return Range{r.Min.Mul(f), r.Typ.Mul(f), r.Max.Mul(f)}
}

// Pct returns r as a share of a part that is pct per cent of the whole.
func (r Range) Pct(pct Num) Range { return r.Scale(pct.Quo(Int(100))) }

// Cover returns the smallest range that holds both r and s; its Typ is the
// higher of the two, the cautious choice.
func (r Range) Cover(s Range) Range {
	return Range{r.Min.Min(s.Min), r.Typ.Max(s.Typ), r.Max.Max(s.Max)}
}

// IsExact says whether the bounds coincide.
func (r Range) IsExact() bool { return r.Min.Equal(r.Max) }

// IsZero says whether nothing can be there.
func (r Range) IsZero() bool { return r.Max.IsZero() }

// Amount is a content as a maker or supplier writes it, with the text as given.
//
// Units: % w/w. A value typed in ppm or mg/kg is converted (1 % = 10 000 ppm).
type Amount struct {
	Range
	Rest bool   // "q.s.": whatever is missing to 100; the Range is then empty until computed
	Text string // as typed
	Pos  Pos    // where it was typed
}

var (
	hundred   = Int(100)
	ppmPerPct = Int(10_000)
)

// ParseAmount reads an amount in any of the forms of the input files: "12",
// "12.5", "10-15", "<0.1", "<=0.1", ">=60", ">60", "120 ppm", "120 mg/kg",
// "q.s.", each number form also with a % sign.
//
// Units: % w/w, or ppm or mg/kg where they stand beside the number.
// "<x" is min 0, max x, typical x/2; ">=x" is min x, max 100, typical midway;
// "a-b" is typical midway.
// Errors: a *ValueError when the text is no amount, is negative, lies above
// 100 %, or has its bounds the wrong way round.
func ParseAmount(text string) (Amount, error) {
	a := Amount{Text: text}
	s := strings.TrimSpace(text)
	switch strings.ToLower(s) {
	case "q.s.", "qs", "q.s":
		a.Rest = true
		return a, nil
	case "":
		return a, &ValueError{What: "the amount is empty", Fix: `write a number, a range such as "10-15", or "<0.1"; leave nothing blank, since missing is not zero`}
	case "trace", "traces", "tr", "n.d.", "nd", "present", "-":
		return a, &ValueError{What: fmt.Sprintf("%q gives no upper bound", s), Fix: `ask the supplier for the detection limit and write it as "<0.001"`}
	}
	perUnit := Int(1)
	for _, u := range []struct {
		suffix string
		per    Num
	}{{"mg/kg", ppmPerPct}, {"ppm", ppmPerPct}, {"%", Int(1)}} {
		if rest, ok := strings.CutSuffix(s, u.suffix); ok {
			s, perUnit = strings.TrimSpace(rest), u.per
			break
		}
	}
	one := func(t string) (Num, error) {
		n, err := ParseNum(strings.TrimSpace(t))
		return n.Quo(perUnit), err
	}
	s = strings.NewReplacer("≤", "<=", "≥", ">=").Replace(s)
	lo, hi, ranged := cutRange(s)
	var err error
	switch {
	case strings.HasPrefix(s, "<"):
		a.Max, err = one(strings.TrimPrefix(strings.TrimPrefix(s, "<"), "="))
		a.Typ = a.Max.Quo(Int(2))
	case strings.HasPrefix(s, ">"):
		a.Min, err = one(strings.TrimPrefix(strings.TrimPrefix(s, ">"), "="))
		a.Max = hundred
		a.Typ = a.Min.Add(a.Max).Quo(Int(2))
	case ranged:
		if a.Min, err = one(lo); err == nil {
			a.Max, err = one(hi)
		}
		a.Typ = a.Min.Add(a.Max).Quo(Int(2))
	default:
		a.Min, err = one(s)
		a.Typ, a.Max = a.Min, a.Min
	}
	if err != nil {
		return a, err
	}
	if strings.HasPrefix(s, "<") && a.Max.IsZero() {
		return a, &ValueError{What: fmt.Sprintf("%q gives no upper bound", text), Fix: `write the bound that was meant, such as "<0.1"`}
	}
	return a, a.Range.check(text)
}

// cutRange splits "10-15" or "10 – 15"; a leading minus is a sign, not a split.
func cutRange(s string) (lo, hi string, ok bool) {
	s = strings.ReplaceAll(s, "–", "-")
	if i := strings.Index(s[min(1, len(s)):], "-"); i >= 0 {
		return s[:i+1], s[i+2:], true
	}
	return s, "", false
}

// check refuses what no content can be.
func (r Range) check(text string) error {
	switch {
	case r.Min.Sign() < 0 || r.Max.Sign() < 0:
		return &ValueError{What: fmt.Sprintf("%q is negative", text), Fix: "write a content from 0 to 100 %"}
	case hundred.Less(r.Max) || hundred.Less(r.Min):
		fix := "write a content from 0 to 100 %"
		if plain := strings.TrimSpace(text); strings.Trim(plain, "0123456789.<>=-– ") == "" {
			fix = "if the paper says ppm or mg/kg, write the unit: \"" + plain + " ppm\""
		}
		return &ValueError{What: fmt.Sprintf("%q is above 100 %%", text), Fix: fix}
	case r.Max.Less(r.Min):
		return &ValueError{What: fmt.Sprintf("%q has its lower end above its upper end", text), Fix: fmt.Sprintf("write %q", r.Max.Exact()+"-"+r.Min.Exact())}
	case r.Typ.Less(r.Min) || r.Max.Less(r.Typ):
		return &ValueError{What: fmt.Sprintf("the typical value %s lies outside %s to %s", r.Typ.Exact(), r.Min.Exact(), r.Max.Exact()), Fix: "give a typical value between min and max"}
	}
	return nil
}
