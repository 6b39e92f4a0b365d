package table

import (
	"slices"
	"strings"

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
	Types      []string // keys of product types the row is for

	keys []string // Names as they are compared
}

var traceGuideColumns = rows.Columns{Meaning: []string{"key", "substance", "names", "name_part", "cas", "fact", "group", "kind", "basis", "product_codes", "product_types", "seen"},
	Remarks: []string{"source", "note"}}

func readTraceGuides(file string, data []byte) ([]*TraceGuide, error) {
	return rows.ReadTable(file, data, traceGuideColumns, func(r *rows.Record) *TraceGuide {
		g := &TraceGuide{
			Row: r.Head(r.Text("key")), Substance: r.Must("substance"), Names: r.List("names"), NamePart: r.Text("name_part"),
			CAS: r.List("cas"), Fact: r.Must("fact"), Group: r.Must("group"), Kind: r.Word("kind", GuideHere, guideElsewhere, guideObserved),
			OnMaterial: r.Word("basis", "product", "material") == "material", Codes: r.List("product_codes"), Types: r.List("product_types"),
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
	key := ingredients.NameKey(name)
	return slices.Contains(g.keys, key) ||
		g.NamePart != "" && strings.Contains(key, g.NamePart) || cas != "" && slices.Contains(g.CAS, cas)
}

// specific says how closely the row is made for a product type: 0 not for it,
// 1 for all products, 2 for this kind.
func (g *TraceGuide) specific(p *ProductType) int {
	if len(g.Codes) == 0 && len(g.Types) == 0 {
		return 1
	}
	if slices.Contains(g.Types, p.Key) || slices.ContainsFunc(g.Codes, func(c string) bool { return slices.Contains(p.Codes, c) }) {
		return 2
	}
	return 0
}

// TraceGuides returns the guides for a product type, of each group the row that
// is made most closely for it, in the order of the table.
func (t *Tables) TraceGuides(p *ProductType) []*TraceGuide {
	best := map[string]int{}
	for _, g := range t.traceGuides {
		best[g.Group] = max(best[g.Group], g.specific(p))
	}
	var out []*TraceGuide
	for _, g := range t.traceGuides {
		if s := g.specific(p); s > 0 && s == best[g.Group] {
			out = append(out, g)
		}
	}
	return out
}

// TraceGuideRows returns all rows in the order of the table.
func (t *Tables) TraceGuideRows() []*TraceGuide { return slices.Clone(t.traceGuides) }

// ttcExclusion is a group of substances that no threshold of toxicological
// concern may be used for, and the words of names that point to it.
//
// Source: ttc-exclusions.csv.
type ttcExclusion struct {
	rows.Row
	Group string
	Words []string // whole words of a name
	Parts []string // parts of a word
}

var ttcExclusionColumns = rows.Columns{Meaning: []string{"key", "words", "parts", "seen"},
	Remarks: []string{"group", "source", "note"}}

func readTTCExclusions(file string, data []byte) ([]*ttcExclusion, error) {
	return rows.ReadTable(file, data, ttcExclusionColumns, func(r *rows.Record) *ttcExclusion {
		return &ttcExclusion{Row: r.Head(r.Text("key")), Group: r.Must("group"), Words: r.List("words"), Parts: r.List("parts")}
	})
}

// TTCExcluded returns the group that a name points to, or nil. A name that
// points to none may still belong to one: structure decides, not the name.
func (t *Tables) TTCExcluded(inci string) *ttcExclusion {
	key := ingredients.NameKey(inci)
	words := strings.FieldsFunc(key, func(r rune) bool { return r == ' ' || r == '/' || r == '(' || r == ')' || r == ',' })
	for _, x := range t.TTCExclusions {
		if slices.ContainsFunc(x.Words, func(w string) bool { return slices.Contains(words, w) }) ||
			slices.ContainsFunc(x.Parts, func(p string) bool { return strings.Contains(key, p) }) {
			return x
		}
	}
	return nil
}
