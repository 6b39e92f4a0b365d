package formula

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// Contribution is what one line of the formula brings of one substance, with
// everything needed to follow the figure back.
type Contribution struct {
	Ingredient string      `json:"ingredient"`
	UsePct     exact.Num   `json:"use_pct"`     // % of the mixture
	InMaterial exact.Range `json:"in_material"` // % of the material, tightened
	Given      string      `json:"given"`       // as the sheet has it
	Pct        exact.Range `json:"pct"`         // % of the mixture: use × content / 100
	Route      Route       `json:"route"`
	LinePos    exact.Pos   `json:"-"` // line of the formula
	SourcePos  exact.Pos   `json:"-"` // line of the sheet

	// present says that some of it is there although the least is 0: one value
	// names it together with others.
	Present bool `json:"-"`
}

// Substance is one substance in a mixture, by all routes.
type Substance struct {
	INCI       string
	CAS, EC    string
	Nano       bool
	Undeclared bool        // the undeclared remainder of a material
	Pct        exact.Range // % by composition alone; zero where only declared or a trace
	Total      exact.Range // % by all routes, nothing counted twice
	Functions  []string    // of the materials it comes in with, as their sheets say
	// Contributions in the order of the formula.
	Contributions []Contribution

	MergeKey string // Key, where it is known already
	OtherNames

	number  int // among numbers
	numbers *numbers
}

// Key is the name a substance is merged under.
func (s *Substance) Key() string {
	if s.MergeKey != "" {
		return s.MergeKey
	}
	return SubstanceKey(s.INCI, s.Nano)
}

// Identity is what tables are asked for: the names and numbers of a substance. Those of
// one identity are one substance to every table.
type Identity struct {
	INCI, CAS, EC string
	Also, Maybe   string
	Nano          bool
}

// Identity returns the names and numbers of the substance.
func (s *Substance) Identity() Identity {
	return Identity{s.INCI, s.CAS, s.EC, strings.Join(s.Also, ";"), strings.Join(s.Maybe, ";"), s.Nano}
}

// NameKey is the key of the name alone, whatever the form.
func (s *Substance) NameKey() string {
	if s.MergeKey != "" && !s.Nano {
		return s.MergeKey
	}
	return ingredients.NameKey(s.INCI)
}

// Composition is everything known to be in one mixture.
type Composition struct {
	Mixture    Mixture
	Substances []*Substance // by typical content, highest first, then by name

	uses    []Use    // what it holds of each material; nil: not added up yet
	numbers *numbers // of its substances
	at      []placed // by number
}

// placed is a substance of a composition; nil: none of that number.
type placed struct {
	*Substance
	again bool // another mixture had it before
}

// Again says whether another mixture of the product had the very same substance before: what
// is found about it may be of use once more.
func (c *Composition) Again(s *Substance) bool {
	return s.numbers != nil && s.numbers == c.numbers && s.number < len(c.at) && c.at[s.number].again
}

// Named returns the substance of a key, or nil; see [Substance.Key].
func (c *Composition) Named(key string) *Substance {
	if c.numbers == nil { // not composed
		if i := slices.IndexFunc(c.Substances, func(s *Substance) bool { return s.Key() == key }); i >= 0 {
			return c.Substances[i]
		}
		return nil
	}
	if n, known := c.numbers.of(key); known && n < len(c.at) {
		return c.at[n].Substance
	}
	return nil
}

// Same returns the substance that is s in another mixture, or nil.
func (c *Composition) Same(s *Substance) *Substance {
	if s.numbers == nil || s.numbers != c.numbers {
		return c.Named(s.Key())
	}
	if s.number < len(c.at) {
		return c.at[s.number].Substance
	}
	return nil
}

// Find returns the substance of a name, or nil.
func (c *Composition) Find(inci string) *Substance { return c.Named(ingredients.NameKey(inci)) }

// Compose multiplies a mixture out to substances.
//
//	content(a) = Σ lines  share(line) × content of a in that material / 100
//
// for the lowest, typical and highest content alike. Names that the dictionary
// holds for one are merged. An allergen declaration counts once: where the same
// material also lists the substance as a constituent, the two are covered by
// one range and not added.
//
// Units: % w/w of the mixture. Not rounded.
// Source: worked cases in testdata/published/composition.csv.
func Compose(mix Mixture, materials map[string]*Material) *Composition {
	return new(compounding).compose(mix, materials)
}

func byContent(a, b *Substance) int {
	if d := b.Pct.Typ.Cmp(a.Pct.Typ); d != 0 {
		return d
	}
	if d := b.Total.Max.Cmp(a.Total.Max); d != 0 {
		return d
	}
	return cmp.Compare(a.INCI, b.INCI)
}

func (s *Substance) addFunctions(m *Material) {
	if s.Functions == nil && len(m.functions) > 0 {
		s.Functions = slices.Clip(m.functions)
		return
	}
	for _, f := range m.Sheet.Functions {
		if !slices.Contains(s.Functions, f) {
			s.Functions = append(s.Functions, f)
		}
	}
}

// ByRoute returns the part of a substance's content that comes by one route, as
// a plain sum of its contributions.
func (s *Substance) ByRoute(r Route) exact.Range {
	var sum exact.Range
	for _, k := range s.Contributions {
		if k.Route == r {
			sum = sum.Add(k.Pct)
		}
	}
	return sum
}

// IsIngredient says whether the substance is a constituent of the product and
// not only declared inside another or a trace.
func (s *Substance) IsIngredient() bool {
	return slices.ContainsFunc(s.Contributions, func(k Contribution) bool { return k.Route == ByComposition })
}

// AllNames are the names that tables are asked for, the merged one first.
func (s *Substance) AllNames() []string { return append([]string{s.INCI}, s.Also...) }
