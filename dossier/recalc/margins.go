package recalc

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// marginRow is a substance with one set of inputs: where variants differ in them,
// since a sheet of one states a value, it has several rows.
type marginRow struct {
	exposure.Margin
	sub      *modelSubstance
	name     string
	variants []*formula.Variant
	all      bool
	row      int
	cols     []*modelColumn // the mixtures it speaks for
	in       map[*modelColumn]bool
}

// marginRows lists the substances whose margin is computed, those with the
// smallest margin for their target first.
func (m *model) marginRows() []*marginRow {
	var rows []*marginRow
	at := map[string]*marginRow{}
	add := func(x *formula.Variant, k exposure.Margin) {
		sub := m.subAt[(&formula.Substance{INCI: k.INCI, Nano: k.Nano}).Key()]
		if sub == nil {
			return
		}
		key := sub.key + "\x00" + marginInputs(&k)
		r := at[key]
		if r == nil {
			r = &marginRow{Margin: k, sub: sub, name: sub.name, in: map[*modelColumn]bool{}}
			at[key] = r
			rows = append(rows, r)
		}
		r.variants = append(r.variants, x)
		for _, c := range m.columnsOf(x) {
			if c.contents[sub.key] != nil {
				r.cols, r.in[c] = append(r.cols, c), true
			}
		}
		if r.Content.Max.Less(k.Content.Max) {
			r.Margin = k
		}
	}
	for _, x := range m.v.Variants {
		r := m.v.First(x)
		for _, k := range r.Margins {
			add(x, k)
		}
		for _, t := range r.Traces {
			if s := r.Whole().Find(t.Name); s != nil && !slices.ContainsFunc(s.Contributions,
				func(c formula.Contribution) bool { return c.Route != formula.ByImpurity }) {
				add(x, t.Margin)
			}
		}
	}
	count := map[*modelSubstance]int{}
	for _, r := range rows {
		count[r.sub]++
	}
	slices.SortStableFunc(rows, func(a, b *marginRow) int { return cmpFloat(a.rank(), b.rank()) })
	for i, r := range rows {
		r.row = i
		r.all = count[r.sub] == 1
		if !r.all {
			var ids []string
			for _, x := range r.variants {
				ids = append(ids, show.ShortName(x))
			}
			r.name += " (" + strings.Join(ids, ", ") + ")"
		}
	}
	return rows
}

func cmpFloat(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// rank puts the smallest margin by its target first, those without one last.
func (r *marginRow) rank() float64 {
	if r.MoS == 0 {
		return 1e300
	}
	return r.MoS / r.Target.Value
}

// marginInputs tells sets of inputs apart.
func marginInputs(k *exposure.Margin) string {
	s := fmt.Sprint(k.Absorption.Pct.Value, k.Absorption.Kind, k.Target.Value, hasInternal(k))
	if k.Absorption.UgCm2 != nil {
		s += fmt.Sprint(" area ", k.Absorption.UgCm2.Value)
	}
	if k.PoD != nil {
		s += fmt.Sprint(" pod ", k.PoD.Value, k.PoD.Divisor(), k.PoD.Systemic.Value, k.PoD.Route)
	}
	return s
}

// hasInternal says whether a margin has a point of departure to start from. None
// is shown where a margin has no meaning or nobody knows what the substance is.
func hasInternal(k *exposure.Margin) bool {
	switch k.None {
	case exposure.NoMarginNotNeeded, exposure.NoMarginUndeclared, exposure.NoMarginNotDisclosed:
		return false
	}
	return k.PoD != nil
}

// marginBuilder builds the tables of doses and margins.
type marginBuilder struct {
	m      *model
	rows   []*marginRow
	byArea bool // some absorption is stated in µg/cm² and can be used
}

func (m *model) marginSections(rows []*marginRow) []*document.Section {
	b := &marginBuilder{m: m, rows: rows}
	if len(b.rows) == 0 {
		return nil
	}
	b.byArea = slices.ContainsFunc(b.rows, b.usesArea)
	margins := &document.Section{ID: "recalc-margins-section", Title: "Recalculation: margins of safety"}
	mixtures := &document.Section{ID: "recalc-mos-section", Title: "Recalculation: margins in each mixture"}
	sources := &document.Section{ID: "recalc-sources-section",
		Title: "Recalculation: where the inputs of the margins come from"}
	all := []*document.Section{margins.Add(b.table()), mixtures.Add(b.mosTable(), b.doseTable())}
	if t := b.aggregateTable(); t != nil {
		all = append(all,
			(&document.Section{ID: "recalc-aggregate-section",
				Title: "Recalculation: exposure to all products together"}).Add(t))
	}
	return append(all, sources.Add(b.sourceTable()))
}

// usesArea says whether the absorption per area of a row can be used.
func (b *marginBuilder) usesArea(r *marginRow) bool {
	e := b.m.exposure()
	return r.Absorption.UgCm2 != nil && !e.Swallowed && e.AreaCm2 != nil && e.PerDay != nil && e.Known()
}

// table shows the inputs of each margin at the highest content of any mixture.
func (b *marginBuilder) table() *document.Table {
	cols := []document.Column{{Head: "Substance", Fixed: true, Weight: 1.4},
		numbers("content", "Content, highest", "% w/w"), {Key: "where", Head: "Highest in"}, numbers("abs",
			"Absorbed", "%")}
	if b.byArea {
		cols = append(cols, numbers("area", "Absorbed per area and use", "µg/cm²"))
	}
	cols = append(cols, numbers("sed", "SED", "mg/kg bw/d"), numbers("pod", "PoD", "mg/kg bw/d"),
		numbers("loael", "Divisor, effect level", ""), numbers("days", "Divisor, length of study", ""), numbers("inside",
			"Internal share", "%"),
		numbers("sys", "PoD, internal", "mg/kg bw/d"), numbers("mos", "MoS", ""), numbers("target", "Target",
			""), document.Column{Key: "verdict", Head: "Verdict"}, numbers("most", "Highest content for the target", "% w/w"),
		numbers("pack", "MoS in the pack", ""), document.Column{Key: "same", Head: "Same?"})
	t := &document.Table{ID: TableMargins,
		Title: "Systemic exposure dose, point of departure and margin of safety", SheetName: marginSheet, Columns: cols}
	for _, r := range b.rows {
		t.Add(b.row(r)...)
	}
	return t.Note("SED = E/bw × content ÷ 100 × absorbed ÷ 100. PoD, internal = PoD ÷ divisors × internal share ÷ 100. MoS = PoD, internal ÷ SED. A point of departure may be typed where none is known. Whether a value fits and a margin is enough is the assessor's to judge.")
}

func (b *marginBuilder) row(r *marginRow) []document.Cell {
	source := r.Absorption.Pct.Cite()
	abs := document.FloatCell(r.Absorption.Pct.Value, show.ExposureDigits).
		MarkedIf(r.Absorption.Pct.FromMemory(), show.MemoryMark).
		Open(document.PctInput("Absorbed, %", words.Joined("; ", r.Absorption.Why, source))).
		Named(b.m.names.of("Absorbed", r.name))
	row := []document.Cell{document.LinkCell(r.name, "recalc-source-"+words.Itoa(r.row)).
		At("recalc-margin-" + words.Itoa(r.row)), b.content(r), b.where(r), abs}
	if b.byArea {
		area := document.BlankCell()
		if b.usesArea(r) {
			area = document.FloatCell(r.Absorption.UgCm2.Value, show.ExposureDigits).
				Open(document.PositiveInput("Absorbed, µg/cm² a use", r.Absorption.UgCm2.Cite()))
		}
		row = append(row, area)
	}
	sed := document.MissingCell(noExposureWords)
	if b.m.exposure().Known() {
		sed = document.FloatCell(r.SED.Max, show.ExposureDigits)
	}
	row = append(row, sed.Computed(b.dose(r, "{content}", "{abs}", "{area}")).Named(b.m.names.of("SED", r.name)))
	row = append(row, b.podCells(r)...)
	return append(row, b.outcome(r)...)
}

// content is the highest content in any mixture that the row speaks for.
func (b *marginBuilder) content(r *marginRow) document.Cell {
	formula := cellAt(TableMost, "worst", r.sub.row)
	if !r.all {
		var cells []string
		for _, c := range r.cols {
			cells = append(cells, cellAt(TableMost, c.key, r.sub.row))
		}
		formula = "MAX(" + strings.Join(cells, ",") + ")"
	}
	return document.PctCell(r.Content.Max).Computed(formula)
}

func (b *marginBuilder) where(r *marginRow) document.Cell {
	if !r.all {
		var heads []string
		for _, c := range r.cols {
			heads = append(heads, c.head)
		}
		return document.TextCell("of " + strings.Join(heads, ", "))
	}
	var worst exact.Num
	where := ""
	for _, c := range r.cols {
		if x := c.contents[r.sub.key].Total.Max; where == "" || worst.Less(x) {
			worst, where = x, c.head
		}
	}
	return document.TextCell(where).Computed(cellAt(TableMost, "where", r.sub.row))
}

// dose is the formula of an SED from a content.
func (b *marginBuilder) dose(r *marginRow, content, abs, area string) string {
	e := b.m.exposure()
	skin := nameEbw + "*" + content + "/100*" + abs + "/100"
	if b.usesArea(r) {
		byArea := area + "*0.001*" + nameArea + "*" + namePerDay + "/" + nameBodyWeight
		if e.ChildFactor != nil {
			byArea += "*" + nameChild
		}
		if r.Absorption.Kind == exposure.AbsorptionStated {
			byArea = "MAX(" + skin + "," + byArea + ")"
		}
		skin = "IF(ISNUMBER(" + area + ")," + byArea + "," + skin + ")"
	}
	if b.m.inhalation().Known() {
		skin += "+" + nameInhaled + "*" + content + "/100"
	}
	return "IF(ISNUMBER(" + nameEbw + ")," + skin + `,"` + noExposureWords + `")`
}

// podCells are the point of departure and what makes it an internal dose.
func (b *marginBuilder) podCells(r *marginRow) []document.Cell {
	pod := document.MissingCell("none")
	source := "No point of departure is known: " + r.Reason
	one := formula.Stated{Value: 1, Source: "no divisor", Seen: formula.SeenGiven}
	loael, days, inside := one, one, formula.Stated{Value: law.Fact(b.m.v.A.Options.Law,
		"oral-absorption-default").
		Float(), Source: "facts.csv, row oral-absorption-default", Seen: formula.SeenGiven}
	known := hasInternal(&r.Margin)
	if known {
		pod = document.FloatCell(r.PoD.Value, show.ExposureDigits).MarkedIf(r.PoD.FromMemory(), show.MemoryMark)
		source = words.Joined("; ", strings.TrimSpace(r.PoD.Type+" "+r.PoD.Study), r.PoD.Cite())
		inside = r.PoD.Systemic
		if r.PoD.LOAELFactor != nil {
			loael = *r.PoD.LOAELFactor
		}
		if r.PoD.DurationFactor != nil {
			days = *r.PoD.DurationFactor
		}
	}
	divisor := func(f formula.Stated, title string) document.Cell {
		return document.FloatCell(f.Value, show.ExposureDigits).MarkedIf(f.FromMemory(), show.MemoryMark).
			Open(document.Input{Least: 1, Title: title, Source: words.Joined("; ", f.Cite(), f.Note)})
	}
	share := document.FloatCell(inside.Value, show.ExposureDigits).MarkedIf(inside.FromMemory(),
		show.MemoryMark).Open(document.PctInput("Internal share, %", inside.Cite()))
	sys := document.MissingCell(noPoDWords)
	if known {
		sys = document.FloatCell(r.PoDSys, show.ExposureDigits)
		if r.PoD.Route == "dermal" && !b.m.exposure().Swallowed {
			share = share.Computed("{abs}").Open(share.Input.Following())
		}
	}
	return []document.Cell{pod.Open(document.PositiveInput("Point of departure, mg/kg bw/d", source)).
		Named(b.m.names.of("PoD", r.name)),
		divisor(loael, "Divisor, effect level"), divisor(days, "Divisor, length of study"), share,
		sys.Computed(`IF(ISNUMBER({pod}),{pod}/({loael}*{days})*{inside}/100,"` + noPoDWords + `")`)}
}

// outcome is the margin, the verdict, the content that reaches the target, the
// program's own figure and the words.
func (b *marginBuilder) outcome(r *marginRow) []document.Cell {
	words := b.noMargin(r)
	mos, verdict, most := document.FloatCell(r.MoS,
		document.RatioDigits), show.MarginVerdict(r.Verdict), document.FloatCell(0, show.ExposureDigits)
	pack := document.FloatCell(r.MoS, document.RatioDigits)
	if r.HighestPct != nil {
		most.Float = *r.HighestPct
	}
	if words != "" {
		mos, most, pack = document.MissingCell(words), document.MissingCell("none"), document.MissingCell(words)
		verdict = show.MarginVerdict(exposure.MarginNone)
	}
	mostCell := most.Computed(`IF(ISNUMBER({mos}),MIN(100,{content}*{mos}/{target}),"none")`)
	if b.usesArea(r) {
		mostCell = document.TextCell("by area")
		if r.HighestPct != nil {
			mostCell = most
		}
	}
	return []document.Cell{mos.Computed(`IF(ISNUMBER({pod}),IF(ISNUMBER({sed}),IF({sed}*{sys}=0,"` +
		noDoseWords + `",{sys}/{sed}),"` + noExposureWords + `"),"` + noPoDWords + `")`).
		Named(b.m.names.of("MoS", r.name)).Strong(),
		document.FloatCell(r.Target.Value, show.ExposureDigits).MarkedIf(r.Target.FromMemory(), show.MemoryMark).
			Open(document.PositiveInput("Margin asked for", r.Target.Cite())),
		verdict.Computed(verdictFormula()),
		mostCell, pack,
		document.TextCell("same").Computed(`IF(ISNUMBER({mos}),IF(ISNUMBER({pack}),IF(ABS({mos}-{pack})<={pack}*` +
			tiny + `,"same","differs"),"differs"),IF(ISNUMBER({pack}),"differs","same"))`)}
}

// noMargin is what the formulas say where there is no margin; "" where there is.
func (b *marginBuilder) noMargin(r *marginRow) string {
	switch {
	case !hasInternal(&r.Margin):
		return noPoDWords
	case !b.m.exposure().Known():
		return noExposureWords
	case r.SED.Max == 0 || r.PoDSys == 0:
		return noDoseWords
	}
	return ""
}

// verdictFormula compares a margin with its target.
func verdictFormula() string {
	words := func(v exposure.MarginVerdict) string { return `"` + verdictText(show.MarginVerdict(v)) + `"` }
	return "IF(ISNUMBER({mos}),IF({mos}<{target}*(1-" + tiny + ")," + words(exposure.MarginBelow) + "," +
		words(exposure.MarginReached) + ")," + words(exposure.MarginNone) + ")"
}
