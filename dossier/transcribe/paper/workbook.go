package paper

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"gallipot/ingredients/pattern"
)

// workbookReader reads the sheets of one workbook.
type workbookReader struct {
	f      *File
	lim    Limits
	book   *excelize.File
	styles map[int]numberFormat
	lines  int
}

// numberFormat is what the format of a cell does to its number.
type numberFormat struct {
	percent, date bool
	struck        bool
	before, after string // text that the format prints around the number
}

// readWorkbook reads every sheet, hidden ones too, with raw figures.
func readWorkbook(f *File, data []byte, lim Limits) error {
	book, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{
		RawCellValue: true, UnzipSizeLimit: int64(lim.Unpacked), UnzipXMLSizeLimit: int64(lim.Unpacked)})
	if err != nil {
		if errors.Is(err, excelize.ErrWorkbookFileFormat) {
			return trouble("unknown-form", "")
		}
		return trouble("broken", "")
	}
	defer func() { _ = book.Close() }()
	w := &workbookReader{f: f, lim: lim, book: book, styles: map[int]numberFormat{}}
	for i, name := range book.GetSheetList() {
		if i >= lim.Pages {
			f.caution("pages-left", 0, "", fmt.Sprint(lim.Pages))
			break
		}
		page, err := w.sheet(name, i+1)
		if err != nil {
			return trouble("broken", "")
		}
		f.Pages = append(f.Pages, page)
	}
	return nil
}

// mostColumns is how many columns of a sheet are read.
const mostColumns = 200

func (w *workbookReader) sheet(name string, number int) (Page, error) {
	page := Page{Number: number, Name: name}
	if visible, err := w.book.GetSheetVisible(name); err == nil && !visible {
		page.Hidden = true
		w.f.caution("hidden-sheet", number, name, "")
	}
	spans := w.merged(name)
	notes := w.notes(name)
	hidden := map[int]bool{}
	known := map[int]bool{}
	rows, err := w.book.Rows(name)
	if err != nil {
		return page, nil // a chart sheet has no rows
	}
	defer func() { _ = rows.Close() }()
	for n := 1; rows.Next(); n++ {
		values, err := rows.Columns()
		if err != nil {
			return page, err
		}
		line := Line{Number: n, Grid: 1}
		for c, v := range values[:min(len(values), mostColumns)] {
			if v = strings.TrimSpace(v); v == "" && !w.silent(name, c, n) {
				continue
			}
			if !known[c] {
				known[c] = true
				col, _ := excelize.ColumnNumberToName(c + 1)
				visible, err := w.book.GetColVisible(name, col)
				if hidden[c] = err == nil && !visible; hidden[c] {
					w.f.caution("hidden-column", number, name+"!"+col, "")
				}
			}
			line.Cells = append(line.Cells, w.cell(name, number, c, n, v, spans, notes, hidden[c]))
		}
		if len(line.Cells) == 0 {
			continue
		}
		if w.lines++; w.lines > w.lim.Lines {
			w.f.caution("lines-left", number, name, fmt.Sprint(w.lim.Lines))
			break
		}
		if visible, err := w.book.GetRowVisible(name, n); err == nil && !visible {
			line.Hidden = true
			w.f.caution("hidden-row", number, fmt.Sprintf("%s!%d", name, n), "")
		}
		page.Lines = append(page.Lines, line)
	}
	return page, rows.Error()
}

// silent tells a cell whose formula has no stored value; it is kept, so that its
// place is not taken for empty.
func (w *workbookReader) silent(sheet string, col, row int) bool {
	ref, err := excelize.CoordinatesToCellName(col+1, row)
	if err != nil {
		return false
	}
	formula, err := w.book.GetCellFormula(sheet, ref)
	return err == nil && formula != ""
}

func (w *workbookReader) cell(sheet string, page, col, row int, v string, spans map[string][2]int,
	notes map[string]string, hidden bool) (c Cell) {
	ref, _ := excelize.CoordinatesToCellName(col+1, row)
	c = Cell{Text: v, Col: col, Span: max(spans[ref][0], 1), Down: spans[ref][1], Ref: ref, Hidden: hidden,
		Note: notes[ref]}
	if v == "" {
		w.f.caution("no-stored-value", page, sheet+"!"+ref, "")
		return c
	}
	style, _ := w.book.GetCellStyle(sheet, ref)
	format := w.format(style)
	defer func() {
		if format.struck {
			c.Text, c.Struck = "", c.Text
		}
	}()
	kind, err := w.book.GetCellType(sheet, ref)
	if err != nil {
		return c
	}
	switch kind {
	case excelize.CellTypeSharedString, excelize.CellTypeInlineString:
		w.runs(sheet, ref, &c)
	case excelize.CellTypeError:
		w.f.caution("cell-error", page, sheet+"!"+ref, v)
		return c
	case excelize.CellTypeUnset, excelize.CellTypeNumber, excelize.CellTypeFormula, excelize.CellTypeDate:
		x, err := strconv.ParseFloat(v, 64)
		if err != nil {
			return c
		}
		if format.date {
			if t, err := excelize.ExcelDateToTime(x, false); err == nil && x > 0 {
				c.Text = t.Format("2006-01-02")
				return c
			}
		}
		c.Number = true
		if format.percent {
			c.Text = plain(x*100) + " %"
		} else {
			c.Text = plain(x)
		}
		c.Text = format.before + c.Text + format.after
	}
	return c
}

// runs parts what is crossed out from the rest of a cell's text, and tells raised
// figures from others.
func (w *workbookReader) runs(sheet, ref string, c *Cell) {
	runs, err := w.book.GetCellRichText(sheet, ref)
	if err != nil || len(runs) < 2 {
		return
	}
	var text, struck strings.Builder
	up := false
	for _, r := range runs {
		switch {
		case r.Font != nil && r.Font.Strike:
			struck.WriteString(r.Text)
		case r.Font != nil && r.Font.VertAlign == "superscript":
			up = true
			text.WriteString(raised(r.Text))
		default:
			text.WriteString(r.Text)
		}
	}
	if up || struck.Len() > 0 {
		c.Text, c.Struck = strings.TrimSpace(text.String()), strings.TrimSpace(struck.String())
	}
}

// plain prints a number without exponent, rounded to the 15 digits that a stored
// number is good for.
func plain(x float64) string {
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 14, 64), 64)
	if err != nil {
		y = x
	}
	return strconv.FormatFloat(y, 'f', -1, 64)
}

func (w *workbookReader) format(style int) (f numberFormat) {
	if f, ok := w.styles[style]; ok {
		return f
	}
	if s, err := w.book.GetStyle(style); err == nil {
		defer func(struck bool) {
			f.struck = struck
			w.styles[style] = f
		}(s.Font != nil && s.Font.Strike)
		switch n := s.NumFmt; {
		case s.CustomNumFmt != nil:
			f = customFormat(*s.CustomNumFmt)
		case n == 9 || n == 10:
			f.percent = true
		case n >= 14 && n <= 22 || n >= 27 && n <= 36 || n >= 45 && n <= 47 || n >= 50 && n <= 58:
			f.date = true
		}
	}
	w.styles[style] = f
	return f
}

var formatNoise = pattern.New(`\[[^\]]*\]|_.|\*.`)

// customFormat reads a number format as written: a bare percent sign multiplies by
// 100, quoted text stands around the number ("<"0.0 prints a sign that the figure
// itself does not hold).
func customFormat(code string) numberFormat {
	code, _, _ = strings.Cut(code, ";")
	code = formatNoise.ReplaceAllString(code, "")
	var f numberFormat
	var literal strings.Builder
	digits := false
	put := func(s string) {
		if digits {
			f.after += s
		} else {
			f.before += s
		}
	}
	rs := []rune(code)
	for i := 0; i < len(rs); i++ {
		switch r := rs[i]; {
		case r == '"':
			literal.Reset()
			for i++; i < len(rs) && rs[i] != '"'; i++ {
				literal.WriteRune(rs[i])
			}
			put(literal.String())
		case r == '\\' && i+1 < len(rs):
			i++
			put(string(rs[i]))
		case r == '%':
			f.percent = true
		case strings.ContainsRune("0#?", r):
			digits = true
		case strings.ContainsRune("yYdD", r):
			f.date = true
		case strings.ContainsRune("<>=≤≥±", r):
			put(string(r))
		}
	}
	f.before, f.after = strings.TrimLeft(f.before, " "), strings.TrimRight(f.after, " ")
	if f.date {
		f.before, f.after = "", ""
	}
	return f
}

// merged gives columns and rows of each merged cell by its first cell.
func (w *workbookReader) merged(sheet string) map[string][2]int {
	out := map[string][2]int{}
	cells, err := w.book.GetMergeCells(sheet)
	if err != nil {
		return out
	}
	for _, m := range cells {
		c0, r0, err0 := excelize.CellNameToCoordinates(m.GetStartAxis())
		c1, r1, err1 := excelize.CellNameToCoordinates(m.GetEndAxis())
		if err0 == nil && err1 == nil {
			out[m.GetStartAxis()] = [2]int{c1 - c0 + 1, r1 - r0 + 1}
		}
	}
	return out
}

func (w *workbookReader) notes(sheet string) map[string]string {
	out := map[string]string{}
	comments, err := w.book.GetComments(sheet)
	if err != nil {
		return out
	}
	for _, c := range comments {
		text := c.Text
		for _, p := range c.Paragraph {
			text += p.Text
		}
		out[c.Cell] = strings.TrimSpace(text)
	}
	return out
}
