package workshop

import (
	"strings"

	"gallipot/calc/formula"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/pattern"
	"gallipot/ingredients/source"
)

const lineExample = "{ingredient: glycerin, amount: 4}"

// readFormula reads the base. Whether the percentages add up is for the
// calculation.
func readFormula(m *source.Mapping) formula.Formula {
	f := formula.Formula{Pos: m.Pos()}
	m.Need("basis", "basis: percent, or basis: grams where the lines are masses of one batch")
	f.Basis = formula.Basis(m.At("basis").Choice(string(formula.Percent), string(formula.Grams)))
	m.Need("phases", "phases: [{id: A, lines: ["+lineExample+"]}]")
	phases := m.At("phases")
	ids := map[string]bool{}
	phases.EachIn("phase", "{id: A, lines: ["+lineExample+"]}", func(m *source.Mapping) {
		p := readPhase(m, f.Basis)
		if ids[p.ID] && p.ID != "" {
			m.At("id").Stop(source.CodeDuplicateID, "phase", With().Name("id", p.ID))
		}
		ids[p.ID] = true
		f.Phases = append(f.Phases, p)
	})
	if phases.IsList() && phases.Len() == 0 {
		phases.Stop(source.CodeEmptyValue, "list",
			With().Quote("write", "[{id: A, lines: ["+lineExample+"]}]"))
	}
	checkOneRest(m.Reader(), &f)
	return f
}

func readPhase(m *source.Mapping, basis formula.Basis) formula.Phase {
	m.Need("id", "id: A")
	m.Need("lines", "lines: ["+lineExample+"]")
	p := formula.Phase{ID: m.At("id").Text(), Name: m.At("name").Text(), HeatC: m.At("heat_c").Num(),
		Pos: m.Pos()}
	lines := m.At("lines")
	lines.EachIn("formula line", lineExample, func(m *source.Mapping) {
		p.Lines = append(p.Lines, readLine(m, basis))
		m.Elsewhere("formula", "saponify")
	})
	if lines.IsList() && lines.Len() == 0 {
		lines.Stop(source.CodeEmptyValue, "list", With().Quote("write", "["+lineExample+"]").Name("optional",
			"phase"))
	}
	m.Elsewhere("formula", "saponify")
	return p
}

func readLine(m *source.Mapping, basis formula.Basis) formula.Line {
	material, slot := m.At("ingredient"), m.At("slot")
	l := formula.Line{Ingredient: material.Text(), Slot: slot.Text(), Pos: m.Pos()}
	switch {
	case material.Present() && slot.Present():
		slot.Stop(codeLineMaterial, "both", nil)
	case material.Present():
		l.Pos = material.Pos()
	case slot.Present():
		l.Pos = slot.Pos()
	default:
		m.Reader().Stop(codeLineMaterial, "neither", m.Pos(), "line", nil)
	}
	m.Need("amount", "amount: 4, or amount: q.s. for the rest to 100")
	amount := m.At("amount")
	l.AmountPos = amount.Pos()
	l.Amount, l.Rest = readLineAmount(amount, basis)
	return l
}

// rangeTyped is a hyphen between two figures.
var rangeTyped = pattern.New(`[0-9%] ?- ?[0-9]`)

// readLineAmount reads what is weighed: one number, in % or in g by the basis,
// or q.s. in a formula in per cent.
func readLineAmount(v source.Node, basis formula.Basis) (n exact.Num, rest bool) {
	if v.IsGroup() || v.IsList() {
		v.Stop(codeRangeInFormula, "", nil)
		return n, false
	}
	if v.LeftOpen(source.CodeBadAmount) {
		return n, false
	}
	text := v.Text()
	if text == "" {
		return n, false
	}
	switch strings.ToLower(text) {
	case "q.s.", "qs", "q.s":
		if basis == formula.Grams {
			v.Stop(source.CodeRestNotAllowed, "grams", nil)
			return n, false
		}
		return n, true
	}
	if strings.ContainsAny(text, "<>–~") || rangeTyped.MatchString(text) {
		v.Stop(codeRangeInFormula, "", With().Quote("typed", text))
		return n, false
	}
	number, divisor, ok := cutUnit(text, basis)
	err := exact.AskedAbout(text)
	if err == nil && ok {
		n, err = exact.ParseNum(number)
		n = n.Quo(exact.Int(divisor))
	}
	switch {
	case err != nil:
		v.Failed(source.CodeBadAmount, err)
	case !ok:
		v.Stop(source.CodeBadAmount, "unit",
			With().Quote("typed", text).Name("unit", unitOf(basis)).Name("basis", string(basis)))
	case n.Sign() < 0:
		v.Stop(source.CodeBadAmount, "negative", With().Quote("typed", text))
	case n.IsZero():
		v.Stop(source.CodeBadAmount, "zero", nil)
	case basis == formula.Percent && exact.Int(100).Less(n):
		v.Stop(source.CodeBadAmount, "above-100", With().Quote("typed", text))
	default:
		return n, false
	}
	return exact.Num{}, false
}

func unitOf(basis formula.Basis) string {
	if basis == formula.Grams {
		return "g"
	}
	return "%"
}

// cutUnit takes the unit off an amount and returns by how much to divide it.
func cutUnit(text string, basis formula.Basis) (number string, divisor int64, ok bool) {
	units := []struct {
		suffix  string
		divisor int64
		basis   formula.Basis
	}{{"mg/kg", 10_000, formula.Percent}, {"ppm", 10_000, formula.Percent}, {"%", 1, formula.Percent}, {"kg",
		0, ""}, {"g", 1, formula.Grams}}
	for _, u := range units {
		if rest, found := strings.CutSuffix(text, u.suffix); found {
			return strings.TrimSpace(rest), u.divisor, u.basis == basis
		}
	}
	return text, 1, true
}

// checkOneRest allows one q.s. line.
func checkOneRest(r *source.Reader, f *formula.Formula) {
	var first *formula.Line
	for i := range f.Phases {
		for j := range f.Phases[i].Lines {
			l := &f.Phases[i].Lines[j]
			switch {
			case !l.Rest:
			case first != nil:
				r.Stop(source.CodeRestTwice, "", l.AmountPos, "amount",
					With().Count("line", first.AmountPos.Line))
			default:
				first = l
			}
		}
	}
}
