package tox

import "gallipot/calc/law/rows"

// Endpoint is one line of the profile of a substance or, in part product, of the
// finished product.
//
// Source: endpoints.csv; Regulation (EC) 1223/2009 Annex I Part A.8 and guidance.
type Endpoint struct {
	rows.Row
	Name            string
	Short           string // head of a narrow column; empty: the endpoint stands in no such table
	Part            string // identity, local, kinetics, systemic, genetic, human, special, product
	ByLaw           bool   // Annex I Part A.8 names it: an empty answer is a gap of the file
	Always          bool   // asked for every substance
	States          []string
	Unit            string
	AskedBy         string
	Guideline       string
	Triggers        string
	AcceptedReasons string
}

// The endpoints that the program has something to say about of its own.
const (
	Classification = "cls-clp"
	SkinAbsorption = "skin-abs"
	OralAbsorption = "oral-abs"
	RepeatedDose   = "repeat-dose"
	Sensitisation  = "sens-qra"
	Margin         = "mos"
	Threshold      = "ttc"
	CMR            = "cmr"
	Nano           = "nano"
	PhysChem       = "id-physchem"
	ReadAcross     = "read-across"
	Corrections    = "pod-corr"
	Target         = "uncertainty"
	UseInProduct   = "id-use"
	Purity         = "id-purity"
)

// PartProduct is the part that speaks of the finished product.
const PartProduct = "product"

var endpointParts = []string{"identity", "local", "kinetics", "systemic", "genetic", "human", "special",
	PartProduct}

func readEndpoints(file string, data []byte) ([]*Endpoint, error) {
	columns := rows.Columns{Meaning: []string{"key", "endpoint", "short", "part", "by_law", "always",
		"states", "unit", "seen"},
		Remarks: []string{"asked_by", "guideline", "triggers", "accepted_reasons", "source", "note"}}
	return rows.ReadTable(file, data, columns, func(r *rows.Record) *Endpoint {
		return &Endpoint{
			Row: r.Head(r.Must("key")), Name: r.Must("endpoint"), Short: r.Text("short"), Part: r.Word("part",
				endpointParts...),
			ByLaw: r.Mark("by_law"), Always: r.Mark("always"), States: r.List("states"), Unit: r.Text("unit"), AskedBy: r.Text("asked_by"),
			Guideline: r.Text("guideline"), Triggers: r.Text("triggers"), AcceptedReasons: r.Text("accepted_reasons"),
		}
	})
}

// Endpoint returns the endpoint with a key, nil where there is none.
func (t *Tables) Endpoint(key string) *Endpoint {
	for _, e := range t.Endpoints {
		if e.Key == key {
			return e
		}
	}
	return nil
}
