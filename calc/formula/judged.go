package formula

import "gallipot/ingredients/exact"

// SeenAssessor marks a figure that a safety assessor put in place of another.
const SeenAssessor = "assessor"

// Judged is what a safety assessor decided for one substance in writing; a figure that is
// nil was left as it is.
type Judged struct {
	INCI          string
	PoD           *exact.Num // point of departure, mg/kg bw/d
	PoDType       string     // NOAEL, BMDL …
	Route         string     // of its study: oral or dermal; "": as that of the value it replaces
	AbsorptionPct *exact.Num // % of the dose that is taken up from the product
	Target        *exact.Num // margin of safety asked for
	Reason        string
	Assessor      string
	Dated         exact.Date
	Pos           exact.Pos
}

// Source says whose figure it is, and why.
func (j *Judged) Source() string {
	return "assessor " + j.Assessor + ", " + j.Dated.String() + ": " + j.Reason
}

// Stated makes a figure of one of the numbers.
func (j *Judged) Stated(n *exact.Num) *Stated {
	return &Stated{Value: n.Float(), Source: j.Source(), Seen: SeenAssessor}
}
