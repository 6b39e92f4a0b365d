package sheet

import (
	"math"
	"strconv"
	"strings"
	"time"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// figure is a number of a cell: as the sheet stores it, as the other printers
// print it without its unit, and the format that shows the same digits.
type figure struct{ Stored, printed, format string }

// FiguresOf returns a cell's figures, three for a range and none for a cell
// without one.
func FiguresOf(c document.Cell) []figure {
	exact := func(n exact.Num) figure {
		printed := document.FormatNum(n, c.Rule)
		return figure{n.Decimal(), printed, numberFormat(printed, c.Unit)}
	}
	switch c.Kind {
	case document.CellNum:
		return []figure{exact(c.Num)}
	case document.CellRange:
		return []figure{exact(c.Range.Min), exact(c.Range.Typ), exact(c.Range.Max)}
	case document.CellFloat:
		if !math.IsNaN(c.Float) && !math.IsInf(c.Float, 0) {
			printed := document.FormatFloat(c.Float, c.Digits)
			return []figure{{strconv.FormatFloat(c.Float, 'g', -1, 64), printed, numberFormat(printed, c.Unit)}}
		}
	case document.CellDate:
		return []figure{{strconv.Itoa(sheetDay(c.Date)), c.Date.String(), "yyyy-mm-dd"}}
	}
	return nil
}

// sheetDay counts days as spreadsheets do.
func sheetDay(d exact.Date) int {
	return int(d.Time().Sub(time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24)
}

// numberFormat returns the format that shows a number with the digits of its
// printed text.
func numberFormat(printed, unit string) string {
	format := "0"
	mantissa, _, power := strings.Cut(printed, " × ")
	if _, frac, ok := strings.Cut(mantissa, "."); ok {
		format += "." + strings.Repeat("0", len(frac))
	}
	if power {
		format += "E+00"
	}
	if unit != "" {
		format += ` "` + strings.ReplaceAll(words.Printable(unit), `"`, "") + `"`
	}
	return format
}

// The formats of figures that may change: digits enough for small ones, and
// those of like size under each other.
const (
	livePct   = `[=0]0;[<0.001]0.000E+00;0.0000`
	liveFloat = `[=0]0;[<0.001]0.000E+00;0.0000`
	liveRatio = `[<10]0.000;[<1000]0.0;0`
)

// liveFormat returns the format of a figure that may change: one fit for any
// value, where the digits of today's could hide those of tomorrow's.
func liveFormat(c document.Cell, format string) string {
	switch {
	case c.Rule.Kind == document.FixedRule || c.Kind == document.CellDate:
		return format
	case c.Input != nil:
		if places(format) > 6 {
			return livePct
		}
		return "General"
	case c.Formula == "" && c.Kind == document.CellFloat && c.Digits <= document.RatioDigits &&
		math.Abs(c.Float) >= 1000:
		return "0"
	case c.Formula == "":
		return format
	case c.Kind == document.CellFloat && c.Digits <= document.RatioDigits:
		return liveRatio
	case c.Kind == document.CellFloat:
		return liveFloat
	case c.Rule.Kind == document.PctRule || c.Rule.Kind == document.RuleBeside:
		return livePct
	}
	return "General"
}

// places counts the decimals that a format shows.
func places(format string) int {
	_, frac, _ := strings.Cut(format, ".")
	return strings.Count(frac, "0")
}

// longestText is what a cell of a sheet holds at most, in UTF-16 units, less the
// room for the words that say so.
const longestText = 32_000

// sheetText makes words fit for a cell.
func sheetText(s string) string {
	s = words.Printable(s)
	n := 0
	for i, r := range s {
		n++
		if r > layout.LastRune {
			n++
		}
		if n > longestText {
			return s[:i] + " … (cut here: a cell holds no more; the PDF has all of it)"
		}
	}
	return s
}

// words returns a cell without a figure as the sheet shows it.
func (x *XLSXWriter) words(c document.Cell) string {
	switch c.Kind {
	case document.CellTick:
		if c.Ticked {
			return "[x]"
		}
		return "[ ]"
	}
	return strings.ReplaceAll(c.String(), "\u00a0", " ")
}
