package sheet

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"

	"gallipot/dossier/document"
)

// The library looks up sheet, row and column anew for every cell it is given,
// which took half of the time of a workbook. So it makes the sheets with all but
// their cells, and the rows are written here and put into them at the end.

// sheetRows are the rows of one sheet, in the order of the sheet.
type sheetRows struct {
	cells   []xlsxCell
	heights map[int]float64 // in points, where a row has one of its own
}

// xlsxCell is one cell as the file stores it. Rows and columns count from 1.
type xlsxCell struct {
	row, col int
	style    int
	number   string // the exact figure, or "" for words
	text     int    // the number of its words among the texts of the workbook, or noText
	formula  string
	result   string // words that the formula comes to, where it is no number
}

const noText = -1

// add appends a cell.
// Errors: a cell before the last one, since the file lists them in order.
func (r *sheetRows) add(c xlsxCell) error {
	if n := len(r.cells); n > 0 {
		if last := r.cells[n-1]; c.row < last.row || c.row == last.row && c.col <= last.col {
			return fmt.Errorf("the cell %s comes after %s", CellName(c.col, c.row), CellName(last.col, last.row))
		}
	}
	r.cells = append(r.cells, c)
	return nil
}

// setHeight gives a row a height of its own, in points.
func (r *sheetRows) setHeight(row int, points float64) {
	if r.heights == nil {
		r.heights = map[int]float64{}
	}
	r.heights[row] = points
}

// noRows is what the library writes for a sheet without cells.
var noRows = []byte("<sheetData></sheetData>")

// into puts the rows into a sheet that the library wrote without any.
func (r *sheetRows) into(sheet []byte) ([]byte, error) {
	before, after, ok := bytes.Cut(sheet, noRows)
	if !ok {
		return nil, fmt.Errorf("no %s in the sheet", noRows)
	}
	const cellLength = 60 // about
	b := make([]byte, 0, len(sheet)+cellLength*len(r.cells))
	b = append(append(b, before...), "<sheetData>"...)
	b = r.appendTo(b)
	return append(append(b, "</sheetData>"...), after...), nil
}

// appendTo writes the rows behind b.
func (r *sheetRows) appendTo(b []byte) []byte {
	last := 0
	if n := len(r.cells); n > 0 {
		last = r.cells[n-1].row
	}
	for row := range r.heights {
		last = max(last, row)
	}
	rest := r.cells
	for row := 1; row <= last; row++ {
		height, high := r.heights[row]
		n := 0
		for n < len(rest) && rest[n].row == row {
			n++
		}
		if n == 0 && !high {
			continue
		}
		b = strconv.AppendInt(append(b, `<row r="`...), int64(row), 10)
		if high {
			b = strconv.AppendFloat(append(b, `" ht="`...), height, 'f', -1, 64)
			b = append(b, `" customHeight="1`...)
		}
		b = append(b, `">`...)
		for i := range rest[:n] {
			b = rest[i].appendTo(b)
		}
		b = append(b, "</row>"...)
		rest = rest[n:]
	}
	return b
}

// appendTo writes the cell behind b.
func (c *xlsxCell) appendTo(b []byte) []byte {
	b = append(appendCellName(append(b, `<c r="`...), c.col, c.row), '"')
	if c.style != 0 {
		b = strconv.AppendInt(append(b, ` s="`...), int64(c.style), 10)
		b = append(b, '"')
	}
	switch {
	case c.number == "" && c.formula == "" && c.text == noText:
		return append(b, "/>"...)
	case c.number == "" && c.formula == "":
		return append(strconv.AppendInt(append(b, ` t="s"><v>`...), int64(c.text), 10), "</v></c>"...)
	case c.number == "":
		b = append(b, ` t="str"`...)
	}
	b = append(b, '>')
	if c.formula != "" {
		b = append(document.AppendXML(append(b, "<f>"...), c.formula), "</f>"...)
	}
	b = append(b, "<v>"...)
	if c.number != "" {
		b = append(b, c.number...)
	} else {
		b = document.AppendXML(b, c.result)
	}
	return append(b, "</v></c>"...)
}

// sharedTexts are the words of all cells of a workbook, each once.
type sharedTexts struct {
	list []string
	at   map[string]int
}

// number returns the number of a text, which it gets at its first use.
func (s *sharedTexts) number(words string) int {
	n, known := s.at[words]
	if !known {
		n = len(s.list)
		if s.at == nil {
			s.at = map[string]int{}
		}
		s.at[words] = n
		s.list = append(s.list, words)
	}
	return n
}

// file writes the texts as the file of the workbook that holds them.
func (s *sharedTexts) file() []byte {
	b := fmt.Appendf(nil, `%s<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" uniqueCount="%d">`,
		xml.Header, len(s.list))
	for _, words := range s.list {
		b = append(b, "<si><t"...)
		if strings.TrimSpace(words) != words {
			b = append(b, ` xml:space="preserve"`...)
		}
		b = append(document.AppendXML(append(b, '>'), guardedEscapes(words)), "</t></si>"...)
	}
	return append(b, "</sst>"...)
}

// guardedEscapes keeps words that look like the escape of a character, such as
// _x0041_, from being read as one: their first sign is escaped itself.
// Source: ISO/IEC 29500-1, 22.9.2.19 ST_Xstring.
func guardedEscapes(s string) string {
	if !strings.Contains(s, "_x") {
		return s
	}
	var b strings.Builder
	for i := range len(s) {
		b.WriteByte(s[i])
		if s[i] == '_' && looksEscaped(s[i:]) {
			b.WriteString("x005F_")
		}
	}
	return b.String()
}

// looksEscaped says whether s begins like _x0041_.
func looksEscaped(s string) bool {
	if len(s) < 7 || s[1] != 'x' || s[6] != '_' {
		return false
	}
	_, err := strconv.ParseUint(s[2:6], 16, 16)
	return err == nil
}
