package dossier

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/ingredients"
)

// The tables of margins, by their IDs, and their sheets.
const (
	marginSheet  = "Recalc margins"
	mixtureSheet = "Recalc MoS"
	tableMargins = "recalc-margins"
	tableDoses   = "recalc-doses"
	tableMoS     = "recalc-mos"
	tableSources = "recalc-sources"
	sourceSheet  = "Recalc sources"

	noPoDWords      = "no PoD"
	noExposureWords = "no exposure"
	noDoseWords     = "no dose"
)

// marginRow is a substance with one set of inputs: where variants differ in them,
// since a sheet of one states a value, it has several rows.
type marginRow struct {
	calc.Margin
	sub      *modelSubstance
	name     string
	variants []*calc.Variant
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
	add := func(x *calc.Variant, k calc.Margin) {
		sub := m.subAt[(&calc.Substance{INCI: k.INCI, Nano: k.Nano}).Key()]
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
	for _, x := range m.v.variants {
		r := m.v.first(x)
		for _, k := range r.Margins {
			add(x, k)
		}
		for _, t := range r.Traces {
			if s := r.Whole().Find(t.Name); s != nil && !slices.ContainsFunc(s.Contributions, func(c calc.Contribution) bool { return c.Route != calc.ByImpurity }) {
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
				ids = append(ids, shortName(x))
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
func marginInputs(k *calc.Margin) string {
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
func hasInternal(k *calc.Margin) bool {
	switch k.None {
	case calc.NoMarginNotNeeded, calc.NoMarginUndeclared, calc.NoMarginNotDisclosed:
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

func (m *model) marginSections() []*Section {
	b := &marginBuilder{m: m, rows: m.marginRows()}
	if len(b.rows) == 0 {
		return nil
	}
	b.byArea = slices.ContainsFunc(b.rows, b.usesArea)
	margins := &Section{ID: "recalc-margins-section", Title: "Recalculation: margins of safety"}
	mixtures := &Section{ID: "recalc-mos-section", Title: "Recalculation: margins in each mixture"}
	sources := &Section{ID: "recalc-sources-section", Title: "Recalculation: where the inputs of the margins come from"}
	all := []*Section{margins.Add(b.table()), mixtures.Add(b.mosTable(), b.doseTable())}
	if t := b.aggregateTable(); t != nil {
		all = append(all, (&Section{ID: "recalc-aggregate-section", Title: "Recalculation: exposure to all products together"}).Add(t))
	}
	return append(all, sources.Add(b.sourceTable()))
}

// usesArea says whether the absorption per area of a row can be used.
func (b *marginBuilder) usesArea(r *marginRow) bool {
	e := b.m.exposure()
	return r.Absorption.UgCm2 != nil && !e.Swallowed && e.AreaCm2 != nil && e.PerDay != nil && e.Known()
}

// table shows the inputs of each margin at the highest content of any mixture.
func (b *marginBuilder) table() *Table {
	num := func(key, head, unit string) Column { return Column{Key: key, Head: head, Unit: unit, Kind: KindNumber} }
	cols := []Column{{Head: "Substance", Fixed: true, Weight: 1.4}, num("content", "Content, highest", "% w/w"), {Key: "where", Head: "Highest in"}, num("abs", "Absorbed", "%")}
	if b.byArea {
		cols = append(cols, num("area", "Absorbed per area and use", "µg/cm²"))
	}
	cols = append(cols, num("sed", "SED", "mg/kg bw/d"), num("pod", "PoD", "mg/kg bw/d"), num("loael", "Divisor, effect level", ""), num("days", "Divisor, length of study", ""), num("inside", "Internal share", "%"),
		num("sys", "PoD, internal", "mg/kg bw/d"), num("mos", "MoS", ""), num("target", "Target", ""), Column{Key: "verdict", Head: "Verdict"}, num("most", "Highest content for the target", "% w/w"),
		num("pack", "MoS in the pack", ""), Column{Key: "same", Head: "Same?"})
	t := &Table{ID: tableMargins, Title: "Systemic exposure dose, point of departure and margin of safety", SheetName: marginSheet, Columns: cols}
	for _, r := range b.rows {
		t.Add(b.row(r)...)
	}
	return t.Note("SED = E/bw × content ÷ 100 × absorbed ÷ 100. PoD, internal = PoD ÷ divisors × internal share ÷ 100. MoS = PoD, internal ÷ SED. A point of departure may be typed where none is known. Whether a value fits and a margin is enough is the assessor's to judge.")
}

func (b *marginBuilder) row(r *marginRow) []Cell {
	source := r.Absorption.Pct.Cite()
	abs := FloatCell(r.Absorption.Pct.Value, exposureDigits).MarkedIf(r.Absorption.Pct.FromMemory(), memoryMark).Open(pctInput("Absorbed, %", joined("; ", r.Absorption.Why, source))).Named(b.m.names.of("Absorbed", r.name))
	row := []Cell{LinkCell(r.name, "recalc-source-"+itoa(r.row)).At("recalc-margin-" + itoa(r.row)), b.content(r), b.where(r), abs}
	if b.byArea {
		area := BlankCell()
		if b.usesArea(r) {
			area = FloatCell(r.Absorption.UgCm2.Value, exposureDigits).Open(positiveInput("Absorbed, µg/cm² a use", r.Absorption.UgCm2.Cite()))
		}
		row = append(row, area)
	}
	sed := MissingCell(noExposureWords)
	if b.m.exposure().Known() {
		sed = FloatCell(r.SED.Max, exposureDigits)
	}
	row = append(row, sed.Computed(b.dose(r, "{content}", "{abs}", "{area}")).Named(b.m.names.of("SED", r.name)))
	row = append(row, b.podCells(r)...)
	return append(row, b.outcome(r)...)
}

// content is the highest content in any mixture that the row speaks for.
func (b *marginBuilder) content(r *marginRow) Cell {
	formula := cellAt(tableMost, "worst", r.sub.row)
	if !r.all {
		var cells []string
		for _, c := range r.cols {
			cells = append(cells, cellAt(tableMost, c.key, r.sub.row))
		}
		formula = "MAX(" + strings.Join(cells, ",") + ")"
	}
	return PctCell(r.Content.Max).Computed(formula)
}

func (b *marginBuilder) where(r *marginRow) Cell {
	if !r.all {
		var heads []string
		for _, c := range r.cols {
			heads = append(heads, c.head)
		}
		return TextCell("of " + strings.Join(heads, ", "))
	}
	var worst ingredients.Num
	where := ""
	for _, c := range r.cols {
		if x := c.contents[r.sub.key].Total.Max; where == "" || worst.Less(x) {
			worst, where = x, c.head
		}
	}
	return TextCell(where).Computed(cellAt(tableMost, "where", r.sub.row))
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
		if r.Absorption.Kind == calc.AbsorptionStated {
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
func (b *marginBuilder) podCells(r *marginRow) []Cell {
	pod := MissingCell("none")
	source := "No point of departure is known: " + r.Reason
	one := calc.Stated{Value: 1, Source: "no divisor", Seen: calc.SeenGiven}
	loael, days, inside := one, one, calc.Stated{Value: b.m.v.a.Options.Law.Fact("oral-absorption-default").Float(), Source: "facts.csv, row oral-absorption-default", Seen: calc.SeenGiven}
	known := hasInternal(&r.Margin)
	if known {
		pod = FloatCell(r.PoD.Value, exposureDigits).MarkedIf(r.PoD.FromMemory(), memoryMark)
		source = joined("; ", strings.TrimSpace(r.PoD.Type+" "+r.PoD.Study), r.PoD.Cite())
		inside = r.PoD.Systemic
		if r.PoD.LOAELFactor != nil {
			loael = *r.PoD.LOAELFactor
		}
		if r.PoD.DurationFactor != nil {
			days = *r.PoD.DurationFactor
		}
	}
	divisor := func(f calc.Stated, title string) Cell {
		return FloatCell(f.Value, exposureDigits).MarkedIf(f.FromMemory(), memoryMark).Open(Input{Least: 1, Title: title, Source: joined("; ", f.Cite(), f.Note)})
	}
	share := FloatCell(inside.Value, exposureDigits).MarkedIf(inside.FromMemory(), memoryMark).Open(pctInput("Internal share, %", inside.Cite()))
	sys := MissingCell(noPoDWords)
	if known {
		sys = FloatCell(r.PoDSys, exposureDigits)
		if r.PoD.Route == "dermal" && !b.m.exposure().Swallowed {
			share = share.Computed("{abs}").Open(share.Input.following())
		}
	}
	return []Cell{pod.Open(positiveInput("Point of departure, mg/kg bw/d", source)).Named(b.m.names.of("PoD", r.name)),
		divisor(loael, "Divisor, effect level"), divisor(days, "Divisor, length of study"), share,
		sys.Computed(`IF(ISNUMBER({pod}),{pod}/({loael}*{days})*{inside}/100,"` + noPoDWords + `")`)}
}

// outcome is the margin, the verdict, the content that reaches the target, the
// program's own figure and the words.
func (b *marginBuilder) outcome(r *marginRow) []Cell {
	words := b.noMargin(r)
	mos, verdict, most := FloatCell(r.MoS, ratioDigits), marginVerdict(r.Verdict), FloatCell(0, exposureDigits)
	pack := FloatCell(r.MoS, ratioDigits)
	if r.HighestPct != nil {
		most.Float = *r.HighestPct
	}
	if words != "" {
		mos, most, pack = MissingCell(words), MissingCell("none"), MissingCell(words)
		verdict = marginVerdict(calc.MarginNone)
	}
	mostCell := most.Computed(`IF(ISNUMBER({mos}),MIN(100,{content}*{mos}/{target}),"none")`)
	if b.usesArea(r) {
		mostCell = TextCell("by area")
		if r.HighestPct != nil {
			mostCell = most
		}
	}
	return []Cell{mos.Computed(`IF(ISNUMBER({pod}),IF(ISNUMBER({sed}),IF({sed}*{sys}=0,"` + noDoseWords + `",{sys}/{sed}),"` + noExposureWords + `"),"` + noPoDWords + `")`).Named(b.m.names.of("MoS", r.name)).Strong(),
		FloatCell(r.Target.Value, exposureDigits).MarkedIf(r.Target.FromMemory(), memoryMark).Open(positiveInput("Margin asked for", r.Target.Cite())),
		verdict.Computed(verdictFormula()),
		mostCell, pack,
		TextCell("same").Computed(`IF(ISNUMBER({mos}),IF(ISNUMBER({pack}),IF(ABS({mos}-{pack})<={pack}*` + tiny + `,"same","differs"),"differs"),IF(ISNUMBER({pack}),"differs","same"))`)}
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
	words := func(v calc.MarginVerdict) string { return `"` + verdictText(marginVerdict(v)) + `"` }
	return "IF(ISNUMBER({mos}),IF({mos}<{target}*(1-" + tiny + ")," + words(calc.MarginBelow) + "," + words(calc.MarginReached) + ")," + words(calc.MarginNone) + ")"
}
