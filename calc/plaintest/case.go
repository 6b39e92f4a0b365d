package plaintest

import (
	"math/big"
	"slices"
)

// Part is a content of a sheet as typed, and what that text means.
type Part struct {
	Name string // as typed
	Text string // the amount as typed
	pct  Span
	rest bool // q.s.
	// unknown: nobody has said what it is
	unknown bool
}

// Material is a raw material.
type Material struct {
	Id       string
	Scent    string // "", Parfum or Aroma
	Function string // in the words of the conditions
	Complete bool
	Parts    []Part
	Traces   []Part
	List     string // the list its allergens are declared against; "" for no declaration
	Declared []Part
	// Category and figure of the certificate; nil and "" for none
	Category    string
	Limit       Rat
	Certificate string // "", figure, closed, open
	Tox         []toxValue
}

// toxValue is a toxicological value on a sheet; nil figures are not given.
type toxValue struct {
	Name, Kind, Study, Cramer string
	Value, Dermal, Oral, Area Rat
	Replaces                  bool
}

type Fill struct {
	Material string
	Share    Rat // % of the slot; parts per 100 for additions
}

type formulaLine struct {
	Material, Slot string
	Amount         Rat
	Rest           bool
}

type onePortion struct {
	Share Rat
	Fill  map[string][]Fill
}

// Case is one generated formula with everything that figures depend on.
type Case struct {
	seed      uint64
	Kind      string // key of the product type
	Market    string // EU or GB
	Day, Ages string
	Grams     bool
	Lines     []formulaLine
	Fill      map[string][]Fill
	Portions  []onePortion
	Then      []Fill
	Materials []*Material
	Own       *ownFigures
	Soap      *soapMaking

	Batch, Division, Fine, FineMost Rat // Fine is nil without a second balance
}

// ownFigures is an exposure that the product file states; nil is not given.
type ownFigures struct{ Amount, Retention, Relative, Weight, Area, PerDay Rat }

// soapMaking is the reaction with lye that the product file states.
type soapMaking struct {
	Alkali string
	Loss   Rat
}

func (c *Case) material(id string) *Material {
	i := slices.IndexFunc(c.Materials, func(m *Material) bool { return m.Id == id })
	return c.Materials[i]
}

// lineShare is one material of a mixture, in % of it.
type lineShare struct {
	Material string
	Pct      Rat
	added    bool
	line     int // of the formula, or of what is added
}

// mixture is a mixture that every rule is asked of: the whole, or a portion.
type mixture struct {
	Name   string
	share  Rat
	Shares []lineShare
}

// Use adds up the lines of one material.
func (m mixture) Use(material string) Rat {
	sum := new(big.Rat)
	for _, s := range m.Shares {
		if s.Material == material {
			sum.Add(sum, s.Pct)
		}
	}
	return sum
}
