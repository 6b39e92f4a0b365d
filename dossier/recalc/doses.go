package recalc

import (
	"strings"

	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
)

// mixtureHead begins the tables that hold a figure for each mixture.
func (b *marginBuilder) mixtureHead(third string) []document.Column {
	return append([]document.Column{{Head: "Substance", Fixed: true, Weight: 1.4},
		{Key: "target", Head: "Target", Kind: document.KindNumber}, {Key: "worst", Head: third,
			Kind: document.KindNumber}, {Key: "where", Head: third + " in"}}, b.m.mixtureColumns()...)
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
	dose := exposure.SEDByPercent(e.MgPerKg.Value, content, r.Absorption.Pct.Value)
	if b.usesArea(r) {
		area := exposure.SEDByArea(r.Absorption.UgCm2.Value, e.AreaCm2.Value, e.PerDay.Value, e.BodyWeightKg.Value)
		if e.ChildFactor != nil {
			area *= e.ChildFactor.Value
		}
		if r.Absorption.Kind != exposure.AbsorptionStated || area > dose {
			dose = area
		}
	}
	return dose + b.m.inhalation().Dose(content), true
}

// doseTable shows the dose of each substance in each mixture.
func (b *marginBuilder) doseTable() *document.Table {
	t := &document.Table{ID: tableDoses,
		Title: "Systemic exposure dose of each substance in each mixture, mg/kg bw/d", SheetName: mixtureSheet, Columns: b.mixtureHead("Highest")}
	for _, r := range b.rows {
		worst, where := 0.0, ""
		for _, c := range b.m.columns {
			if d, there := b.doseOf(r, c); there && (where == "" || d > worst) {
				worst, where = d, c.head
			}
		}
		span := "{" + b.m.span() + "}"
		head := []document.Cell{document.LinkCell(r.name, "recalc-margin-"+words.Itoa(r.row)), document.BlankCell(),
			document.MissingCell("none"), document.MissingCell("none")}
		if b.m.exposure().Known() && where != "" {
			head[2], head[3] = document.FloatCell(worst, show.ExposureDigits), document.TextCell(where)
		}
		head[2] = head[2].Computed("IF(COUNT(" + span + ")>0,MAX(" + span + `),"none")`)
		head[3] = head[3].Computed(`IF(ISNUMBER({worst}),INDEX({` + b.m.span() + `@head},1,MATCH({worst},` + span +
			`,0)),"none")`)
		t.Add(b.m.fill(head, func(c *modelColumn) document.Cell {
			d, there := b.doseOf(r, c)
			if !there {
				return document.BlankCell()
			}
			cell := document.MissingCell(noExposureWords)
			if b.m.exposure().Known() {
				cell = document.FloatCell(d, show.ExposureDigits)
			}
			return cell.Computed(b.dose(r, cellAt(TableMost, c.key, r.sub.row), cellAt(TableMargins, "abs", r.row),
				cellAt(TableMargins, "area", r.row)))
		})...)
	}
	return t
}

// mosTable shows the margin of each substance in each mixture.
func (b *marginBuilder) mosTable() *document.Table {
	t := &document.Table{ID: tableMoS, Title: "Margin of safety of each substance in each mixture",
		SheetName: mixtureSheet, Columns: b.mixtureHead("Smallest")}
	for _, r := range b.rows {
		least, where := 0.0, ""
		for _, c := range b.m.columns {
			if x := b.mosOf(r, c); x > 0 && (where == "" || x < least) {
				least, where = x, c.head
			}
		}
		span := "{" + b.m.span() + "}"
		head := []document.Cell{document.LinkCell(r.name, "recalc-margin-"+words.Itoa(r.row)),
			document.FloatCell(r.Target.Value, document.RatioDigits).
				Computed(cellAt(TableMargins, "target",
					r.row)), document.MissingCell("none"), document.MissingCell("none")}
		if where != "" {
			head[2], head[3] = document.FloatCell(least, document.RatioDigits), document.TextCell(where)
		}
		head[2] = head[2].Computed("IF(COUNT(" + span + ")>0,MIN(" + span + `),"none")`)
		head[3] = head[3].Computed(`IF(ISNUMBER({worst}),INDEX({` + b.m.span() + `@head},1,MATCH({worst},` + span +
			`,0)),"none")`)
		t.Add(b.m.fill(head, func(c *modelColumn) document.Cell { return b.mosCell(r, c) })...)
	}
	return t
}

// mosOf is the margin of a row in one mixture, 0 where there is none.
func (b *marginBuilder) mosOf(r *marginRow, c *modelColumn) float64 {
	d, there := b.doseOf(r, c)
	if !there || d == 0 || !hasInternal(&r.Margin) || r.PoDSys == 0 {
		return 0
	}
	return exposure.MarginOfSafety(r.PoDSys, d)
}

func (b *marginBuilder) mosCell(r *marginRow, c *modelColumn) document.Cell {
	if _, there := b.doseOf(r, c); !there {
		return document.BlankCell()
	}
	cell := document.FloatCell(b.mosOf(r, c), document.RatioDigits)
	switch {
	case !hasInternal(&r.Margin):
		cell = document.MissingCell(noPoDWords)
	case !b.m.exposure().Known():
		cell = document.MissingCell(noExposureWords)
	case cell.Float == 0:
		cell = document.MissingCell(noDoseWords)
	}
	sed, sys := cellAt(tableDoses, c.key, r.row), cellAt(TableMargins, "sys", r.row)
	return cell.Computed("IF(ISNUMBER(" + sys + "),IF(ISNUMBER(" + sed + "),IF(" + sed + "*" + sys + `=0,"` +
		noDoseWords + `",` + sys + "/" + sed + `),"` + noExposureWords + `"),"` + noPoDWords + `")`)
}

// sourceTable says where each input of a margin comes from, and why there is no
// margin where there is none.
func (b *marginBuilder) sourceTable() *document.Table {
	t := &document.Table{ID: tableSources, Title: "Sources of absorption, point of departure and target",
		SheetName: sourceSheet, Columns: []document.Column{{Head: "Substance", Fixed: true, Weight: 1.2},
			{Head: "Absorbed"}, {Head: "Point of departure and study"}, {Head: "Divisors"}, {Head: "Internal share"}, {Head: "Target"}, {Head: "Why there is no margin"}}}
	for _, r := range b.rows {
		pod, divisors, inside := document.TextCell(""), "", document.TextCell("")
		if hasInternal(&r.Margin) {
			p := r.PoD
			pod = document.TextCell(words.Joined("; ", strings.TrimSpace(p.Type+" "+p.Study), p.Route, p.Cite(),
				p.Note)).MarkedIf(p.FromMemory(), show.MemoryMark)
			for _, f := range []*formula.Stated{p.LOAELFactor, p.DurationFactor} {
				if f != nil {
					divisors = words.Joined("\n", divisors, words.Joined("; ", f.Cite(), f.Note))
				}
			}
			inside = document.TextCell(words.Joined("; ", p.SystemicWhy, p.Systemic.Cite())).
				MarkedIf(p.Systemic.FromMemory(), show.MemoryMark)
		}
		t.Add(document.LinkCell(r.name, "recalc-margin-"+words.Itoa(r.row)).At("recalc-source-"+words.Itoa(r.row)),
			document.TextCell(words.Joined("; ", r.Absorption.Why, r.Absorption.Pct.Cite())).
				MarkedIf(r.Absorption.Pct.FromMemory(), show.MemoryMark),
			pod, document.TextCell(divisors), inside, document.TextCell(r.Target.Cite()).
				MarkedIf(r.Target.FromMemory(), show.MemoryMark), document.TextCell(r.Reason))
	}
	return t
}
