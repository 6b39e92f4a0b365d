package recalc

import (
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law/rows"
	"gallipot/calc/listing"
	"gallipot/dossier/document"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// declareBuilder compares totals with thresholds.
type declareBuilder struct {
	m      *model
	groups []*allergenGroup
	lists  map[rows.Market]marketLists
	levels []exact.Num // thresholds in force for the product type
}

// level returns the row of a threshold, which is added when it is new.
func (d *declareBuilder) level(n exact.Num) int {
	for i, x := range d.levels {
		if x.Equal(n) {
			return i
		}
	}
	d.levels = append(d.levels, n)
	return len(d.levels) - 1
}

// columns are those of both tables of the sheet.
func (d *declareBuilder) columns() []document.Column {
	return []document.Column{{Head: "Variant", Fixed: true}, {Head: "Markets", Fixed: true},
		{Head: "Label name", Fixed: true, Weight: 1.4}, {Key: "limit", Head: "Threshold", Unit: "% w/w",
			Kind: document.KindNumber}}
}

// thresholds shows the thresholds once, for all rows that follow them.
func (d *declareBuilder) thresholds() *document.Table {
	kind := "left on"
	if d.m.columns[0].result.Input.Type.RinseOff {
		kind = "rinsed off"
	}
	t := &document.Table{ID: tableThresholds, Title: "Thresholds of declaration, product " + kind,
		SheetName: declareSheet, Columns: d.columns()}
	for _, g := range d.groups {
		for _, market := range d.m.v.A.Markets {
			if total := d.anyTotal(g, market); total != nil {
				d.level(total.ThresholdPct)
			}
		}
	}
	for _, n := range d.levels {
		t.Add(document.TextCell("all"), document.TextCell(words.JoinNames(d.m.marketNames())),
			document.TextCell("all names"),
			document.PctCell(n).Open(document.Input{Most: 100, Above: false, Title: "Threshold, % w/w",
				Source: "Named on the label when above it; Regulation (EC) 1223/2009 Annex III, allergens.csv"}).
				Named(d.m.names.of("Threshold", "allergens")))
	}
	return t
}

func (m *model) marketNames() []string {
	names := make([]string, len(m.v.A.Markets))
	for i, x := range m.v.A.Markets {
		names[i] = string(x)
	}
	return names
}

// anyTotal returns the total of a group in a market from any variant.
func (d *declareBuilder) anyTotal(g *allergenGroup, market rows.Market) *listing.AllergenTotal {
	for _, x := range d.m.v.Variants {
		if t := d.total(g, market, x); t != nil {
			return t
		}
	}
	return nil
}

// total returns the program's total of a group in one variant, or nil.
func (d *declareBuilder) total(g *allergenGroup, market rows.Market,
	x *formula.Variant) *listing.AllergenTotal {
	r := d.m.v.A.Result(x.ID, market)
	if r == nil || g.rows[market] == "" {
		return nil
	}
	for i := range r.Allergens {
		if t := &r.Allergens[i]; t.Row.Key == g.rows[market] {
			return t
		}
	}
	return nil
}

// declareWords are the verdicts in the words of the sheet.
var declareWords = map[listing.Verdict]document.Cell{
	listing.Declare:  document.VerdictCell(document.VerdictMet, "declare"),
	listing.Open:     document.VerdictCell(document.VerdictOpen, "declare, open"),
	listing.Unstated: document.VerdictCell(document.VerdictOpen, "not stated"),
	listing.Below:    document.VerdictCell(document.VerdictMet, "below"),
}

// table lists each variant's names with the verdict by formula and the program's.
func (d *declareBuilder) table() *document.Table {
	t := &document.Table{ID: tableDeclare,
		Title: "Names in each variant, the verdict by the formulas and the program's own", SheetName: declareSheet, Empty: "No declarable allergen is known to be in it.",
		Columns: append(d.columns(), document.Column{Key: "low", Head: "Lowest", Unit: "% w/w",
			Kind: document.KindNumber}, document.Column{Key: "typ", Head: "Typical", Unit: "% w/w", Kind: document.KindNumber}, document.Column{Key: "high", Head: "Highest", Unit: "% w/w", Kind: document.KindNumber}, document.Column{Key: "where", Head: "Highest in"},
			document.Column{Key: "silent", Head: "Not spoken of", Unit: "% w/w",
				Kind: document.KindNumber}, document.Column{Key: "now", Head: "By the formulas"}, document.Column{Key: "pack", Head: "In the pack"}, document.Column{Key: "same", Head: "Same?"})}
	for _, x := range d.m.v.Variants {
		for i, g := range d.groups {
			for _, same := range d.alike(g, x) {
				t.Add(d.row(i, g, x, same)...)
			}
		}
	}
	return t.Note("Worst of the whole product and its portions. declare: above the threshold whatever the ranges. declare, open: the range straddles it. not stated: a paper does not speak of the name, and there could be more than the threshold of it. below: not above it. Not spoken of: the most of a material whose paper does not name it. A total that only misses the threshold by the last digits counts as at it.")
}

// alike groups the markets that judge a name of a variant alike.
func (d *declareBuilder) alike(g *allergenGroup, x *formula.Variant) [][]rows.Market {
	var groups [][]rows.Market
	at := map[string]int{}
	for _, market := range d.m.v.A.Markets {
		t := d.total(g, market, x)
		if t == nil || t.Worst.IsZero() {
			continue
		}
		key := t.ThresholdPct.Exact() + string(t.Verdict) + strings.Join(d.silent(g, market, x), "\x00")
		i, known := at[key]
		if !known {
			i = len(groups)
			at[key] = i
			groups = append(groups, nil)
		}
		groups[i] = append(groups[i], market)
	}
	return groups
}

// silent lists the materials of a variant whose papers do not speak of a name.
func (d *declareBuilder) silent(g *allergenGroup, market rows.Market, x *formula.Variant) []string {
	return d.lists[market].silent[x.ID][g.rows[market]]
}

// row compares one name of one variant.
func (d *declareBuilder) row(i int, g *allergenGroup, x *formula.Variant,
	markets []rows.Market) []document.Cell {
	t := d.total(g, markets[0], x)
	cols := d.m.columnsOf(x)
	span := cols[0].key + ":" + cols[len(cols)-1].key
	most := func(table, what string) string { return "{" + table + "!" + what + "@" + words.Itoa(i) + "}" }
	highs := most(totalsTable(bounds[0]), span)
	find := func(b bound) string {
		return "INDEX(" + most(totalsTable(b), span) + ",1,MATCH({high}," + highs + ",0))"
	}
	where := "INDEX({" + totalsTable(bounds[0]) + "!" + span + "@head},1,MATCH({high}," + highs + ",0))"
	phrases := declareWords[t.Verdict]
	above := func(what string) string { return "{" + what + "}>{limit}*(1+" + tiny + ")" }
	verdict := `IF(` + above("low") + `,"` + verdictText(declareWords[listing.Declare]) + `",IF(` +
		above("high") + `,"` + verdictText(declareWords[listing.Open]) + `",` + `IF(` + above("silent") + `,"` +
		verdictText(declareWords[listing.Unstated]) + `","` + verdictText(declareWords[listing.Below]) + `")))`
	names := make([]string, len(markets))
	for k, market := range markets {
		names[k] = string(market)
	}
	return []document.Cell{document.TextCell(cols[0].head), document.TextCell(strings.Join(names, ", ")),
		document.LinkCell(g.name, "recalc-allergen-"+words.Itoa(i)),
		document.PctCell(t.ThresholdPct).Computed(cellAt(tableThresholds, "limit", d.level(t.ThresholdPct))).
			Open(document.Input{Most: 100, Title: "Threshold, % w/w", Source: "Annex " + g.entry +
				", allergens.csv, row " + t.Row.Key}.Following()),
		document.PctCell(t.Worst.Min).Computed(find(bounds[2])), document.PctCell(t.Worst.Typ).
			Computed(find(bounds[1])), document.PctCell(t.Worst.Max).Computed("MAX(" + highs + ")"),
		document.TextCell(d.m.headOf(x, t.WorstIn)).Computed(where), d.silentCell(g, markets[0],
			x), phrases.Computed(verdict), phrases, document.TextCell("same").
			Computed(`IF({now}={pack},"same","differs")`)}
}

// silentCell is the most of any material that does not speak of a name, in any
// mixture of a variant: all of it could be that substance.
func (d *declareBuilder) silentCell(g *allergenGroup, market rows.Market, x *formula.Variant) document.Cell {
	ids := d.silent(g, market, x)
	if len(ids) == 0 {
		return document.PctCell(exact.Num{})
	}
	cols := d.m.columnsOf(x)
	var most exact.Num
	var refs []string
	for _, id := range ids {
		for _, mat := range d.m.materials {
			if mat.key == cols[0].keys[id] {
				refs = append(refs, "{"+tableUse+"!"+cols[0].key+":"+cols[len(cols)-1].key+"@"+words.Itoa(mat.row)+"}")
			}
		}
		for _, c := range cols {
			most = most.Max(c.uses[c.keys[id]])
		}
	}
	return document.PctCell(most).Computed("MAX(" + strings.Join(refs, ",") + ")")
}

// columnsOf returns the mixtures of a variant, the whole first.
func (m *model) columnsOf(x *formula.Variant) []*modelColumn {
	var cols []*modelColumn
	for _, c := range m.columns {
		if c.variant == x {
			cols = append(cols, c)
		}
	}
	return cols
}

// headOf names a mixture of a variant by its portion.
func (m *model) headOf(x *formula.Variant, portion string) string {
	for _, c := range m.columnsOf(x) {
		if c.comp.Mixture.Name == portion {
			return c.head
		}
	}
	return portion
}
