package law

import (
	"fmt"
	"slices"

	"gallipot/calc/law/condition"
	"gallipot/calc/law/trade"
	"gallipot/ingredients/exact"
)

// Truth is a fact that may not be known. Its zero value is Unknown, so that a
// forgotten fact is never a pass.
type Truth int

// What may be said of a fact.
const (
	Unknown Truth = iota
	No
	Yes
)

// Is returns Yes or No.
func Is(b bool) Truth {
	if b {
		return Yes
	}
	return No
}

// String returns unknown, no or yes.
func (t Truth) String() string { return [...]string{"unknown", "no", "yes"}[t] }

// Ages is the span of ages a product is intended for, in months: From
// inclusive, To exclusive.
type Ages struct{ From, To int }

// allAges stands for no upper end.
const allAges = 1200

// AgesOf returns the ages behind intended_for: adults, children-3-plus (three
// years and older, adults included) or under-3. The population words of the
// product types, such as children, are understood too.
func AgesOf(word string) (Ages, error) {
	switch word {
	case "adults":
		return Ages{18 * 12, allAges}, nil
	case "children-3-plus":
		return Ages{36, allAges}, nil
	}
	if a, ok := populationAges[word]; ok {
		return a, nil
	}
	return Ages{}, &exact.ValueError{
		What: fmt.Sprintf("%q is no age group", word), Fix: "write adults, children-3-plus or under-3",
	}
}

// populationAges are the spans behind the words of population=. They are
// vocabulary: the ages themselves stand in the words.
var populationAges = map[string]Ages{
	"under-3": {0, 36}, "under-6": {0, 72}, "under-10": {0, 120}, "0.5-1": {6, 12}, "6-10": {72, 120},
	"3-10":   {36, 120},
	"1-plus": {12, allAges}, "3-plus": {36, allAges}, "6-plus": {72, allAges}, "10-plus": {120, allAges},
	"children": {0, 18 * 12},
}

// Situation is one use of one substance in one product: everything a condition
// may ask for. What is left at its zero value is not known, save where the
// field says otherwise.
type Situation struct {
	RinseOff bool     // washed off after use; false: left on
	Areas    []string // area= words where the product is used
	Codes    []string // product= words; parents are added by [Situation.Complete]
	Forms    []string // spray, aerosol, propellant-spray, pump-spray, loose-powder: all there are
	Claims   []string // sun-protection, bronzing, uv-exposure: all there are

	Inhalable    Truth // the use may expose the user's lungs
	Professional Truth // sold for professional use only
	Ages         *Ages // ages the product is intended for; nil: not stated

	// Functions of this substance in this product: preservative, fragrance,
	// ph-adjuster, rust-inhibitor, denaturant, peroxide-stabiliser, colorant,
	// uv-filter, other. FunctionsKnown says that there are no more than these.
	Functions      []string
	FunctionsKnown bool

	Nano    Truth // nanomaterial
	Massive Truth // solid metal of 1 mm and more
	Natural Truth // comes in with a natural essence, not added as such

	RefiningKnown Truth      // full refining history is documented
	ButadienePct  *exact.Num // butadiene in the raw material, %; nil: not stated
	FormaldPct    *exact.Num // formaldehyde released in the product, %; nil: not stated

	// complete holds what Complete last returned of Areas, Codes and Forms: where
	// they are still the same there is nothing to add.
	complete *situationWords
}

// situationWords are the lists that [Situation.Complete] adds to.
type situationWords struct{ areas, codes, forms []string }

// SituationOf returns what a product type says of a use. The maker's own
// statements are added to it; Ages is left unknown where the type names no
// population, since its blank means adults only by default.
func SituationOf(p *trade.ProductType) Situation {
	s := Situation{
		RinseOff: p.RinseOff, Areas: slices.Clone(p.Areas), Codes: slices.Clone(p.Codes),
		Claims:    slices.Clone(p.Claims),
		Inhalable: Is(slices.Contains(p.Forms, "inhalable")),
	}
	for _, f := range p.Forms {
		if f != "inhalable" {
			s.Forms = append(s.Forms, f)
		}
	}
	if a, err := AgesOf(p.Population); err == nil {
		s.Ages = &a
	}
	return s.Complete()
}

// AddForm adds a form the maker's pack brings, such as pump-spray or
// loose-powder, with what follows from it. A spray or powder that the product
// type does not have leaves Inhalable unknown: it must be assessed.
func (s Situation) AddForm(form string) Situation {
	if slices.Contains(s.Forms, form) {
		return s
	}
	s.Forms = append(slices.Clone(s.Forms), form)
	if s.Inhalable == No {
		s.Inhalable = Unknown
	}
	return s.Complete()
}

// Complete returns s with everything added that follows from its words: parents
// of codes, skin for its parts, the code that means an area, spray for each
// kind of spray, and the other name of a propellant spray.
func (s Situation) Complete() Situation {
	if c := s.complete; c != nil && slices.Equal(c.areas, s.Areas) && slices.Equal(c.codes, s.Codes) &&
		slices.Equal(c.forms, s.Forms) {
		return s
	}
	s.Areas, s.Codes = condition.Expand(s.Areas, s.Codes)
	forms := slices.Clone(s.Forms)
	add := func(f string) {
		if !slices.Contains(forms, f) {
			forms = append(forms, f)
		}
	}
	for _, f := range s.Forms {
		switch f {
		case "aerosol", "propellant-spray":
			add("aerosol")
			add("propellant-spray")
			add("spray")
		case "pump-spray":
			add("spray")
		}
	}
	slices.Sort(forms)
	s.Forms = forms
	s.complete = &situationWords{slices.Clone(s.Areas), slices.Clone(s.Codes), slices.Clone(s.Forms)}
	return s
}
