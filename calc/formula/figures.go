package formula

import (
	"bytes"
	"cmp"
	"strconv"
	"strings"

	"gallipot/calc/law/trade"
	"gallipot/ingredients/exact"
)

// Stated is one figure of an exposure or margin calculation with where it comes
// from. The unit stands in the name of the field that holds it.
type Stated struct {
	Value  float64
	Source string     // document and place, or the maker's own words
	Table  string     // table of this program it stands in, such as facts.csv; "" for the maker's files
	Row    string     // row of that table
	Seen   string     // seen, partly, memory or none, as the table says; given where a file of the workshop states it
	Note   string     // what the table or this program remarks on it
	exact  *exact.Num // Value as a fraction where it was computed; nil: the decimal it was read from
}

// SeenGiven marks a figure that the maker's own file states.
const SeenGiven = "given"

// settled says whether a figure was read in its source or is somebody's own.
func settled(seen string) bool { return seen == "seen" || seen == SeenGiven || seen == SeenAssessor }

// FromMemory says whether the figure was not, or not wholly, read in its source.
func (s *Stated) FromMemory() bool { return s != nil && !settled(s.Seen) }

// Cite returns the source with the row of the table it was taken from.
func (s *Stated) Cite() string { return Cite(s.Source, s.Table, s.Row) }

func Cite(source, table, row string) string {
	if table == "" {
		return source
	}
	return strings.TrimSpace(source + " (" + table + ", row " + row + ")")
}

// Or returns the figure's value, or what to take where there is none.
func (s *Stated) Or(missing float64) float64 {
	if s == nil {
		return missing
	}
	return s.Value
}

// OfFact makes a figure of a row of facts.csv.
func OfFact(f *trade.Fact) *Stated {
	return &Stated{Value: f.Float(), Source: f.Source, Table: f.File, Row: f.Key, Seen: f.Seen, Note: f.Note}
}

// Significant is how many digits a float figure carries in a message; results
// keep the unrounded value.
const Significant = 4

// FigureText returns a figure for a message: four significant digits, no
// exponent, no trailing zeros behind the point.
func FigureText(f float64) string { return FigureSig(f, Significant) }

func FigureSig(f float64, digits int) string {
	// FormatFloat with 'e' rounds first, so that 9.9996 counts as 10.00
	var room, more [32]byte
	s := strconv.AppendFloat(room[:0], f, 'e', digits-1, 64)
	_, exponent, _ := bytes.Cut(s, []byte("e"))
	place, _ := strconv.Atoi(string(exponent))
	rounded, _ := strconv.ParseFloat(string(s), 64)
	s = strconv.AppendFloat(more[:0], rounded, 'f', max(digits-1-place, 0), 64)
	if bytes.IndexByte(s, '.') >= 0 {
		s = bytes.TrimRight(bytes.TrimRight(s, "0"), ".")
	}
	return string(s)
}

// FigureDown returns a content in % cut to three significant digits, for a highest
// content: what is printed must still hold.
func FigureDown(f float64) string {
	if f <= 0 {
		return "0"
	}
	return ExactFigure(f).SigDown(3)
}

// FigureBeside returns a figure that is printed beside the bound it was
// compared with: as many digits as it needs to stand where it stands, below, at or
// above it.
func FigureBeside(f, bound float64) string {
	for digits := Significant; digits < 16; digits++ {
		if s := FigureSig(f, digits); cmp.Compare(f, bound) == cmp.Compare(ParseFigure(s), bound) {
			return s
		}
	}
	return strconv.FormatFloat(f, 'f', -1, 64)
}

// ParseFigure reads back what was printed.
func ParseFigure(s string) float64 {
	f, _ := strconv.ParseFloat(s, 64)
	return f
}
