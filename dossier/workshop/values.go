package workshop

import (
	"gallipot/calc/law/rows"
	"gallipot/ingredients/finding"
)

// With begins the values of a finding.
func With() finding.Values { return nil }

// TableRow is a row of a table as what a finding rests on.
func TableRow(file string, r *rows.Row) finding.Values {
	v := With().Quote("source", r.Source).Name("file", file).Name("row", r.Key)
	return finding.Values{{Kind: finding.KindTerm, Text: "table-row",
		List: v.Flag(r.FromMemory(), "unverified")}}
}

// marketWords are the markets a file can name.
var marketWords = []string{string(rows.GB), string(rows.EU), string(rows.NI)}

// Roundings of masses.
const (
	FiveDigits finding.Rounding = 5
	SixDigits  finding.Rounding = 6
)
