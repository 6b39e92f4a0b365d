package dossier

import (
	"slices"

	"gallipot/calc"
	"gallipot/ingredients"
)

// The table of the aggregate exposure, by its ID, and its sheet.
const (
	aggregateSheet = "Recalc aggregate"
	tableAggregate = "recalc-aggregate"
)

// aggregateTable computes the exposure to preservatives and UV filters from all
// cosmetics together, each with as much as this product; nil where there is none.
func (b *marginBuilder) aggregateTable() *Table {
	list := worstOver(b.m.v, func(r *calc.Result) []calc.Aggregate { return r.Aggregates },
		func(a calc.Aggregate) string { return a.INCI }, func(a calc.Aggregate) ingredients.Num { return a.Content.Max })
	num := func(key, head, unit string) Column { return Column{Key: key, Head: head, Unit: unit, Kind: KindNumber} }
	t := &Table{ID: tableAggregate, Title: "Exposure to all cosmetics together, each with as much of it as this product", SheetName: aggregateSheet, Columns: []Column{
		{Head: "Substance", Fixed: true, Weight: 1.4}, num("content", "Content, highest", "% w/w"), num("all", "All products", "mg/kg bw/d"), num("child", "Factor for children", ""), num("own", "This product besides", "mg/kg bw/d"),
		num("abs", "Absorbed", "%"), num("sed", "SED", "mg/kg bw/d"), num("sys", "PoD, internal", "mg/kg bw/d"), num("mos", "MoS", ""), num("target", "Target", ""), {Key: "verdict", Head: "Verdict"}, num("pack", "MoS in the pack", "")}}
	for _, w := range list {
		if r := b.rowOf(w.value.INCI, w.variant); r != nil {
			t.Add(b.aggregateRow(&w.value, r)...)
		}
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return t.Note("SED = (all products × factor + this product, where they do not count it) × content ÷ 100 × absorbed ÷ 100. Point of departure and target are those of the single product.")
}

// rowOf finds the row of a substance that speaks for a variant.
func (b *marginBuilder) rowOf(inci, variant string) *marginRow {
	for _, r := range b.rows {
		if r.INCI == inci && !r.Nano && slices.ContainsFunc(r.variants, func(x *calc.Variant) bool { return shortName(x) == variant }) {
			return r
		}
	}
	return nil
}

func (b *marginBuilder) aggregateRow(a *calc.Aggregate, r *marginRow) []Cell {
	all := inputFigure(&a.All, b.m.names.of("Aggregate", r.name), positiveInput("All products, mg/kg bw/d", "")).MarkedIf(a.All.FromMemory(), memoryMark)
	child := FloatCell(1, exposureDigits)
	if a.ChildFactor != nil {
		child = FloatCell(a.ChildFactor.Value, exposureDigits).Open(positiveInput("Factor for children", a.ChildFactor.Cite()))
	}
	own := FloatCell(a.OwnAdded, exposureDigits)
	if a.OwnAdded > 0 {
		own = own.Computed(nameEbw)
	}
	abs := FloatCell(a.AbsorbedPct, exposureDigits).Open(pctInput("Absorbed through the skin, %", r.Absorption.Why))
	if a.AbsorbedPct == r.Absorption.Pct.Value && !b.m.exposure().Swallowed {
		abs = abs.Computed(cellAt(tableMargins, "abs", r.row)).Open(abs.Input.following())
	}
	sys, mos, pack := MissingCell(noPoDWords), MissingCell(noPoDWords), MissingCell(noPoDWords)
	verdict := marginVerdict(calc.MarginNone)
	if hasInternal(&r.Margin) {
		sys, mos, pack = FloatCell(r.PoDSys, exposureDigits), MissingCell(noDoseWords), MissingCell(noDoseWords)
	}
	if a.MoS > 0 {
		mos, pack, verdict = FloatCell(a.MoS, ratioDigits), FloatCell(a.MoS, ratioDigits), marginVerdict(a.Verdict)
	}
	return []Cell{LinkCell(r.name, "recalc-margin-"+itoa(r.row)), PctCell(a.Content.Max).Computed(cellAt(tableMargins, "content", r.row)), all, child, own, abs,
		aggregateDose(a), sys.Computed(cellAt(tableMargins, "sys", r.row)),
		mos.Computed(`IF(ISNUMBER({sys}),IF({sed}*{sys}=0,"` + noDoseWords + `",{sys}/{sed}),"` + noPoDWords + `")`).Strong(),
		FloatCell(a.Target.Value, ratioDigits).Computed(cellAt(tableMargins, "target", r.row)), verdict.Computed(verdictFormula()), pack}
}

// aggregateDose is the dose of all products together. One that comes from
// absorption by area does not follow from the content.
func aggregateDose(a *calc.Aggregate) Cell {
	dose := FloatCell(a.SED, exposureDigits)
	if a.ByArea {
		return dose
	}
	return dose.Computed("({all}*{child}+{own})*{content}/100*{abs}/100")
}
