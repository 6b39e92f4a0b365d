package recalc

import (
	"slices"

	"gallipot/calc"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// aggregateTable computes the exposure to preservatives and UV filters from all
// cosmetics together, each with as much as this product; nil where there is none.
func (b *marginBuilder) aggregateTable() *document.Table {
	list := show.WorstOver(b.m.v, func(r *calc.Result) []exposure.Aggregate { return r.Aggregates },
		func(a exposure.Aggregate) string { return a.Name() }, func(a exposure.Aggregate) exact.Num { return a.Content.Max })
	t := &document.Table{ID: tableAggregate,
		Title: "Exposure to all cosmetics together, each with as much of it as this product", SheetName: aggregateSheet, Columns: []document.Column{
			{Head: "Substance", Fixed: true, Weight: 1.4}, numbers("content", "Content, highest", "% w/w"), numbers("all",
				"All products", "mg/kg bw/d"), numbers("child", "Factor for children", ""), numbers("own", "This product besides", "mg/kg bw/d"),
			numbers("abs", "Absorbed", "%"), numbers("sed", "SED", "mg/kg bw/d"), numbers("sys", "PoD, internal",
				"mg/kg bw/d"), numbers("mos", "MoS", ""), numbers("target", "Target", ""), {Key: "verdict", Head: "Verdict"}, numbers("pack", "MoS in the pack", "")}}
	for _, w := range list {
		if r := b.rowOf(&w.Value, w.Variant); r != nil {
			t.Add(b.aggregateRow(&w.Value, r)...)
		}
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return t.Note("SED = (all products × factor + this product, where they do not count it) × content ÷ 100 × absorbed ÷ 100. Point of departure and target are those of the single product.")
}

// rowOf finds the row of the margin of a substance that speaks for a variant.
func (b *marginBuilder) rowOf(a *exposure.Aggregate, variant string) *marginRow {
	for _, r := range b.rows {
		if r.INCI == a.INCI && r.Nano == a.Nano &&
			slices.ContainsFunc(r.variants, func(x *formula.Variant) bool { return show.ShortName(x) == variant }) {
			return r
		}
	}
	return nil
}

func (b *marginBuilder) aggregateRow(a *exposure.Aggregate, r *marginRow) []document.Cell {
	all := inputFigure(&a.All, b.m.names.of("Aggregate", r.name),
		document.PositiveInput("All products, mg/kg bw/d", "")).MarkedIf(a.All.FromMemory(), show.MemoryMark)
	child := document.FloatCell(1, show.ExposureDigits)
	if a.ChildFactor != nil {
		child = document.FloatCell(a.ChildFactor.Value, show.ExposureDigits).
			Open(document.PositiveInput("Factor for children", a.ChildFactor.Cite()))
	}
	own := document.FloatCell(a.OwnAdded, show.ExposureDigits)
	if a.OwnAdded > 0 {
		own = own.Computed(nameEbw)
	}
	abs := document.FloatCell(a.AbsorbedPct, show.ExposureDigits).
		Open(document.PctInput("Absorbed through the skin, %", r.Absorption.Why))
	if a.AbsorbedPct == r.Absorption.Pct.Value && !b.m.exposure().Swallowed {
		abs = abs.Computed(cellAt(TableMargins, "abs", r.row)).Open(abs.Input.Following())
	}
	sys, mos, pack := document.MissingCell(noPoDWords), document.MissingCell(noPoDWords), document.MissingCell(noPoDWords)
	verdict := show.MarginVerdict(exposure.MarginNone)
	if hasInternal(&r.Margin) {
		sys, mos, pack = document.FloatCell(r.PoDSys,
			show.ExposureDigits), document.MissingCell(noDoseWords), document.MissingCell(noDoseWords)
	}
	if a.MoS > 0 {
		mos, pack, verdict = document.FloatCell(a.MoS, document.RatioDigits), document.FloatCell(a.MoS,
			document.RatioDigits), show.MarginVerdict(a.Verdict)
	}
	return []document.Cell{document.LinkCell(r.name, "recalc-margin-"+words.Itoa(r.row)),
		document.PctCell(a.Content.Max).Computed(cellAt(TableMargins, "content", r.row)), all, child, own, abs,
		aggregateDose(a), sys.Computed(cellAt(TableMargins, "sys", r.row)),
		mos.Computed(`IF(ISNUMBER({sys}),IF({sed}*{sys}=0,"` + noDoseWords + `",{sys}/{sed}),"` + noPoDWords +
			`")`).Strong(),
		document.FloatCell(a.Target.Value, document.RatioDigits).
			Computed(cellAt(TableMargins, "target", r.row)), verdict.Computed(verdictFormula()), pack}
}

// aggregateDose is the dose of all products together. One that comes from
// absorption by area does not follow from the content.
func aggregateDose(a *exposure.Aggregate) document.Cell {
	dose := document.FloatCell(a.SED, show.ExposureDigits)
	if a.ByArea {
		return dose
	}
	return dose.Computed("({all}*{child}+{own})*{content}/100*{abs}/100")
}
