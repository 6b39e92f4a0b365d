package dossier

import (
	"strings"

	"gallipot/calc"
	"gallipot/ingredients"
)

const lineExample = "{ingredient: glycerin, amount: 4}"

// readFormula reads the base. Whether the percentages add up is for the
// calculation.
func readFormula(m *ingredients.Mapping) calc.Formula {
	f := calc.Formula{Pos: m.Pos()}
	m.Need("basis", "basis: percent, or basis: grams where the lines are masses of one batch")
	f.Basis = calc.Basis(m.At("basis").Choice(string(calc.Percent), string(calc.Grams)))
	m.Need("phases", "phases: [{id: A, lines: ["+lineExample+"]}]")
	phases := m.At("phases")
	ids := map[string]bool{}
	phases.EachIn("phase", "{id: A, lines: ["+lineExample+"]}", func(m *ingredients.Mapping) {
		p := readPhase(m, f.Basis)
		if ids[p.ID] && p.ID != "" {
			m.At("id").Stop(ingredients.CodeDuplicateID, "phase", with().Name("id", p.ID))
		}
		ids[p.ID] = true
		f.Phases = append(f.Phases, p)
	})
	if phases.IsList() && phases.Len() == 0 {
		phases.Stop(ingredients.CodeEmptyValue, "list", with().Quote("write", "[{id: A, lines: ["+lineExample+"]}]"))
	}
	checkOneRest(m.Reader(), &f)
	return f
}

func readPhase(m *ingredients.Mapping, basis calc.Basis) calc.Phase {
	m.Need("id", "id: A")
	m.Need("lines", "lines: ["+lineExample+"]")
	p := calc.Phase{ID: m.At("id").Text(), Name: m.At("name").Text(), HeatC: m.At("heat_c").Num(), Pos: m.Pos()}
	lines := m.At("lines")
	lines.EachIn("formula line", lineExample, func(m *ingredients.Mapping) { p.Lines = append(p.Lines, readLine(m, basis)) })
	if lines.IsList() && lines.Len() == 0 {
		lines.Stop(ingredients.CodeEmptyValue, "list", with().Quote("write", "["+lineExample+"]").Name("optional", "phase"))
	}
	return p
}

func readLine(m *ingredients.Mapping, basis calc.Basis) calc.Line {
	material, slot := m.At("ingredient"), m.At("slot")
	l := calc.Line{Ingredient: material.Text(), Slot: slot.Text(), Pos: m.Pos()}
	switch {
	case material.Present() && slot.Present():
		slot.Stop(CodeLineMaterial, "both", nil)
	case material.Present():
		l.Pos = material.Pos()
	case slot.Present():
		l.Pos = slot.Pos()
	default:
		m.Reader().Stop(CodeLineMaterial, "neither", m.Pos(), "line", nil)
	}
	m.Need("amount", "amount: 4, or amount: q.s. for the rest to 100")
	amount := m.At("amount")
	l.AmountPos = amount.Pos()
	l.Amount, l.Rest = readLineAmount(amount, basis)
	return l
}

// readLineAmount reads what is weighed: one number, in % or in g by the basis,
// or q.s. in a formula in per cent.
func readLineAmount(v ingredients.Node, basis calc.Basis) (n ingredients.Num, rest bool) {
	if v.IsGroup() || v.IsList() {
		v.Stop(CodeRangeInFormula, "", nil)
		return n, false
	}
	text := v.Text()
	if text == "" {
		return n, false
	}
	switch strings.ToLower(text) {
	case "q.s.", "qs", "q.s":
		if basis == calc.Grams {
			v.Stop(ingredients.CodeRestNotAllowed, "grams", nil)
			return n, false
		}
		return n, true
	}
	if strings.ContainsAny(text, "<>–~") || strings.Contains(text[1:], "-") {
		v.Stop(CodeRangeInFormula, "", with().Quote("typed", text))
		return n, false
	}
	number, divisor, ok := cutUnit(text, basis)
	if !ok {
		v.Stop(ingredients.CodeBadAmount, "unit", with().Quote("typed", text).Name("unit", unitOf(basis)).Name("basis", string(basis)))
		return n, false
	}
	n, err := ingredients.ParseNum(number)
	if err != nil {
		v.Failed(ingredients.CodeBadAmount, err)
		return ingredients.Num{}, false
	}
	n = n.Quo(ingredients.Int(divisor))
	switch {
	case n.Sign() < 0:
		v.Stop(ingredients.CodeBadAmount, "negative", with().Quote("typed", text))
	case n.IsZero():
		v.Stop(ingredients.CodeBadAmount, "zero", nil)
	case basis == calc.Percent && ingredients.Int(100).Less(n):
		v.Stop(ingredients.CodeBadAmount, "above-100", with().Quote("typed", text))
	default:
		return n, false
	}
	return ingredients.Num{}, false
}

func unitOf(basis calc.Basis) string {
	if basis == calc.Grams {
		return "g"
	}
	return "%"
}

// cutUnit takes the unit off an amount and returns by how much to divide it.
func cutUnit(text string, basis calc.Basis) (number string, divisor int64, ok bool) {
	units := []struct {
		suffix  string
		divisor int64
		basis   calc.Basis
	}{{"mg/kg", 10_000, calc.Percent}, {"ppm", 10_000, calc.Percent}, {"%", 1, calc.Percent}, {"kg", 0, ""}, {"g", 1, calc.Grams}}
	for _, u := range units {
		if rest, found := strings.CutSuffix(text, u.suffix); found {
			return strings.TrimSpace(rest), u.divisor, u.basis == basis
		}
	}
	return text, 1, true
}

// checkOneRest allows one q.s. line.
func checkOneRest(r *ingredients.Reader, f *calc.Formula) {
	var first *calc.Line
	for i := range f.Phases {
		for j := range f.Phases[i].Lines {
			l := &f.Phases[i].Lines[j]
			switch {
			case !l.Rest:
			case first != nil:
				r.Stop(ingredients.CodeRestTwice, "", l.AmountPos, "amount", with().Count("line", first.AmountPos.Line))
			default:
				first = l
			}
		}
	}
}
