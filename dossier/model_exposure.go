package dossier

import (
	"math"
	"strings"

	"gallipot/calc"
)

// The tables of exposure, by their IDs, their sheet, and the names of the cells
// that other sheets use.
const (
	exposureSheet   = "Recalc exposure"
	tableExposure   = "recalc-exposure"
	tableInhalation = "recalc-inhalation"

	nameAmount     = "Exposure_amount_g"
	nameRetention  = "Exposure_retention"
	nameStays      = "Exposure_stays_g"
	nameBodyWeight = "Exposure_body_weight_kg"
	nameUserWeight = "Exposure_user_weight_kg"
	nameChild      = "Exposure_child_factor"
	nameStated     = "Exposure_E_bw_stated"
	nameEbw        = "Exposure_E_bw"
	nameArea       = "Exposure_area_cm2"
	namePerDay     = "Exposure_uses_per_day"
	nameInhaled    = "Inhaled_per_kg"
)

// gPerMg turns the g of an amount into the mg of a dose in a formula.
const gPerMg = "1000"

// exposureSection computes the exposure to the product from its figures.
func (m *model) exposureSection() *Section {
	s := &Section{ID: "recalc-exposure-section", Title: "Recalculation: exposure to the product"}
	s.Add(m.exposureTable())
	if h := m.inhalation(); h.Known() {
		s.Add(m.inhalationTable(h))
	}
	return s
}

func (m *model) exposure() *calc.Exposure     { return &m.columns[0].result.Exposure }
func (m *model) inhalation() *calc.Inhalation { return &m.columns[0].result.Inhalation }

func exposureColumns() []Column {
	return []Column{{Head: "Figure", Fixed: true, Weight: 1.4}, {Key: "value", Head: "Value", Kind: KindNumber}, {Head: "Unit"}, {Key: "pack", Head: "In the pack", Kind: KindNumber}, {Head: "Source"}, {Head: "How"}}
}

// figureRow is one figure of the exposure, with the program's value beside it.
func figureRow(name, unit string, f *calc.Stated, cell Cell, how string) []Cell {
	return []Cell{TextCell(name), cell, TextCell(unit), figureCell(f), TextCell(f.Cite()), TextCell(joined("; ", how, f.Note))}
}

// figureCell is a figure with all its digits.
func figureCell(f *calc.Stated) Cell {
	return FloatCell(f.Value, exposureDigits).MarkedIf(f.FromMemory(), memoryMark)
}

// inputFigure is a figure that may be changed.
func inputFigure(f *calc.Stated, name string, in Input) Cell {
	in.Source = f.Cite()
	return FloatCell(f.Value, exposureDigits).Open(in).Named(name)
}

// exposureTable lists the figures in the order of the arithmetic.
func (m *model) exposureTable() *Table {
	e := m.exposure()
	t := &Table{ID: tableExposure, Title: "How much of the product reaches its user", SheetName: exposureSheet, Columns: exposureColumns()}
	if e.AmountG != nil {
		t.Add(figureRow("Product applied", "g/d", e.AmountG, inputFigure(e.AmountG, nameAmount, positiveInput("Product applied, g/d", "")), "")...)
	}
	if e.Retention != nil {
		t.Add(figureRow("Retention factor", "share", e.Retention, inputFigure(e.Retention, nameRetention, Input{Most: 1, Title: "Share that stays, 0 to 1"}), "")...)
	}
	if e.ExposureG != nil {
		t.Add(m.staysRow(len(t.Rows))...)
	}
	t.Add(figureRow("Body weight", "kg", e.BodyWeightKg, inputFigure(e.BodyWeightKg, nameBodyWeight, positiveInput("Body weight, kg", "")), "")...)
	bodyRow := len(t.Rows) - 1
	if e.ChildFactor != nil {
		t.Add(figureRow("Factor for children's skin surface", "ratio", e.ChildFactor, inputFigure(e.ChildFactor, nameChild, positiveInput("Factor for children", "")), "")...)
	}
	stated := m.statedExposure()
	if stated != nil {
		t.Add(figureRow("Per body weight, as printed or given", "mg/kg bw/d", stated, inputFigure(stated, nameStated, positiveInput("E/bw as printed, mg/kg bw/d", "")),
			"used as it stands as long as amount, retention and body weight are those of its source")...)
	}
	t.Add(m.relativeRow(stated, bodyRow)...)
	for _, f := range []struct {
		name, unit, cell string
		figure           *calc.Stated
	}{{"Skin treated", "cm²", nameArea, e.AreaCm2}, {"Applications", "1/d", namePerDay, e.PerDay}, {"Youngest user's body weight", "kg", nameUserWeight, e.UserWeightKg}} {
		if f.figure != nil {
			t.Add(figureRow(f.name, f.unit, f.figure, inputFigure(f.figure, f.cell, positiveInput(f.name+", "+f.unit, "")), "")...)
		}
	}
	return t
}

// staysRow is the product that stays: as the source states it while amount and
// retention are the source's, else their product.
func (m *model) staysRow(row int) []Cell {
	e := m.exposure()
	cell := FloatCell(e.ExposureG.Value, exposureDigits).Named(nameStays)
	how := ""
	if e.AmountG == nil || e.Retention == nil {
		in := positiveInput("Product that stays, g/d", e.ExposureG.Cite())
		return figureRow("Product that stays", "g/d", e.ExposureG, cell.Open(in), how)
	}
	same := func(name string, row int) string {
		return "ABS(" + name + "-{pack@" + itoa(row) + "})<0.000000000001"
	}
	how = "amount × retention; as the source rounds it while both are the source's"
	return figureRow("Product that stays", "g/d", e.ExposureG,
		cell.Computed("IF(AND("+same(nameAmount, row-2)+","+same(nameRetention, row-1)+"),{pack},"+nameAmount+"*"+nameRetention+")"), how)
}

// statedExposure is E/bw as a source prints it or the product file gives it,
// before any factor for children; nil where it is computed from the amount.
func (m *model) statedExposure() *calc.Stated {
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
func (m *model) relativeRow(stated *calc.Stated, bodyRow int) []Cell {
	e := m.exposure()
	const name, unit = "Product that stays, per body weight (E/bw)", "mg/kg bw/d"
	if !e.Known() {
		none := MissingCell("not known")
		return []Cell{TextCell(name), none.Open(positiveInput("E/bw, mg/kg bw/d", "No figure is known; nothing that rests on it is computed until one is typed")).Named(nameEbw), TextCell(unit), none, BlankCell(), BlankCell()}
	}
	computed := nameStays + "*" + gPerMg + "/" + nameBodyWeight
	how := "product that stays × 1000 ÷ body weight"
	formula := computed
	if stated != nil {
		formula, how = nameStated, "as printed or given"
		if e.ExposureG != nil {
			how += "; with another amount, retention or body weight: product that stays × 1000 ÷ body weight"
			stays := bodyRow - 1
			formula = "IF(AND({value@" + itoa(stays) + "}={pack@" + itoa(stays) + "},ABS(" + nameBodyWeight + "-{pack@" + itoa(bodyRow) + "})<0.000000000001)," + nameStated + "," + computed + ")"
		}
	}
	if e.ChildFactor != nil {
		formula += "*" + nameChild
		how += "; × factor for children"
	}
	cell := FloatCell(e.MgPerKg.Value, exposureDigits).Computed(formula).Named(nameEbw)
	return []Cell{TextCell(name), cell.Strong(), TextCell(unit), figureCell(e.MgPerKg), TextCell(e.MgPerKg.Cite()), TextCell(how)}
}

// inhalationTable computes what is breathed in of a spray or powder.
func (m *model) inhalationTable(h *calc.Inhalation) *Table {
	t := &Table{ID: tableInhalation, Title: "Breathed in: " + h.Form, SheetName: exposureSheet, Columns: exposureColumns()}
	name := func(symbol string) string { return "Inhaled_" + symbol }
	for i := range h.Parameters {
		p := &h.Parameters[i]
		in := positiveInput(cutText(p.Name+", "+p.Unit, mostInputTitle), "")
		switch p.Unit {
		case "share":
			in = Input{Most: 1, Title: in.Title}
		case "%":
			in = Input{Most: 100, Title: in.Title}
		}
		cell := inputFigure(&p.Stated, name(p.Symbol), in)
		if formula := m.inhaledFrom(p.Symbol); formula != "" {
			cell = cell.Computed(formula).Open(cell.Input.following())
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
		t.Add(TextCell(label), FloatCell(value, exposureDigits).Computed(f(formula)).Named(cell), TextCell(unit), FloatCell(value, exposureDigits), BlankCell(), TextCell(how))
	}
	add("Breathed in near the user", "mg/d", h.NearMg, airborne+"/<V1>*<BR>*<t1>", "Inhaled_near_mg", "A × P × AF ÷ V1 × BR × t1")
	add("Breathed in in the room", "mg/d", h.FarMg, airborne+"/<V2>*<BR>*<t2>", "Inhaled_far_mg", "A × P × AF ÷ V2 × BR × t2")
	add("Taken up, per body weight", "mg/kg bw/d", h.MgPerKg, "(Inhaled_near_mg+Inhaled_far_mg)*<G>*<RF>*<LA>/100/<bw>", nameInhaled, "(near + room) × G × RF × LA ÷ 100 ÷ bw")
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
