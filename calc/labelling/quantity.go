package labelling

import (
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/duties"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// quantity prints the nominal quantity with the least height of its figures.
//
//	needed unless it is below the figure of rule L21, a free sample, or a single application
//	height of figures: the row of rule Q02 whose bounds hold the quantity in g or ml
//
// Source: label-rules.csv, rows L20, L21 and Q02a to Q02d; worked cases:
// testdata/published/label_heights.csv.
func (b *labelling) quantity() {
	net := b.in.Product.Net
	least := law.LabelRule(b.law, "L21")
	most := largest(net)
	switch {
	case b.facts.SoldAs != soldInPacks:
		b.add(LabelItem{Kind: ItemQuantity, State: labelNotNeeded,
			Remark: strings.ReplaceAll(string(b.facts.SoldAs), "-", " ")}, "L03", "L21")
		return
	case most == nil:
		b.add(LabelItem{Kind: ItemQuantity, Text: "[quantity]", State: LabelMissing}, "L03", "L20")
		b.say(finding.NewFinding(finding.Ask, "label-no-quantity", b.facts.Pos, nil).
			At(b.facts.Pos.File, "net_content", nil), "L20")
		return
	case most.Less(*least.Value):
		b.add(LabelItem{Kind: ItemQuantity, State: labelNotNeeded, Remark: "below " + least.Value.Exact() + " " +
			least.Unit}, "L03", "L21")
		return
	}
	band := law.LabelBand(b.law, duties.LabelFigureHeight, *most)
	b.FigureMM = band.Value
	i := LabelItem{Kind: ItemQuantity, Text: quantityText(net), State: LabelGiven, Remark: "figures at least " +
		band.Value.Exact() + " mm high"}
	rules := []string{"L03", "L20", band.Key, "Q05"}
	if b.facts.EMark {
		sign := law.LabelRule(b.law, "Q03")
		b.EMarkMM = sign.Value
		i.Remark += ", estimated sign at least " + sign.Value.Exact() + " mm, where the average rules are kept"
		rules = append(rules, "Q03")
	}
	b.add(i, rules...)
	b.unit(net)
}

// largest is the higher of the two figures of a net content.
func largest(n formula.NetContent) *exact.Num {
	switch {
	case n.G == nil:
		return n.ML
	case n.ML == nil:
		return n.G
	}
	most := n.G.Max(*n.ML)
	return &most
}

// unit says where a product is sold by the other unit than usual.
func (b *labelling) unit(net formula.NetContent) {
	byWeight, byVolume := law.LabelRule(b.law, "Q08a"), law.LabelRule(b.law, "Q08b")
	switch {
	case net.G == nil && slices.Contains(byWeight.Wording, b.in.Type.Key):
		b.say(finding.NewFinding(finding.Note, "label-quantity-unit", net.Pos, formula.With().
			Quote("type", formula.LowerFirst(b.in.Type.Name))).As("by-weight").
			At(net.Pos.File, "net_content.g", nil), "Q08")
	case net.ML == nil && slices.Contains(byVolume.Wording, b.in.Type.Key):
		b.say(finding.NewFinding(finding.Note, "label-quantity-unit", net.Pos, formula.With().
			Quote("type", formula.LowerFirst(b.in.Type.Name))).As("by-volume").
			At(net.Pos.File, "net_content.ml", nil), "Q08")
	}
}

// kilo is how many small units make a large one.
var kilo = exact.Int(1000)

// quantityText words a net content for the label: figures, a space and the
// symbol of the unit, from 1000 g or ml on in kg or l.
//
// Source: label-rules.csv, rows Q04 to Q06.
func quantityText(n formula.NetContent) string {
	var parts []string
	for _, u := range []struct {
		amount       *exact.Num
		small, large string
	}{{n.ML, "ml", "l"}, {n.G, "g", "kg"}} {
		switch {
		case u.amount == nil:
		case u.amount.Less(kilo):
			parts = append(parts, u.amount.Exact()+" "+u.small)
		default:
			parts = append(parts, u.amount.Quo(kilo).Exact()+" "+u.large)
		}
	}
	return strings.Join(parts, ", ")
}
