package tox

import (
	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
)

// Endpoint is one line of the profile of a substance or, in part product, of the
// finished product.
//
// Source: endpoints.csv; Regulation (EC) 1223/2009 Annex I Part A.8 and guidance.
type Endpoint struct {
	rows.Row
	Name            string
	Short           string   // head of a narrow column; empty: the endpoint stands in no such table
	Part            string   // identity, local, kinetics, systemic, genetic, human, special, product
	ByLaw           bool     // Annex I Part A.8 names it: an empty answer is a gap of the file
	Always          bool     // asked for every substance
	HPhrases        []string // hazard statements that speak of it
	States          []string
	Unit            string
	AskedBy         string
	Guideline       string
	Triggers        string
	AcceptedReasons string
}

// PartProduct is the part that speaks of the finished product.
const PartProduct = "product"

var endpointParts = []string{"identity", "local", "kinetics", "systemic", "genetic", "human", "special",
	PartProduct}

func readEndpoints(file string, text string) ([]*Endpoint, error) {
	columns := rows.Columns{Meaning: []string{"key", "endpoint", "short", "part", "by_law", "always",
		"h_phrases", "states", "unit", "seen"},
		Remarks: []string{"asked_by", "guideline", "triggers", "accepted_reasons", "source", "note"}}
	return rows.ReadTable(file, text, columns, func(r *rows.Record) *Endpoint {
		return &Endpoint{
			Row: r.Head(r.Must("key")), Name: r.Must("endpoint"), Short: r.Text("short"), Part: r.Word("part",
				endpointParts...),
			ByLaw: r.Mark("by_law"), Always: r.Mark("always"), HPhrases: r.List("h_phrases"),
			States: r.List("states"), Unit: r.Text("unit"), AskedBy: r.Text("asked_by"),
			Guideline: r.Text("guideline"), Triggers: r.Text("triggers"), AcceptedReasons: r.Text("accepted_reasons"),
		}
	})
}

// rule is a figure that says what stands in a profile and where.
//
// Source: profile-rules.csv; common practice, no source.
type rule struct {
	rows.Row
	Value exact.Num // in the unit of the table
}

// The keys of the rules.
const (
	RuleLine        = "line-above"          // %
	RuleLineLeaveOn = "line-above-leave-on" // %, of allergens and classified substances
	RuleLowest      = "lowest-margins"      // substances
	RuleMost        = "most-profiles"       // profiles
)

func readRules(file string, text string) ([]*rule, error) {
	columns := rows.Columns{Meaning: []string{"key", "value", "unit", "seen"},
		Remarks: []string{"source", "note"}}
	return rows.ReadTable(file, text, columns, func(r *rows.Record) *rule {
		x := &rule{Row: r.Head(r.Must("key"))}
		if n := r.Num("value"); n != nil {
			x.Value = *n
		} else {
			r.Fail("value is empty")
		}
		return x
	})
}

// Rule returns the figure of a rule. It panics on an unknown key, which is a programmer's
// mistake.
func (t *Tables) Rule(key string) exact.Num {
	for _, r := range t.rules().must() {
		if r.Key == key {
			return r.Value
		}
	}
	panic("tox: no rule " + key)
}

// Endpoint returns the endpoint with a key, nil where there is none.
func (t *Tables) Endpoint(key string) *Endpoint {
	for _, e := range t.Endpoints() {
		if e.Key == key {
			return e
		}
	}
	return nil
}
