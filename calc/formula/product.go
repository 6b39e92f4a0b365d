package formula

import (
	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
)

// Product is one formula with its variants: what one safety report covers. It
// holds what figures depend on; the rest of a product file is the dossier's.
type Product struct {
	ID          string
	Name        string
	Revision    int
	Type        string // key of the product-type table
	TypePos     exact.Pos
	Markets     []rows.Market
	IntendedFor Audience
	BodyAreas   []string // where it is used, as the file says; adds to the product type's areas
	AreasPos    exact.Pos

	// Professional says whether the product is for professional use only; nil
	// when the file does not say.
	Professional *bool

	Claims    []Claim
	Net       NetContent
	Formula   Formula
	Saponify  *Saponification // nil: nothing reacts
	Variants  []*Variant      // never empty: a product without variants has one with the ID ""
	TailOrder []string        // INCI names in the order wished below 1 %; empty: by content
	TailPos   exact.Pos       // where they stand
	NamePos   exact.Pos       // of Name
	Evidence  Evidence
	Exposure  *OwnExposure // nil: the exposure table's
	Pos       exact.Pos
}

// Audience is whom a product is intended for.
type Audience string

// The audiences a product can be intended for.
const (
	Adults        Audience = "adults"
	ChildrenThree Audience = "children-3-plus"
	UnderThree    Audience = "under-3"
)

// Claim is one sentence that the product's presentation makes.
type Claim struct {
	Text string
	Pos  exact.Pos
}

// NetContent is the nominal content of one pack; nil is not given.
type NetContent struct {
	G   *exact.Num // grams
	ML  *exact.Num // millilitres
	Pos exact.Pos
}

// Basis says what the amounts of a formula are.
type Basis string

// The bases a formula can be written on.
const (
	Percent Basis = "percent" // % w/w of the finished base
	Grams   Basis = "grams"   // masses of one batch
)

// Formula is the base of a product, in phases in the order they are made.
type Formula struct {
	Basis  Basis
	Phases []Phase
	Pos    exact.Pos
}

// Phase is a group of lines that are handled together.
type Phase struct {
	ID    string
	Name  string
	HeatC *exact.Num // °C; nil: not heated
	Lines []Line
	Pos   exact.Pos
}

// Line is one line of a formula: a raw material or a slot, and how much of it.
type Line struct {
	Ingredient string    // sheet id; "" for a slot
	Slot       string    // slot name; "" for a raw material
	Amount     exact.Num // % or g, by the formula's basis
	Rest       bool      // q.s.: the rest to 100
	Pos        exact.Pos // the ingredient or slot
	AmountPos  exact.Pos
}

// Variant is one filling of the slots: what one label is printed for.
type Variant struct {
	ID       string
	Name     string
	NamePos  exact.Pos // zero where there is no name
	Fill     []Fill
	Portions []Portion
	ThenAdd  []Addition
	Pos      exact.Pos
}

// Fill puts one or several raw materials into a slot.
type Fill struct {
	Slot  string
	Parts []FillPart
	Pos   exact.Pos
}

// FillPart is a raw material's share of a slot.
type FillPart struct {
	Ingredient string
	SharePct   exact.Num // % of the slot
	Pos        exact.Pos
}

// Portion is a share of a variant that is scented or coloured on its own.
type Portion struct {
	Name     string
	SharePct exact.Num // % of the filled pack
	Fill     []Fill    // on top of the variant's
	Pos      exact.Pos
}

// Addition is stirred into 100 parts of finished base; then everything is
// recalculated.
type Addition struct {
	Ingredient string
	Parts      exact.Num // parts by mass per 100 parts of base
	Pos        exact.Pos
}

// Evidence is what the product file has to show for its preservation.
type Evidence struct {
	ChallengeTests []ChallengeTest
	LowRisk        *LowRisk // nil: no low-risk case is made
	PH             *exact.Amount
	DensityGML     *exact.Num // g/ml of the specification; nil: not stated
	DensityPos     exact.Pos  // where it stands
}

// ChallengeTest is one preservation challenge test on record.
type ChallengeTest struct {
	Method  string
	Verdict string // A, B or fail, as the report says
	Dated   exact.Date
	File    string
	Pos     exact.Pos
}

// LowRisk is the maker's case that germs cannot grow in the product. Nil
// figures are not measured.
type LowRisk struct {
	Reason        string
	WaterActivity *exact.Num // 0 to 1
	PH            *exact.Num
	EthanolPct    *exact.Num // % v/v
	File          string
	Pos           exact.Pos
}

// OwnExposure replaces the exposure table for one product. Nil is not given.
type OwnExposure struct {
	AmountGDay    *exact.Num // g of product a day
	RetentionPct  *exact.Num // % of it that stays
	RelativeMgKgD *exact.Num // mg/kg bw/d; wins over amount and retention
	AreaCm2       *exact.Num // cm²
	TimesPerDay   *exact.Num // 1/d
	BodyWeightKg  *exact.Num // kg
	Source        string     // where the figures come from; never empty
	Pos           exact.Pos
}

// Saponification says that the fats of a formula react with lye. The lye is a
// line of the formula like any other: one mass is weighed, and what it does is
// computed.
type Saponification struct {
	Alkali       []string   // NaOH, KOH or both
	ExcessFatPct *exact.Num // % of the fat meant to stay unreacted; nil: not stated
	WaterLossPct exact.Num  // % of the poured mass that dries off before sale
	Values       []OwnSV    // saponification values of the lots in hand
	Pos          exact.Pos
}

// OwnSV is a saponification value from a supplier's certificate. It replaces
// the table's for the fats of one material.
type OwnSV struct {
	Ingredient string
	MgKOH      exact.Range // mg KOH for 1 g of fat
	Pos        exact.Pos
}
