package sheet

import (
	"gallipot/dossier/document/layout"
)

func widestLine(s string) float64 { return layout.LineWidth([]layout.Run{{Text: s}}, sheetMeasure) }

func widestWord(s string) float64 {
	const most = 30
	widest, word := 0.0, 0.0
	for _, r := range s {
		if r == ' ' || r == '\n' {
			word = 0
			continue
		}
		word += sheetMeasure(r, nil)
		widest = max(widest, word)
	}
	return min(widest, most)
}

// sheetMeasure gives the width of a character in the sheet's font, in widths of
// a digit: from the metrics of the font, a digit being 556 of 1000.
// Source: the published metrics of the metric-compatible core font (Core 14 AFM
// files); a character that is not listed counts as a wide one.
func sheetMeasure(r rune, _ *layout.Run) float64 {
	switch {
	case r < 128 && digitWidths[r] > 0:
		return digitWidths[r]
	case r < 0x250 || r == '–' || r == '’':
		return 1.1
	case r > 0x2E80:
		return 2
	}
	return 1.4
}

// digitWidths are the widths of ASCII characters in digits.
var digitWidths = func() (w [128]float64) {
	for _, group := range []struct {
		chars string
		units float64
	}{
		{"'", 191}, {"ijl|", 222}, {" !,./:;I[\\]ft", 278}, {"()-`r{}", 333}, {"\"*", 370}, {"^", 469},
		{"Jcksvxyz", 500}, {"#$0123456789?L_abdeghnopqu", 556}, {"+<=>~", 584}, {"FTZ", 611},
		{"&ABEKPSVXY", 667}, {"CDHNRUw", 722}, {"GOQ", 778}, {"Mm", 833}, {"%", 889}, {"W", 944}, {"@", 1015},
	} {
		for _, r := range group.chars {
			w[r] = group.units / 556
		}
	}
	return w
}()
