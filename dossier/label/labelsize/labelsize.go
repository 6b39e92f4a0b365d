// Package labelsize is the printed label as its maker describes it: outline, lengths in mm,
// and what was decided about it.
package labelsize

import (
	"gallipot/calc/labelling"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/source"
)

// Size is the printed label: its shape and size, and what the maker
// decided about it. Lengths are in mm.
type Size struct {
	Shape    Shape
	WidthMM  *exact.Num // the diameter of a round label; all round for a wrap, the overlap included
	HeightMM *exact.Num // nil for a round label

	MinTypeMM *exact.Num // least height of a lower-case x; nil: the yardstick of label-rules.csv
	MarginMM  *exact.Num // kept clear along the edge; nil: the usual
	OverlapMM *exact.Num // of a wrap, kept clear at its right end; nil: the usual
	Leaflet   bool       // what does not fit may go onto a leaflet

	SoldAs labelling.LabelSale
	EMark  bool            // estimated sign beside the quantity
	NoPAO  source.Sentence // why no period after opening makes sense
	Sheet  *Grid
	Pos    exact.Pos
}

// Shape is the outline of a label.
type Shape string

// Grid is a sheet of labels that are cut already, in mm.
type Grid struct {
	Across, Down     int
	LeftMM, TopMM    *exact.Num // of the first label
	AcrossMM, DownMM *exact.Num // from one label to the next, across and down
	Pos              exact.Pos
}
