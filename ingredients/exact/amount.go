package exact

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
	Rest bool // "q.s.": whatever is missing to 100; the Range is then empty until computed
	// Assay says that the text is an assay whose upper bound lies above 100, such as
	// 99-100.5; the Range is counted to 100.
	Assay bool
	Text  string // as typed
	Pos   Pos    // where it was typed
}

var (
	Hundred   = Int(100)
	ppmPerPct = Int(10_000)

	// An assay is a range that begins above the first and ends at most at the second,
	// % (common practice, no source).
	assayLow, assayHigh = Int(90), Int(105)
)

// ParseAmount reads an amount in any of the forms of the input files and of
// suppliers' papers: "12", "12.5", "10-15", "60 to 75", ">=60 - <75", "<0.1",
// "<=0.1", "max. 75", "up to 75", ">=60", ">60", "min. 60", "q.s.". A number may
// have %, % w/w, ppm or mg/kg behind it. Quotes around all of it are left out of
// the text that is kept.
//
// Units: % w/w, or ppm or mg/kg where they stand beside the number.
// "<x" is min 0, max x, typical x/2; ">=x" is min x, max 100, typical midway;
// "a-b" is typical midway; an assay such as "99-100.5" is counted to 100.
// Errors: a *ValueError when the text is no amount, is negative, lies above
// 100 %, or has its bounds the wrong way round.
func ParseAmount(text string) (Amount, error) {
	a := Amount{Text: text}
	s := strings.TrimSpace(text)
	if inner, ok := Unquoted(s); ok {
		s, a.Text = inner, inner
	}
	switch strings.ToLower(s) {
	case "q.s.", "qs", "q.s":
		a.Rest = true
		return a, nil
	}
	if err := noContent(s); err != nil {
		return a, err
	}
	x, err := Spell(s)
	if err != nil {
		return a, err
	}
	if a.Range, err = x.Bounds(Hundred); err != nil {
		return a, err
	}
	if x.low == "" && a.Max.IsZero() {
		return a, &ValueError{What: fmt.Sprintf("%q gives no upper bound", s),
			Fix: `write the bound that was meant, such as "<0.1"`}
	}
	if assayLow.Less(a.Min) && !Hundred.Less(a.Min) && Hundred.Less(a.Max) && !assayHigh.Less(a.Max) {
		a.Assay, a.Max = true, Hundred
		a.Typ = a.Min.Add(Hundred).Quo(Int(2))
	}
	return a, a.Range.Check(s)
}

// noContent refuses the words that papers have in place of a figure.
func noContent(s string) error {
	switch word := strings.ToLower(strings.Join(strings.Fields(s), " ")); word {
	case "":
		return &ValueError{What: "the amount is empty",
			Fix: `write a number, a range such as "10-15", or "<0.1"; leave nothing blank, since missing is not zero`}
	case "trace", "traces", "tr", "n.d.", "nd", "present", "not detected", "none detected", "<lod", "< lod", "-":
		return &ValueError{What: fmt.Sprintf("%q gives no upper bound", s),
			Fix: `ask the supplier for the detection limit and write it as "<0.001"`}
	case "nil", "none", "zero":
		return &ValueError{What: fmt.Sprintf("%q may be none at all or none that was found", s),
			Fix: `ask the supplier for the detection limit and write it as "<0.001"; write 0 if the paper says exactly that`}
	case "balance", "bal.", "rest", "the rest", "remainder", "to 100", "to 100 %", "to 100%", "ad 100", "ad 100 %",
		"ad 100%", "balance to 100", "q.s. to 100", "q.s. to 100 %", "q.s. to 100%":
		return &ValueError{What: fmt.Sprintf("%q is no number", s), Fix: "write q.s."}
	}
	return nil
}

// Check refuses what no content can be.
func (r Range) Check(text string) error {
	switch {
	case r.Min.Sign() < 0 || r.Max.Sign() < 0:
		return &ValueError{What: fmt.Sprintf("%q is negative", text), Fix: "write a content from 0 to 100 %"}
	case Hundred.Less(r.Max) || Hundred.Less(r.Min):
		fix := "write a content from 0 to 100 %"
		if plain := strings.TrimSpace(text); strings.Trim(plain, "0123456789.<>=-– ") == "" {
			fix = "if the paper says ppm or mg/kg, write the unit: \"" + plain + " ppm\""
		}
		return &ValueError{What: fmt.Sprintf("%q is above 100 %%", text), Fix: fix}
	case r.Max.Less(r.Min):
		return &ValueError{What: fmt.Sprintf("%q has its lower end above its upper end", text),
			Fix: fmt.Sprintf("write %q", r.Max.Exact()+"-"+r.Min.Exact())}
	case r.Typ.Less(r.Min) || r.Max.Less(r.Typ):
		return &ValueError{What: fmt.Sprintf("the typical value %s lies outside %s to %s", r.Typ.Exact(),
			r.Min.Exact(), r.Max.Exact()), Fix: "give a typical value between min and max"}
	}
	return nil
}
