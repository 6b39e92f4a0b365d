package terms

import (
	"strings"

	"gallipot/dossier/transcribe/dose"
)

// Found is an amount inside a line.
type Found struct {
	From, To int
	Amount   dose.Amount
}

// WordStarts are the starts of words outside brackets, from left to right.
func WordStarts(s string) []int {
	var out []int
	depth := 0
	for i := 0; i < len(s); i++ {
		switch s[i] {
		case '(', '[':
			depth++
		case ')', ']':
			depth = max(0, depth-1)
		}
		if depth > 0 {
			continue
		}
		if i == 0 || s[i-1] == ' ' || s[i-1] == '\t' || strings.IndexByte(":=,;/|-(", s[i-1]) >= 0 &&
			s[i] != ' ' {
			if s[i] != ' ' && s[i] != '\t' {
				out = append(out, i)
			}
		}
	}
	return out
}

// Amounts finds the amounts with a unit outside brackets.
func (d *Terms) Amounts(s string) []Found {
	var out []Found
	end := 0
	for _, i := range WordStarts(s) {
		if i < end {
			continue
		}
		a, rest, ok := d.Dose.At(s[i:])
		if !ok || a.Unit == "" {
			continue
		}
		end = len(s) - len(rest)
		out = append(out, Found{i, end, a})
	}
	return out
}
