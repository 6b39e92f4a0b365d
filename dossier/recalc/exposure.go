package recalc

import (
	"math"
	"strings"

	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
)

// gPerMg turns the g of an amount into the mg of a dose in a formula.
const gPerMg = "1000"

// exposureSection computes the exposure to the product from its figures.
func (m *model) exposureSection() *document.Section {
	s := &document.Section{ID: "recalc-exposure-section", Title: "Recalculation: exposure to the product"}
	s.Add(m.exposureTable())
	if h := m.inhalation(); h.Known() {
		s.Add(m.inhalationTable(h))
	}
	return s
}

func (m *model) exposure() *exposure.Exposure { return &m.columns[0].result.Exposure }

func (m *model) inhalation() *exposure.Inhalation { return &m.columns[0].result.Inhalation }

func exposureColumns() []document.Column {
	return []document.Column{{Head: "Figure", Fixed: true, Weight: 1.4},
		{Key: "value", Head: "Value", Kind: document.KindNumber}, {Head: "Unit"}, {Key: "pack", Head: "In the pack",
			Kind: document.KindNumber}, {Head: "Source"}, {Head: "How"}}
}

// figureRow is one figure of the exposure, with the program's value beside it.
func figureRow(name, unit string, f *formula.Stated, cell document.Cell, how string) []document.Cell {
	return []document.Cell{document.TextCell(name), cell, document.TextCell(unit), figureCell(f),
		document.TextCell(f.Cite()), document.TextCell(words.Joined("; ", how, f.Note))}
}

// figureCell is a figure with all its digits.
func figureCell(f *formula.Stated) document.Cell {
	return document.FloatCell(f.Value, show.ExposureDigits).MarkedIf(f.FromMemory(), show.MemoryMark)
}

// inputFigure is a figure that may be changed.
func inputFigure(f *formula.Stated, name string, in document.Input) document.Cell {
	in.Source = f.Cite()
	return document.FloatCell(f.Value, show.ExposureDigits).Open(in).Named(name)
}

// exposureTable lists the figures in the order of the arithmetic.
func (m *model) exposureTable() *document.Table {
	e := m.exposure()
	t := &document.Table{ID: tableExposure, Title: "How much of the product reaches its user",
		SheetName: exposureSheet, Columns: exposureColumns()}
	if e.AmountG != nil {
		t.Add(figureRow("Product applied", "g/d", e.AmountG,
			inputFigure(e.AmountG, nameAmount, document.PositiveInput("Product applied, g/d", "")), "")...)
	}
	if e.Retention != nil {
		t.Add(figureRow("Retention factor", "share", e.Retention, inputFigure(e.Retention, nameRetention,
			document.Input{Most: 1, Title: "Share that stays, 0 to 1"}), "")...)
	}
	if e.ExposureG != nil {
		t.Add(m.staysRow(len(t.Rows))...)
	}
	t.Add(figureRow("Body weight", "kg", e.BodyWeightKg, inputFigure(e.BodyWeightKg, nameBodyWeight,
		document.PositiveInput("Body weight, kg", "")), "")...)
	bodyRow := len(t.Rows) - 1
	if e.ChildFactor != nil {
		t.Add(figureRow("Factor for children's skin surface", "ratio", e.ChildFactor,
			inputFigure(e.ChildFactor, nameChild, document.PositiveInput("Factor for children", "")), "")...)
	}
	stated := m.statedExposure()
	if stated != nil {
		t.Add(figureRow("Per body weight, as printed or given", "mg/kg bw/d", stated,
			inputFigure(stated, nameStated, document.PositiveInput("E/bw as printed, mg/kg bw/d", "")),
			"used as it stands as long as amount, retention and body weight are those of its source")...)
	}
	t.Add(m.relativeRow(stated, bodyRow)...)
	for _, f := range []struct {
		name, unit, cell string
		figure           *formula.Stated
	}{{"Skin treated", "cm²", nameArea, e.AreaCm2}, {"Applications", "1/d", namePerDay,
		e.PerDay}, {"Youngest user's body weight", "kg", nameUserWeight, e.UserWeightKg}} {
		if f.figure != nil {
			t.Add(figureRow(f.name, f.unit, f.figure,
				inputFigure(f.figure, f.cell, document.PositiveInput(f.name+", "+f.unit, "")), "")...)
		}
	}
	return t
}

// staysRow is the product that stays: as the source states it while amount and
// retention are the source's, else their product.
func (m *model) staysRow(row int) []document.Cell {
	e := m.exposure()
	cell := document.FloatCell(e.ExposureG.Value, show.ExposureDigits).Named(nameStays)
	how := ""
	if e.AmountG == nil || e.Retention == nil {
		in := document.PositiveInput("Product that stays, g/d", e.ExposureG.Cite())
		return figureRow("Product that stays", "g/d", e.ExposureG, cell.Open(in), how)
	}
	same := func(name string, row int) string {
		return "ABS(" + name + "-{pack@" + words.Itoa(row) + "})<0.000000000001"
	}
	how = "amount × retention; as the source rounds it while both are the source's"
	return figureRow("Product that stays", "g/d", e.ExposureG,
		cell.Computed("IF(AND("+same(nameAmount, row-2)+","+same(nameRetention,
			row-1)+"),{pack},"+nameAmount+"*"+nameRetention+")"), how)
}

// statedExposure is E/bw as a source prints it or the product file gives it,
// before any factor for children; nil where it is computed from the amount.
func (m *model) statedExposure() *formula.Stated {
	e := m.exposure()
	if !e.Known() {
		return nil
	}
	factor := 1.0
	if e.ChildFactor != nil {
		factor = e.ChildFactor.Value
	}
	near := func(a, b float64) bool { return math.Abs(a-b) <= 1e-12*math.Abs(b) }
	if e.ExposureG != nil && near(e.ExposureG.Value*1000/e.BodyWeightKg.Value*factor, e.MgPerKg.Value) {
		return nil
	}
	stated := *e.MgPerKg
	stated.Value /= factor
	if e.Row != nil && e.Row.RelativeMgKg != nil && near(e.Row.RelativeMgKg.Value*factor, e.MgPerKg.Value) {
		stated.Value = e.Row.RelativeMgKg.Value
	}
	return &stated
}

// relativeRow is E/bw, what every dose starts from.
func (m *model) relativeRow(stated *formula.Stated, bodyRow int) []document.Cell {
	e := m.exposure()
	const name, unit = "Product that stays, per body weight (E/bw)", "mg/kg bw/d"
	if !e.Known() {
		none := document.MissingCell("not known")
		return []document.Cell{document.TextCell(name),
			none.Open(document.PositiveInput("E/bw, mg/kg bw/d",
				"No figure is known; nothing that rests on it is computed until one is typed")).
				Named(nameEbw), document.TextCell(unit), none, document.BlankCell(), document.BlankCell()}
	}
	computed := nameStays + "*" + gPerMg + "/" + nameBodyWeight
	how := "product that stays × 1000 ÷ body weight"
	formula := computed
	if stated != nil {
		formula, how = nameStated, "as printed or given"
		if e.ExposureG != nil {
			how += "; with another amount, retention or body weight: product that stays × 1000 ÷ body weight"
			stays := bodyRow - 1
			formula = "IF(AND({value@" + words.Itoa(stays) + "}={pack@" + words.Itoa(stays) + "},ABS(" +
				nameBodyWeight + "-{pack@" + words.Itoa(bodyRow) + "})<0.000000000001)," + nameStated + "," +
				computed + ")"
		}
	}
	if e.ChildFactor != nil {
		formula += "*" + nameChild
		how += "; × factor for children"
	}
	cell := document.FloatCell(e.MgPerKg.Value, show.ExposureDigits).Computed(formula).Named(nameEbw)
	return []document.Cell{document.TextCell(name), cell.Strong(), document.TextCell(unit),
		figureCell(e.MgPerKg), document.TextCell(e.MgPerKg.Cite()), document.TextCell(how)}
}

// inhalationTable computes what is breathed in of a spray or powder.
func (m *model) inhalationTable(h *exposure.Inhalation) *document.Table {
	t := &document.Table{ID: tableInhalation, Title: "Breathed in: " + h.Form, SheetName: exposureSheet,
		Columns: exposureColumns()}
	name := func(symbol string) string { return "Inhaled_" + symbol }
	for i := range h.Parameters {
		p := &h.Parameters[i]
		in := document.PositiveInput(document.CutText(p.Name+", "+p.Unit, document.MostInputTitle), "")
		switch p.Unit {
		case "share":
			in = document.Input{Most: 1, Title: in.Title}
		case "%":
			in = document.Input{Most: 100, Title: in.Title}
		}
		cell := inputFigure(&p.Stated, name(p.Symbol), in)
		if formula := m.inhaledFrom(p.Symbol); formula != "" {
			cell = cell.Computed(formula).Open(cell.Input.Following())
		}
		t.Add(figureRow(p.Symbol+", "+p.Name, p.Unit, &p.Stated, cell, "")...)
	}
	f := func(formula string) string {
		for _, p := range h.Parameters {
			formula = strings.ReplaceAll(formula, "<"+p.Symbol+">", name(p.Symbol))
		}
		return formula
	}
	airborne := "<A>*<P>*<AF>"
	add := func(label, unit string, value float64, formula, cell, how string) {
		t.Add(document.TextCell(label), document.FloatCell(value, show.ExposureDigits).Computed(f(formula)).
			Named(cell), document.TextCell(unit), document.FloatCell(value,
			show.ExposureDigits), document.BlankCell(), document.TextCell(how))
	}
	add("Breathed in near the user", "mg/d", h.NearMg, airborne+"/<V1>*<BR>*<t1>", "Inhaled_near_mg",
		"A × P × AF ÷ V1 × BR × t1")
	add("Breathed in in the room", "mg/d", h.FarMg, airborne+"/<V2>*<BR>*<t2>", "Inhaled_far_mg",
		"A × P × AF ÷ V2 × BR × t2")
	add("Taken up, per body weight", "mg/kg bw/d", h.MgPerKg,
		"(Inhaled_near_mg+Inhaled_far_mg)*<G>*<RF>*<LA>/100/<bw>", nameInhaled, "(near + room) × G × RF × LA ÷ 100 ÷ bw")
	return t
}

// inhaledFrom is the formula of a parameter that follows another cell.
func (m *model) inhaledFrom(symbol string) string {
	e := m.exposure()
	switch {
	case symbol == "A" && e.AmountG != nil:
		return nameAmount + "*" + gPerMg
	case symbol == "A":
		return nameEbw + "*" + nameBodyWeight
	case symbol == "bw":
		return nameUserWeight
	}
	return ""
}
