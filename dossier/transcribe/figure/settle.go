package figure

import (
	"strings"

	"gallipot/dossier/transcribe/lexicon"
)

// settle turns one or two bounds into the figure.
func (f *Figure) settle(first, second bound, two bool, unit lexicon.Unit) {
	f.Unit = first.unit
	if two {
		if second.hasUnit || f.Unit.Name == "" {
			f.Unit = second.unit
		}
		if first.hasUnit && second.hasUnit && first.unit.Name != second.unit.Name {
			f.Open = "two-units"
		}
		f.Status = Range
		f.Low, f.High = first.value, second.value
		f.LowIn, f.HighIn = first.sign != ">", second.sign != "<"
		if less(f.High, f.Low) {
			f.Open = "bounds-crossed"
		}
		if first.sign == "<" || first.sign == "<=" {
			f.Open = "bounds-crossed"
		}
		return
	}
	switch first.sign {
	case "<", "<=":
		f.Status, f.Low, f.High, f.LowIn, f.HighIn = Below, "0", first.value, true, first.sign == "<="
		if strings.HasPrefix(first.value, "-") { // "< -20 °C"
			f.Low, f.LowIn = "", false
		}
	case ">", ">=":
		f.Status, f.Low, f.LowIn, f.HighIn = Above, first.value, first.sign == ">=", true
	default:
		f.Status, f.Low, f.High, f.LowIn, f.HighIn = Value, first.value, first.value, true, true
		if strings.Trim(first.value, "0.") == "" {
			f.Status = Zero
		}
	}
}

// askBelowZero leaves open a share below zero: its minus is a dash of the layout, or it is wrong.
// A temperature or a rotation may be below zero.
func (f *Figure) askBelowZero() {
	if f.Open == "" && f.Unit.Divisor != 0 && strings.HasPrefix(f.Low+f.High, "-") {
		f.Open = "not-read"
	}
}
