package paper

import (
	"fmt"
	"strings"

	"gallipot/dossier/transcribe/phrases"
)

// Form is what a file is.
type Form string

// The forms that are read.
const (
	PDF      Form = "pdf"
	Workbook Form = "workbook"
	Table    Form = "table"    // separated values
	Document Form = "document" // of a word processor
	Web      Form = "web"
	Text     Form = "text"
	Mail     Form = "mail"
)

// Trust says why the text of a page must not be relied on; empty: nothing speaks
// against it.
type Trust string

// The reasons not to rely on a page's text.
const (
	Picture    Trust = "picture"          // no text at all, a picture
	Invisible  Trust = "invisible-text"   // a text layer that nobody sees, over a picture
	Unmapped   Trust = "no-character-map" // fonts that do not say which letter a sign is
	FewLetters Trust = "mostly-picture"   // hardly any text beside a picture of the page's size
)

// File is a paper as read.
type File struct {
	Name     string
	Form     Form
	SHA256   string // of the bytes, in hexadecimal
	Pages    []Page
	Cautions []Caution
}

// Caution is something about the file that its reader should know, with its
// place. Code is a key of [phrases.Files].
type Caution struct {
	Code  string
	Page  int // from 1; 0: the whole file
	Place string
	Text  string
}

// caution notes something that the reader of the file should know.
func (f *File) caution(code string, page int, place, text string) {
	f.Cautions = append(f.Cautions, Caution{Code: code, Page: page, Place: place, Text: text})
}

// Page is a page, a sheet, or a part of a file.
type Page struct {
	Number        int    // from 1, in the order of the file
	Name          string // a sheet's name; "header", "body", "footer", "notes" of a word-processor file
	Hidden        bool   // a hidden sheet
	Trust         Trust
	Width, Height float64 // in points; 0 where the file is not laid out
	Lines         []Line
	Rules         []Rule // lines drawn on a laid out page
}

// Line is what stands on one line of a page, or in one row of cells.
type Line struct {
	Number int     // from 1 on its page; the row of a sheet; the line of a text file
	Y      float64 // baseline from the top of the page, in points; 0 where not laid out
	Size   float64 // height of its letters in points
	Cells  []Cell
	Grid   int    // which table of the file the row belongs to, from 1; 0: none that the file declares
	Quote  int    // how deep a mail quotes this line; 0: the mail's own words
	Hidden bool   // a hidden row
	Where  string // place in words where there is no line number to show: "table 1 row 3"
	Raw    string // of a text or a mail: the whole line, without the marks of quotation
}

// Cell is a piece of text of a line.
type Cell struct {
	Text   string // line ends inside a cell are kept as "\n"
	X0, X1 float64
	Col    int    // column from 0 in a file with cells; order on the line elsewhere
	Span   int    // columns it covers, at least 1
	Down   int    // rows that a merged cell of a sheet covers; 0 and 1: one
	Ref    string // "D8" in a sheet
	Hidden bool   // hidden column, or hidden text
	Number bool   // stored as a number, so that its decimal sign is not a matter of language
	Words  []Word // with positions, where the page is laid out
	Note   string // a note fastened to the cell
	Struck string // text of the cell that is crossed out; it does not stand in Text
}

// Word is a run of letters without a blank.
type Word struct {
	Text      string
	X0, X1, Y float64
	Size      float64
}

// Rule is a line drawn on a page, horizontal or vertical.
type Rule struct{ X0, Y0, X1, Y1 float64 }

// Horizontal says whether the rule lies flat.
func (r Rule) Horizontal() bool { return r.X1-r.X0 >= r.Y1-r.Y0 }

// Text is the line's text, its cells parted by the given sign.
func (l Line) Text(between string) string {
	parts := make([]string, 0, len(l.Cells))
	for _, c := range l.Cells {
		if t := strings.TrimSpace(c.Text); t != "" {
			parts = append(parts, t)
		}
	}
	return strings.Join(parts, between)
}

// Trouble is a file that cannot be read: why, and one thing to do, by a key of
// [phrases.Files].
type Trouble struct {
	Code  string
	Value string
}

// Error words the trouble for a person, without the fix.
func (t *Trouble) Error() string {
	return strings.TrimSpace(phrases.Files().Say(t.Code, "value", t.Value))
}

// Fix is the one thing to do.
func (t *Trouble) Fix() string {
	return phrases.Files()[t.Code].Fix
}

// Limits keep a broken or hostile file from taking the machine with it.
type Limits struct {
	Bytes    int     // of the file
	Unpacked int     // of what a packed file holds, in bytes
	Pages    int     // pages or sheets
	Lines    int     // lines of the file in all
	Letters  int     // letters of one page
	Seconds  float64 // for the file, beside PerPage
	PerPage  float64 // seconds more for each page
	Memory   int     // bytes that the reader of PDF may take
}

// defaultLimits are far above what a supplier's paper needs, on a busy computer too:
// a page takes 7 to 20 ms, and of 200 damaged files none took a second of its own.
func defaultLimits() Limits {
	return Limits{Bytes: 64 << 20, Unpacked: 128 << 20, Pages: 400, Lines: 200_000, Letters: 60_000,
		Seconds: 8, PerPage: 1, Memory: 512 << 20}
}

func trouble(code string, value any) *Trouble { return &Trouble{Code: code, Value: fmt.Sprint(value)} }
