package dossier

import (
	"strings"

	"gallipot/calc"
)

// mixtureHead begins the tables that hold a figure for each mixture.
func (b *marginBuilder) mixtureHead(third string) []Column {
	return append([]Column{{Head: "Substance", Fixed: true, Weight: 1.4}, {Key: "target", Head: "Target", Kind: KindNumber}, {Key: "worst", Head: third, Kind: KindNumber}, {Key: "where", Head: third + " in"}}, b.m.mixtureColumns()...)
}

// doseOf is the SED of a row in one mixture, mg/kg bw/d, and whether the
// substance is in it.
func (b *marginBuilder) doseOf(r *marginRow, c *modelColumn) (float64, bool) {
	e := b.m.exposure()
	switch {
	case !r.in[c]:
		return 0, false
	case !e.Known():
		return 0, true
	}
	content := c.contents[r.sub.key].Total.Max.Float()
	dose := calc.SEDByPercent(e.MgPerKg.Value, content, r.Absorption.Pct.Value)
	if b.usesArea(r) {
		area := calc.SEDByArea(r.Absorption.UgCm2.Value, e.AreaCm2.Value, e.PerDay.Value, e.BodyWeightKg.Value)
		if e.ChildFactor != nil {
			area *= e.ChildFactor.Value
		}
		if r.Absorption.Kind != calc.AbsorptionStated || area > dose {
			dose = area
		}
	}
	return dose + b.m.inhalation().Dose(content), true
}

// doseTable shows the dose of each substance in each mixture.
func (b *marginBuilder) doseTable() *Table {
	t := &Table{ID: tableDoses, Title: "Systemic exposure dose of each substance in each mixture, mg/kg bw/d", SheetName: mixtureSheet, Columns: b.mixtureHead("Highest")}
	for _, r := range b.rows {
		worst, where := 0.0, ""
		for _, c := range b.m.columns {
			if d, there := b.doseOf(r, c); there && (where == "" || d > worst) {
				worst, where = d, c.head
			}
		}
		span := "{" + b.m.span() + "}"
		head := []Cell{LinkCell(r.name, "recalc-margin-"+itoa(r.row)), BlankCell(), MissingCell("none"), MissingCell("none")}
		if b.m.exposure().Known() && where != "" {
			head[2], head[3] = FloatCell(worst, exposureDigits), TextCell(where)
		}
		head[2] = head[2].Computed("IF(COUNT(" + span + ")>0,MAX(" + span + `),"none")`)
		head[3] = head[3].Computed(`IF(ISNUMBER({worst}),INDEX({` + b.m.span() + `@head},1,MATCH({worst},` + span + `,0)),"none")`)
		t.Add(b.m.fill(head, func(c *modelColumn) Cell {
			d, there := b.doseOf(r, c)
			if !there {
				return BlankCell()
			}
			cell := MissingCell(noExposureWords)
			if b.m.exposure().Known() {
				cell = FloatCell(d, exposureDigits)
			}
			return cell.Computed(b.dose(r, cellAt(tableMost, c.key, r.sub.row), cellAt(tableMargins, "abs", r.row), cellAt(tableMargins, "area", r.row)))
		})...)
	}
	return t
}

// mosTable shows the margin of each substance in each mixture.
func (b *marginBuilder) mosTable() *Table {
	t := &Table{ID: tableMoS, Title: "Margin of safety of each substance in each mixture", SheetName: mixtureSheet, Columns: b.mixtureHead("Smallest")}
	for _, r := range b.rows {
		least, where := 0.0, ""
		for _, c := range b.m.columns {
			if x := b.mosOf(r, c); x > 0 && (where == "" || x < least) {
				least, where = x, c.head
			}
		}
		span := "{" + b.m.span() + "}"
		head := []Cell{LinkCell(r.name, "recalc-margin-"+itoa(r.row)), FloatCell(r.Target.Value, ratioDigits).Computed(cellAt(tableMargins, "target", r.row)), MissingCell("none"), MissingCell("none")}
		if where != "" {
			head[2], head[3] = FloatCell(least, ratioDigits), TextCell(where)
		}
		head[2] = head[2].Computed("IF(COUNT(" + span + ")>0,MIN(" + span + `),"none")`)
		head[3] = head[3].Computed(`IF(ISNUMBER({worst}),INDEX({` + b.m.span() + `@head},1,MATCH({worst},` + span + `,0)),"none")`)
		t.Add(b.m.fill(head, func(c *modelColumn) Cell { return b.mosCell(r, c) })...)
	}
	return t
}

// mosOf is the margin of a row in one mixture, 0 where there is none.
func (b *marginBuilder) mosOf(r *marginRow, c *modelColumn) float64 {
	d, there := b.doseOf(r, c)
	if !there || d == 0 || !hasInternal(&r.Margin) || r.PoDSys == 0 {
		return 0
	}
	return calc.MarginOfSafety(r.PoDSys, d)
}

func (b *marginBuilder) mosCell(r *marginRow, c *modelColumn) Cell {
	if _, there := b.doseOf(r, c); !there {
		return BlankCell()
	}
	cell := FloatCell(b.mosOf(r, c), ratioDigits)
	switch {
	case !hasInternal(&r.Margin):
		cell = MissingCell(noPoDWords)
	case !b.m.exposure().Known():
		cell = MissingCell(noExposureWords)
	case cell.Float == 0:
		cell = MissingCell(noDoseWords)
	}
	sed, sys := cellAt(tableDoses, c.key, r.row), cellAt(tableMargins, "sys", r.row)
	return cell.Computed("IF(ISNUMBER(" + sys + "),IF(ISNUMBER(" + sed + "),IF(" + sed + "*" + sys + `=0,"` + noDoseWords + `",` + sys + "/" + sed + `),"` + noExposureWords + `"),"` + noPoDWords + `")`)
}

// sourceTable says where each input of a margin comes from, and why there is no
// margin where there is none.
func (b *marginBuilder) sourceTable() *Table {
	t := &Table{ID: tableSources, Title: "Sources of absorption, point of departure and target", SheetName: sourceSheet, Columns: []Column{{Head: "Substance", Fixed: true, Weight: 1.2},
		{Head: "Absorbed"}, {Head: "Point of departure and study"}, {Head: "Divisors"}, {Head: "Internal share"}, {Head: "Target"}, {Head: "Why there is no margin"}}}
	for _, r := range b.rows {
		pod, divisors, inside := TextCell(""), "", TextCell("")
		if hasInternal(&r.Margin) {
			p := r.PoD
			pod = TextCell(joined("; ", strings.TrimSpace(p.Type+" "+p.Study), p.Route, p.Cite(), p.Note)).MarkedIf(p.FromMemory(), memoryMark)
			for _, f := range []*calc.Stated{p.LOAELFactor, p.DurationFactor} {
				if f != nil {
					divisors = joined("\n", divisors, joined("; ", f.Cite(), f.Note))
				}
			}
			inside = TextCell(joined("; ", p.SystemicWhy, p.Systemic.Cite())).MarkedIf(p.Systemic.FromMemory(), memoryMark)
		}
		t.Add(LinkCell(r.name, "recalc-margin-"+itoa(r.row)).At("recalc-source-"+itoa(r.row)),
			TextCell(joined("; ", r.Absorption.Why, r.Absorption.Pct.Cite())).MarkedIf(r.Absorption.Pct.FromMemory(), memoryMark),
			pod, TextCell(divisors), inside, TextCell(r.Target.Cite()).MarkedIf(r.Target.FromMemory(), memoryMark), TextCell(r.Reason))
	}
	return t
}
