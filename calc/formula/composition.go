package formula

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// Route is the way a substance is known to be in a product.
type Route string

// The routes by which a substance comes in.
const (
	// ByComposition: a constituent of a raw material. All contents by this
	// route add up to the whole product.
	ByComposition Route = "composition"
	// ByDeclaration: an allergen declared inside a fragrance, oil or extract;
	// part of what stands there already, not beside it.
	ByDeclaration Route = "allergen declaration"
	// ByImpurity: a trace that is no ingredient.
	ByImpurity Route = "impurity"
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
	ByKey      map[string]*Substance

	uses []Use       // what it holds of each material; nil: not added up yet
	made []Substance // those made last, several at once
	from []Contribution
}

// madeAtOnce is how many substances, or first contributions, are made at once.
const madeAtOnce = 16

// addTo adds a contribution to a substance; the first ones lie side by side.
func (c *Composition) addTo(s *Substance, k Contribution) {
	if s.Contributions != nil {
		s.Contributions = append(s.Contributions, k)
		return
	}
	if len(c.from) == cap(c.from) {
		c.from = make([]Contribution, 0, madeAtOnce)
	}
	c.from = append(c.from, k)
	s.Contributions = slices.Clip(c.from[len(c.from)-1:])
}

// Find returns the substance of a name, or nil.
func (c *Composition) Find(inci string) *Substance { return c.ByKey[ingredients.NameKey(inci)] }

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
	n := 0
	for _, share := range mix.Shares {
		n += materials[share.Ingredient].names()
	}
	c := &Composition{Mixture: mix, ByKey: make(map[string]*Substance, n), Substances: make([]*Substance, 0, n),
		uses: UseOf(mix)}
	for _, share := range mix.Shares {
		m := materials[share.Ingredient]
		if m == nil {
			continue // an id that does not resolve is the reader's finding
		}
		inMaterial := map[string]exact.Range{}
		for _, p := range m.Parts {
			s := c.substance(p.key, p.INCI, p.CAS, p.EC, p.Nano)
			s.add(p.OtherNames)
			s.Undeclared = p.Undeclared
			pct := p.Pct.Pct(share.Pct)
			s.Pct = s.Pct.Add(pct)
			s.Total = s.Total.Add(pct)
			s.addFunctions(m)
			inMaterial[s.MergeKey] = inMaterial[s.MergeKey].Add(pct)
			c.addTo(s, Contribution{Ingredient: share.Ingredient, UsePct: share.Pct,
				InMaterial: p.Pct,
				Given:      p.Given, Pct: pct, Route: ByComposition, LinePos: share.Pos, SourcePos: p.Pos,
				Present: p.joined})
		}
		c.addDeclared(share, m, inMaterial)
		c.addImpurities(share, m)
	}
	slices.SortStableFunc(c.Substances, func(a, b *Substance) int {
		if d := b.Pct.Typ.Cmp(a.Pct.Typ); d != 0 {
			return d
		}
		if d := b.Total.Max.Cmp(a.Total.Max); d != 0 {
			return d
		}
		return cmp.Compare(a.INCI, b.INCI)
	})
	return c
}

// names is how many names a material brings in at most; none where there is no such material.
func (m *Material) names() int {
	if m == nil {
		return 0
	}
	n := len(m.Parts)
	for _, list := range m.declared {
		n += len(list)
	}
	for _, list := range m.impurities {
		n += len(list)
	}
	return n
}

func (c *Composition) substance(key, inci, cas, ec string, nano bool) *Substance {
	s := c.ByKey[key]
	if s == nil {
		if len(c.made) == cap(c.made) {
			c.made = make([]Substance, 0, madeAtOnce)
		}
		c.made = append(c.made, Substance{INCI: inci, Nano: nano, MergeKey: key})
		s = &c.made[len(c.made)-1]
		c.ByKey[key] = s
		c.Substances = append(c.Substances, s)
	}
	if s.CAS == "" {
		s.CAS = cas
	}
	if s.EC == "" {
		s.EC = ec
	}
	return s
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

func (c *Composition) addDeclared(share Share, m *Material, inMaterial map[string]exact.Range) {
	if m.Sheet.Allergens == nil {
		return
	}
	for i, d := range m.Sheet.Allergens.Declared {
		for j, n := range m.declared[i] {
			c.addOneDeclared(share, m, inMaterial, d, n, shareOf(d.Pct.Range, j, len(m.declared[i])))
		}
	}
}

func (c *Composition) addOneDeclared(share Share, m *Material, inMaterial map[string]exact.Range,
	d ingredients.DeclaredAllergen, n Name, content exact.Range) {
	s := c.substance(n.merge, n.INCI, n.cas, "", n.nano)
	s.add(n.OtherNames)
	pct := content.Pct(share.Pct)
	if listed, ok := inMaterial[s.MergeKey]; ok {
		// counted by composition already: widen to what the declaration adds
		s.Total = s.Total.Add(Exceeding(pct, listed))
	} else {
		s.Total = s.Total.Add(pct)
	}
	c.addTo(s, Contribution{Ingredient: share.Ingredient, UsePct: share.Pct,
		InMaterial: content,
		Given:      d.Pct.Text, Pct: pct, Route: ByDeclaration, LinePos: share.Pos, SourcePos: d.Pos})
}

// Exceeding is by how much a range lies above another, bound by bound.
func Exceeding(r, over exact.Range) exact.Range {
	var zero exact.Num
	return exact.Range{Min: r.Min.Sub(over.Min).Max(zero), Typ: r.Typ.Sub(over.Typ).Max(zero),
		Max: r.Max.Sub(over.Max).Max(zero)}
}

func (c *Composition) addImpurities(share Share, m *Material) {
	for i, t := range m.Sheet.Impurities {
		for j, n := range m.impurities[i] {
			s := c.substance(n.merge, n.INCI, n.cas, "", n.nano)
			s.add(n.OtherNames)
			content := shareOf(t.Amount.Range, j, len(m.impurities[i]))
			pct := content.Pct(share.Pct)
			s.Total = s.Total.Add(pct)
			c.addTo(s, Contribution{Ingredient: share.Ingredient, UsePct: share.Pct,
				InMaterial: content,
				Given:      t.Amount.Text, Pct: pct, Route: ByImpurity, LinePos: share.Pos, SourcePos: t.Pos})
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
