package document

import (
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// cellKind says which fields of a cell hold its value.
type cellKind int

// The kinds of cell.
const (
	CellBlank    cellKind = iota // nothing belongs here; not the same as a missing value
	CellText                     // Text
	CellNum                      // Num, printed by Rule, in Unit
	CellFloat                    // Float with Digits significant digits, in Unit
	CellRange                    // Range, printed by Rule, in Unit
	CellDate                     // Date
	CellVerdict                  // Verdict and its words in Text
	CellMissing                  // a value that should be here and is not; Text says why
	CellTick                     // a box to tick, ticked when Ticked
	CellWriteIn                  // an empty space to write in by hand
	CellFindings                 // a severity as a word with its sign
)

// Cell is one typed value. Make it with one of the functions below and refine it
// with its methods, which return a changed copy:
//
//	PctCell(n).Marked("unverified").From("limits.csv, row V-29")
type Cell struct {
	Kind     cellKind
	Text     string
	Num      exact.Num
	Range    exact.Range
	Float    float64
	Digits   int  // significant digits of Float
	Rule     Rule // how Num and Range are rounded for print
	Unit     string
	Date     exact.Date
	Verdict  Verdict
	Severity finding.Severity
	Ticked   bool

	Link   string   // anchor in the document that the cell points to
	Anchor string   // anchor that others can point to
	Marks  []string // ids of the document's Marks
	Source string   // where the figure comes from; printed as a numbered source below the table
	Bold   bool
	Faint  bool // equal to a figure beside it: printed in grey
	Plain  bool // a figure without a power of ten, its thousands set apart

	// Formula is what a spreadsheet shall compute here, without the leading "=";
	// the value above is written beside it as the cached result. It names other
	// cells in braces:
	//
	//	{key}             same row, the column with that Key
	//	{key:key2}        same row, from one column to another
	//	{key@3}           that column in row 3 of the table, counted from 0
	//	{key@3:7}         and from row 3 to row 7
	//	{key@head}        the head of that column
	//	{table!key}       all rows of that column of the table with that ID
	//	{table!key@3}     and the other forms for another table
	//	{#anchor}         the cell with that Anchor
	//	{=}               what this cell itself holds
	//
	// A column of ranges takes {key.min}, {key.typ} or {key.max}. In the formula
	// of a range cell {key.*} stands for min, typ and max in turn.
	Formula string
	Input   *Input // the reader of a spreadsheet may change the cell; nil: may not
	Name    string // the cell's name in a spreadsheet, for formulas and for jumping to it
}

// Verdict is the outcome of one check, readable without colour.
type Verdict int

// The outcomes of a check.
const (
	VerdictNone Verdict = iota // no judgement
	VerdictMet                 // within the rule
	VerdictOpen                // cannot be told yet, or treated as the cautious case
	VerdictFail                // outside the rule
)

var VerdictSymbols = [...]string{"–", "○", "▲", "■"}

// Symbol returns the sign printed before the words: empty for met, filled where
// someone has to act.
func (v Verdict) Symbol() string { return VerdictSymbols[v] }

var severitySymbols = [...]string{"■", "▲", "○", "●"}

// SeveritySymbol returns the sign of a severity, the same signs as for verdicts.
func SeveritySymbol(s finding.Severity) string { return severitySymbols[s] }

// BlankCell returns a cell in which nothing belongs.
func BlankCell() Cell { return Cell{} }

// TextCell returns a cell of words. A line break in s is kept.
func TextCell(s string) Cell { return Cell{Kind: CellText, Text: s} }

// PctCell returns a cell with a content in per cent, printed by [RulePct]. The
// unit belongs into the column's head.
func PctCell(n exact.Num) Cell { return Cell{Kind: CellNum, Num: n, Rule: RulePct} }

// NumCell returns a cell with an exact number printed by the given rule.
func NumCell(n exact.Num, rule Rule) Cell { return Cell{Kind: CellNum, Num: n, Rule: rule} }

// IntCell returns a cell with a whole number.
func IntCell(i int) Cell { return NumCell(exact.Int(int64(i)), RuleExact) }

// FloatCell returns a cell with f printed to the given significant digits. A
// value that is not finite prints as not computable.
func FloatCell(f float64, digits int) Cell {
	return Cell{Kind: CellFloat, Float: f, Digits: digits}
}

// RangeCell returns a cell with min, typical and max in per cent.
func RangeCell(r exact.Range) Cell { return Cell{Kind: CellRange, Range: r, Rule: RulePct} }

// DateCell returns a cell with a day; no date gives a missing value.
func DateCell(d exact.Date) Cell {
	if d.IsZero() {
		return MissingCell("no date")
	}
	return Cell{Kind: CellDate, Date: d}
}

// VerdictCell returns a cell with an outcome in words, its sign before them.
func VerdictCell(v Verdict, words string) Cell {
	return Cell{Kind: CellVerdict, Verdict: v, Text: words}
}

// SeverityCell returns a cell with stop, ask, note or decided and its sign.
func SeverityCell(s finding.Severity) Cell {
	return Cell{Kind: CellFindings, Severity: s, Text: s.String()}
}

// LinkCell returns a cell of words that lead to an anchor.
func LinkCell(words, anchor string) Cell {
	return Cell{Kind: CellText, Text: words, Link: anchor}
}

// MissingCell returns a cell for a value that nobody has given: it prints the
// reason, such as "not supplied", and never as zero or as nothing.
func MissingCell(reason string) Cell { return Cell{Kind: CellMissing, Text: reason} }

// TickCell returns a cell with a box, ticked or empty.
func TickCell(ticked bool) Cell { return Cell{Kind: CellTick, Ticked: ticked} }

// WriteInCell returns an empty cell to be filled in by hand.
func WriteInCell() Cell { return Cell{Kind: CellWriteIn} }

// Marked returns c with a mark of the document's legend added.
func (c Cell) Marked(id string) Cell {
	c.Marks = append(append([]string{}, c.Marks...), id)
	return c
}

// MarkedIf returns c with the mark added when cond holds.
func (c Cell) MarkedIf(cond bool, id string) Cell {
	if !cond {
		return c
	}
	return c.Marked(id)
}

// From returns c with the place its figure comes from.
func (c Cell) From(source string) Cell { c.Source = source; return c }

// At returns c as the target of links to the given anchor.
func (c Cell) At(anchor string) Cell { c.Anchor = anchor; return c }

// To returns c as a link to the given anchor.
func (c Cell) To(anchor string) Cell { c.Link = anchor; return c }

// In returns c with a unit printed behind its figure.
func (c Cell) In(unit string) Cell { c.Unit = unit; return c }

// By returns c with another print rule.
func (c Cell) By(rule Rule) Cell { c.Rule = rule; return c }

// Strong returns c in bold.
func (c Cell) Strong() Cell { c.Bold = true; return c }

// Dim returns c in grey where cond holds: it repeats a figure beside it.
func (c Cell) Dim(cond bool) Cell { c.Faint = cond; return c }

// InFull returns c with its float written without a power of ten.
func (c Cell) InFull() Cell { c.Plain = true; return c }

// Named returns c with a name in the spreadsheet.
func (c Cell) Named(name string) Cell { c.Name = name; return c }

// Open returns c as a cell that the reader of a spreadsheet may change.
func (c Cell) Open(in Input) Cell { c.Input = &in; return c }

// Computed returns c with the formula of a spreadsheet (see [Cell.Formula]).
func (c Cell) Computed(formula string) Cell { c.Formula = formula; return c }

// IsFigure says whether the cell holds a number.
func (c Cell) IsFigure() bool {
	return c.Kind == CellNum || c.Kind == CellFloat || c.Kind == CellRange
}

// String returns the cell as every printer shows it, without marks and sources.
func (c Cell) String() string {
	s := ""
	switch c.Kind {
	case CellText, CellMissing:
		s = c.Text
		if s == "" && c.Kind == CellMissing {
			s = "not supplied"
		}
		return s
	case CellNum:
		s = FormatNum(c.Num, c.Rule)
		if c.Plain {
			s = Grouped(s)
		}
	case CellFloat:
		s = FormatFloat(c.Float, c.Digits)
		if c.Plain {
			s = FormatPlain(c.Float, c.Digits)
		}
	case CellRange:
		s = FormatRange(c.Range, c.Rule)
	case CellDate:
		return c.Date.String()
	case CellVerdict:
		return c.Verdict.Symbol() + "\u00a0" + c.Text
	case CellFindings:
		return SeveritySymbol(c.Severity) + "\u00a0" + c.Text
	}
	if c.Unit != "" && s != "" {
		s += "\u00a0" + c.Unit
	}
	return s
}
