package trade

import (
	"bytes"
	"slices"

	"gallipot/calc/law/rows"
	"gallipot/ingredients"
)

// What the figure of a trace guide is.
const (
	GuideHere      = "guidance"  // guidance that is looked to in the EU or GB
	guideElsewhere = "elsewhere" // guidance of another country, for comparison
	guideObserved  = "observed"  // what was found on the market, no guidance
)

// TraceGuide ties a trace to a published figure of facts.csv.
//
// Source: trace-guides.csv.
type TraceGuide struct {
	rows.Row
	Substance string
	Names     []string // names on suppliers' papers
	NamePart  string   // part of a name that is enough; empty: none
	CAS       []string
	Fact      string // key of the figure
	Group     string // rows of which only the most fitting one counts
	Kind      string // guidance, elsewhere or observed
	// OnMaterial says that the figure is for the raw material, not for the
	// product.
	OnMaterial bool
	Codes      []string // product codes the row is for; empty with Types: all
	Types      []string // Keys of product types the row is for

	keys []string // Names as they are compared
}

var TraceGuideColumns = rows.Columns{Meaning: []string{"key", "substance", "names", "name_part", "cas",
	"fact", "group", "kind", "basis", "product_codes", "product_types", "seen"},
	Remarks: []string{"source", "note"}}

func ReadTraceGuides(file string, text string) ([]*TraceGuide, error) {
	return rows.ReadTable(file, text, TraceGuideColumns, func(r *rows.Record) *TraceGuide {
		g := &TraceGuide{
			Row: r.Head(r.Text("key")), Substance: r.Must("substance"), Names: r.List("names"),
			NamePart: r.Text("name_part"),
			CAS:      r.Numbers("cas"), Fact: r.Must("fact"), Group: r.Must("group"), Kind: r.Word("kind", GuideHere,
				guideElsewhere, guideObserved),
			OnMaterial: r.Word("basis", "product",
				"material") == "material", Codes: r.List("product_codes"), Types: r.List("product_types"),
		}
		r.CheckNumbers(g.CAS, nil)
		for _, n := range g.Names {
			g.keys = append(g.keys, ingredients.NameKey(n))
		}
		return g
	})
}

// Covers says whether a name or CAS number on a sheet is what the guide is for.
func (g *TraceGuide) Covers(name, cas string) bool {
	var room [64]byte
	key := ingredients.AppendKey(room[:0], name)
	return slices.ContainsFunc(g.keys, func(k string) bool { return k == string(key) }) ||
		g.NamePart != "" && bytes.Contains(key, []byte(g.NamePart)) || cas != "" && slices.Contains(g.CAS, cas)
}

// Specific says how closely the row is made for a product type: 0 not for it,
// 1 for all products, 2 for this kind.
func (g *TraceGuide) Specific(p *ProductType) int {
	if len(g.Codes) == 0 && len(g.Types) == 0 {
		return 1
	}
	if slices.Contains(g.Types, p.Key) ||
		slices.ContainsFunc(g.Codes, func(c string) bool { return slices.Contains(p.Codes, c) }) {
		return 2
	}
	return 0
}

// TTCExclusion is a group of substances that no threshold of toxicological
// concern may be used for, and the words of names that point to it.
//
// Source: ttc-exclusions.csv.
type TTCExclusion struct {
	rows.Row
	Group string
	Words []string // whole words of a name
	Parts []string // parts of a word
}

var TTCExclusionColumns = rows.Columns{Meaning: []string{"key", "words", "parts", "seen"},
	Remarks: []string{"group", "source", "note"}}

func ReadTTCExclusions(file string, text string) ([]*TTCExclusion, error) {
	return rows.ReadTable(file, text, TTCExclusionColumns, func(r *rows.Record) *TTCExclusion {
		return &TTCExclusion{Row: r.Head(r.Text("key")), Group: r.Must("group"), Words: r.List("words"),
			Parts: r.List("parts")}
	})
}
