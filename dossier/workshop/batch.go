package workshop

import (
	"gallipot/calc/masses"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/source"
)

// Batch is one batch that was made or is being made: one file in the workshop's
// batches folder. It is filled in bit by bit; what is not filled in is missing,
// never 0.
type Batch struct {
	Source *source.Source

	Code         string // name of the file, and on every pack
	Product      string // id
	ProductPos   exact.Pos
	Variant      string // "" for a product without variants
	VariantPos   exact.Pos
	Revision     int    // of the product when the batch was planned; 0: not stated
	Fingerprint  string // of the figures it was planned with
	Date         exact.Date
	DatePos      exact.Pos
	BatchG       *exact.Num // g, planned
	PlannedUnits *int       // packs that it is meant to fill; nil: not stated
	DivisionG    *exact.Num // g, of the balance
	MadeBy       string
	Place        string
	StartBy      string // who checked papers, materials, equipment and area before the start

	Lines    []BatchLine
	Portions []batchPortion
	Checks   []BatchCheck
	Yield    batchYield
	Labels   batchLabels
	// Packaging are the jars, caps, labels and boxes used, by their lots.
	Packaging []BatchPackaging
	Retained  batchRetained
	Release   batchRelease
	Remarks   string
	Sent      []BatchSent
	Pos       exact.Pos // the code
}

// BatchLine is one material weighed into a batch.
type BatchLine struct {
	Ingredient string
	Phase      string
	Portion    string // "" for the base and for a batch of one mixture
	Added      bool
	PlannedG   *exact.Num // g; nil: not planned, weighed in by need
	WeighedG   *exact.Num // g; nil: not filled in
	Lots       []BatchLot
	Reason     string // why it is off its plan, where it is
	LotAndLots bool   // one lot is named beside a list of lots
	Pos        exact.Pos
}

// BatchLot is the lot of a material, as the maker numbers it.
type BatchLot struct {
	Lot         string
	SupplierLot string
	BestBefore  exact.Date
	G           *exact.Num // g of this lot; nil: the whole line
	Pos         exact.Pos
}

// batchPortion is one part of a batch that the base was divided into.
type batchPortion struct {
	Name     string
	PlannedG *exact.Num // g of base
	BaseG    *exact.Num // g of base weighed into it; nil: not filled in
	Reason   string     // why it is off its plan, where it is
	Pos      exact.Pos
}

// BatchCheck is one thing looked at while making.
type BatchCheck struct {
	What   string
	Wanted string
	Found  string // "" when not filled in
	OK     *bool  // nil: not judged
	By     string
	Pos    exact.Pos
}

// batchYield is what came out. Nil is not filled in.
type batchYield struct {
	FilledUnits   *int
	FilledG       *exact.Num // g
	Dried         *bool      // whether FilledG was weighed after drying, where water dries off
	RejectedUnits *int
	Reason        string // why it is unusual, where it is
	Pos           exact.Pos
}

// BatchPackaging is packaging of one lot that went into the batch.
type BatchPackaging struct {
	Lot   string
	Units *int // nil: not filled in
	Pos   exact.Pos
}

// batchLabels is how many labels went on.
type batchLabels struct {
	Used, Left *int
}

// batchRetained is what was kept as a sample.
type batchRetained struct {
	Units *int
	G     *exact.Num // g
	Where string
	Pos   exact.Pos
}

// batchRelease is the decision on a batch.
type batchRelease struct {
	Decision string // released, rejected or rework; "" while none is taken
	By       string
	Date     exact.Date
	Pos      exact.Pos
}

// BatchSent is where units went.
type BatchSent struct {
	To    string
	Date  exact.Date
	Units *int
	Pos   exact.Pos
}

// Released says whether the batch was let go.
func (b *Batch) Released() bool { return b.Release.Decision == "released" }

// State words how far the batch is.
func (b *Batch) State() string {
	if b.Release.Decision != "" {
		return b.Release.Decision
	}
	for _, l := range b.Lines {
		if l.WeighedG != nil {
			return "in the making"
		}
	}
	return "planned"
}

// Made lists what was weighed; complete is false where a mass is not filled in.
func (b *Batch) Made() (lines []masses.MadeLine, portions []masses.MadePortion, complete bool) {
	complete = len(b.Lines) > 0
	for _, l := range b.Lines {
		if l.WeighedG == nil {
			complete = false
			continue
		}
		lines = append(lines, masses.MadeLine{Ingredient: l.Ingredient, Phase: l.Phase, Portion: l.Portion,
			Added: l.Added, PlannedG: l.PlannedG, G: *l.WeighedG, Pos: l.Pos})
	}
	for _, p := range b.Portions {
		if p.BaseG == nil {
			complete = false
			continue
		}
		portions = append(portions, masses.MadePortion{Name: p.Name, BaseG: *p.BaseG})
	}
	return lines, portions, complete
}

// WeighedG is the sum of what was weighed in, g.
func (b *Batch) WeighedG() (sum exact.Num) {
	for _, l := range b.Lines {
		if l.WeighedG != nil {
			sum = sum.Add(*l.WeighedG)
		}
	}
	return sum
}
