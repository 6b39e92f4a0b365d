package sheet

import (
	"github.com/xuri/excelize/v2"

	"gallipot/dossier/document"
	"gallipot/dossier/words"
)

// XLSXWriter holds the workbook while it is written.
type XLSXWriter struct {
	D       *document.Document
	f       *excelize.File
	TableNo map[*document.Table]int
	first   *xlsxSheet // the contents
	sheets  []*xlsxSheet
	texts   sharedTexts
	defined []definedName
	styles  map[xlsxStyle]int
	Cells   map[string]CellPlace       // anchors of cells
	Tables  map[string]*XLSXTable      // by ID
	section map[*document.Table]string // number and title of the section each table stands in

	contentsLines map[int]int // lines that a row of the first sheet takes
}

// xlsxSheet is one sheet with its tables below each other.
type xlsxSheet struct {
	Name    string
	tables  []*XLSXTable
	widths  []float64 // by column from 0, in characters
	number  int       // of the sheet's file
	rows    sheetRows
	wraps   []wrapped // texts that may take several lines
	inputs  []openCells
	inputAt map[document.Input]int
	lastRow int
	changed string    // reference to the cell that counts changed inputs; "" where no figure depends on them
	narrow  []float64 // by column: the least width in characters
}

const (
	contentsSheet = "Contents"
	findingsSheet = "Findings"
)

// wrapped is a text in a cell that wraps: the height of its row depends on it,
// which not every program works out by itself.
type wrapped struct {
	row, col int
	words    string
}

// XLSXTable is a table with its place in the workbook. Rows and columns count
// from 1.
type XLSXTable struct {
	T        *document.Table
	Sheet    *xlsxSheet
	First    []int // by column of the table: its first column in the sheet
	Width    []int // and how many it takes: 3 for ranges
	last     int   // the last column used
	marksAt  int   // the column of the marks, or 0
	sourceAt int   // the column of the sources, or 0
	caption  int   // row
	follows  bool  // has no head of its own
	head     int   // of the table that it follows, if it does
	Rows     []int // by row of the table
}

// CellPlace is where the cell with an anchor went.
type CellPlace struct {
	table *XLSXTable
	row   int
	col   int // of the table
}

// definedName is a name for cells in formulas, or with a sheet for what is
// printed of it.
type definedName struct {
	name, refersTo string
	of             *xlsxSheet // nil: of the whole workbook
}

// openCells are cells that take the same input.
type openCells struct {
	in    document.Input
	areas []openArea
}

// openArea is a row of cells beside each other.
type openArea struct{ row, from, to int }

// xlsxStyle is what the looks of a cell depend on.
type xlsxStyle struct {
	format  string // number format, "" for none
	bold    bool
	italic  bool
	size    float64
	fill    bool
	top     bool
	bottom  bool
	right   bool // set to the right
	centre  bool
	left    bool
	indent  bool // to the left, a little off the column before
	wrap    bool
	link    bool
	grey    bool
	written bool // to be filled in
	open    bool // may be typed into
	loose   bool // holds a formula until something is typed over it
}

const (
	SheetFont = "Arial" // or a font of the same widths, which every office program has
	SheetSize = 10.0
	inkGrey   = "5C5C5C"
	inkLink   = "224E3E"
	paleFill  = "F1F1EF"
	openFill  = "FFF2BF"
	looseFill = "FFFBEA"
)

// productLine is what stands below the title of every sheet.
func (x *XLSXWriter) productLine() string {
	print := ""
	if x.D.Fingerprint != "" {
		print = "fingerprint " + x.D.Fingerprint
	}
	return words.Printable(words.Joined(" · ", x.D.Product, x.D.Revision, x.D.Date.String(), print))
}
