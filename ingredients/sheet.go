package ingredients

import (
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Sheet is one raw material as bought from one supplier: one file in the
// workshop's ingredients folder. Every value knows where it was typed.
type Sheet struct {
	ID        string // file name without .yaml; formulas refer to it
	Name      string // trade name
	Supplier  Supplier
	Form      string   // liquid, solid, powder, paste, gas
	Functions []string // what it does in the product, in the maker's words

	// LabelAs says how the material enters the ingredient list: LabelINCI by its
	// constituents, LabelParfum or LabelAroma as that one word.
	LabelAs LabelAs

	Composition     Composition
	Impurities      []Impurity
	Allergens       *AllergenDeclaration // nil: not supplied, which is not "none"
	FragranceLimits *Certificate         // nil: not supplied
	Toxicology      []Toxicology
	Physical        physical
	Handling        []string // cautions for the one who weighs it
	Documents       []Document
	PricePerKg      *exact.Num // maker's currency per kg; nil: not given
	Purchase        Purchase
	Specification   []Specified // what a lot of it has to be, in the order typed
	Invented        bool        // demo data says so of itself

	Pos exact.Pos // the id
}

// BesideFigures are the keys of a sheet that no figure depends on: how it is bought, and
// what a lot is held to.
var BesideFigures = []string{"purchase", "specification"}

// Purchase is how a material is bought.
type Purchase struct {
	PackG    []exact.Num // g, the packs it comes in; empty: not stated
	LeadDays int         // days from order to delivery; 0: not stated
	NotByLot bool        // it is not bought by the lot, such as water of one's own
	Pos      exact.Pos
}

// Specified is one property that a lot of a material is held to.
type Specified struct {
	What   string
	Wanted string // a number, a range such as 5-6, or words
	Pos    exact.Pos
}

// LabelAs is the way a material enters the ingredient list.
type LabelAs string

// The ways a material enters the ingredient list.
const (
	LabelINCI   LabelAs = "inci"
	LabelParfum LabelAs = "parfum"
	LabelAroma  LabelAs = "aroma"
)

// IsScent says whether the material is listed as parfum or aroma.
func (s *Sheet) IsScent() bool { return s.LabelAs == LabelParfum || s.LabelAs == LabelAroma }

// Supplier is who sells a material, and under which code.
type Supplier struct {
	Name string
	Code string
	Pos  exact.Pos
}

// Composition is what a material consists of.
type Composition struct {
	// Complete says that the constituents are the whole material. Where it is
	// false, the undeclared remainder is kept as such and asked for.
	Complete     bool
	Constituents []Constituent
	// HeldByAssessor says that the full composition went from the supplier to
	// the assessor under confidence: not disclosed, yet not missing.
	HeldByAssessor bool
	Pos            exact.Pos
}

// Constituent is one substance inside a material.
type Constituent struct {
	INCI string       // as typed
	CAS  string       // "" when not given
	EC   string       // "" when not given
	Pct  exact.Amount // % of the material
	Nano bool
	Pos  exact.Pos // the name
}

// Impurity is a trace in a material that is no ingredient: it counts for limits
// and exposure and stays out of the ingredient list.
type Impurity struct {
	Name   string
	CAS    string
	Amount exact.Amount // % of the material
	Pos    exact.Pos
}

// Keys of the allergen lists that a declaration can be made against.
const (
	// List2003 is the list of 26 names of Directive 2003/15/EC.
	List2003 = "2003-15"
	// List2023 is the list as extended by Regulation (EU) 2023/1545.
	List2023 = "2023-1545"
)

// AllergenDeclaration is a supplier's statement of the declarable allergens
// inside a material. What lies outside its list is not stated, not zero.
type AllergenDeclaration struct {
	List     string // List2003 or List2023
	Dated    exact.Date
	Declared []DeclaredAllergen
	Pos      exact.Pos
}

// DeclaredAllergen is one allergen inside a material.
type DeclaredAllergen struct {
	Name string
	CAS  string
	Pct  exact.Amount // % of the material, inside it and not beside it
	Pos  exact.Pos
}

// Certificate is a fragrance conformity certificate: the most of this material
// that a finished product of each category may hold.
type Certificate struct {
	Amendment int // of the IFRA Standards
	Dated     exact.Date
	Limits    []CategoryLimit // in the order typed
	Pos       exact.Pos
}

// CategoryLimit is one line of a certificate.
type CategoryLimit struct {
	Category     string    // "1", "5A", "9" …
	MaxPct       exact.Num // % of the finished product; unset when NotPermitted or NoLimit
	NotPermitted bool
	NoLimit      bool
	Pos          exact.Pos
}

// Limit returns the line of a certificate that answers for a category: the line
// itself, or one for the whole of it ("11" stands for 11A and 11B), or false
// when the category is not on the certificate, which means not assessed.
func (c *Certificate) Limit(category string) (CategoryLimit, bool) {
	for _, want := range []string{category, trimLetter(category)} {
		for _, l := range c.Limits {
			if l.Category == want {
				return l, true
			}
		}
	}
	return CategoryLimit{}, false
}

func trimLetter(category string) string {
	if n := len(category); n > 1 && category[n-1] >= 'A' && category[n-1] <= 'D' {
		return category[:n-1]
	}
	return category
}

// Toxicology is a value for one substance that adds to or replaces the built-in
// ones. A nil figure is not given, never 0.
type Toxicology struct {
	INCI                string
	PoDType             string     // NOAEL, LOAEL, BMDL …; "" when none
	PoD                 *exact.Num // mg/kg bw/d
	DermalAbsorptionPct *exact.Num // % of the applied dose
	DermalUgCm2         *exact.Num // µg/cm² per application
	OralAbsorptionPct   *exact.Num // %
	CramerClass         string     // I, II or III
	Study               string
	Source              string
	Replaces            bool // use in place of the built-in value, even if it is higher
	// Target is the margin of safety that the assessor holds the substance to, in
	// place of the general one, with the reason; nil: the general one.
	Target       *exact.Num
	TargetReason string
	Endpoints    []Endpoint
	Class        *Classification // nil: not stated
	ReadAcross   *ReadAcross     // of the whole entry; nil: its values are its own
	SumWith      string          // substances with the same word are held to one margin together; "": none
	Pos          exact.Pos
}

// physical holds the physical facts of a material; nil is not given.
type physical struct {
	PH         *exact.Amount // pH, no unit
	DensityGML *exact.Num    // g/ml
	MeltingC   *exact.Num    // °C
	FlashC     *exact.Num    // °C
}

// Document is a paper behind a sheet.
type Document struct {
	Kind  string // see DocumentKinds
	File  string // inside the workshop; "" when only mentioned
	Dated exact.Date
	// SHA256 begins the hash of the file that the figures were taken from, in
	// lower-case hexadecimal digits; "" when it was not noted.
	SHA256 string
	Pos    exact.Pos
}

// ThereOn says whether a paper is there on a day: one dated later is not yet.
func (d Document) ThereOn(day exact.Date) bool { return !day.Before(d.Dated) }

// DocumentKinds lists the kinds of paper a sheet can carry, with what each is.
var DocumentKinds = map[string]string{
	"sds":            "safety data sheet",
	"composition":    "composition statement",
	"allergens":      "allergen declaration",
	"certificate":    "fragrance conformity certificate",
	"coa":            "certificate of analysis",
	"specification":  "specification or technical sheet",
	"purity":         "purity statement",
	"microbiology":   "microbiological certificate",
	"animal-testing": "animal-testing statement",
	"toxicology":     "toxicological summary",
	"other":          "other paper",
}

// Named is the raw material as a value of a finding: its name, and its id beside it.
func (s *Sheet) Named() finding.Value { return finding.Named(s.ID, s.Name) }

// Asked is the supplier of the raw material as one who can settle a finding.
func (s *Sheet) Asked() finding.Party {
	return finding.Party{Role: finding.RoleSupplier, Name: s.Supplier.Name, Of: s.Name}
}
