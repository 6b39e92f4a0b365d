package paper

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"gallipot/ingredients/pattern"
)

// wordPart is one part of a word-processor file that holds text.
type wordPart struct{ file, name string }

var wordPartName = pattern.New(`^word/((header|footer|footnotes|endnotes|document)\d*)\.xml$`)

// readWord reads a word-processor file: heads and feet of the page, the body, the
// notes. Deleted text of a tracked change is left out.
func readWord(f *File, data []byte, lim Limits) error {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return trouble("broken", "")
	}
	files := map[string]*zip.File{}
	var parts []wordPart
	order := map[string]int{"header": 0, "document": 1, "footer": 2, "footnotes": 3, "endnotes": 4}
	names := map[string]string{"document": "body", "footnotes": "notes", "endnotes": "notes"}
	for _, e := range z.File {
		m := wordPartName.FindStringSubmatch(e.Name)
		if m == nil || files[e.Name] != nil {
			continue
		}
		files[e.Name] = e
		name := names[m[2]]
		if name == "" {
			name = m[2]
		}
		parts = append(parts, wordPart{e.Name, name})
	}
	slices.SortStableFunc(parts, func(a, b wordPart) int {
		rank := func(p wordPart) int { return order[wordPartName.FindStringSubmatch(p.file)[2]] }
		return rank(a) - rank(b)
	})
	left := lim.Unpacked
	seen := map[string]bool{}
	for _, p := range parts {
		r, err := files[p.file].Open()
		if err != nil {
			return trouble("broken", "")
		}
		content, err := io.ReadAll(io.LimitReader(r, int64(left)+1))
		_ = r.Close()
		if left -= len(content); left < 0 {
			return trouble("unpacked", lim.Unpacked)
		}
		w := &wordReader{f: f, lim: lim, page: Page{Number: len(f.Pages) + 1, Name: p.name},
			dec: xml.NewDecoder(bytes.NewReader(content))}
		if err == nil {
			err = w.read()
		}
		if err != nil {
			return trouble("broken", "")
		}
		w.tell()
		if key := pageText(w.page); (p.name == "body" || key != "") && !seen[p.name+key] {
			seen[p.name+key] = true // heads of first and later pages say the same
			f.Pages = append(f.Pages, w.page)
		}
	}
	return nil
}

func pageText(p Page) string {
	var b strings.Builder
	for _, l := range p.Lines {
		b.WriteString(l.Text("\t") + "\n")
	}
	return b.String()
}

// wordCell is a cell being read; col and down serve cells that cover others.
type wordCell struct {
	text   strings.Builder
	struck []string
	hidden bool
	span   int
	merged bool // goes on from the cell above
}

// wordTable is a table being read; tables inside a cell give their text to it.
type wordTable struct {
	number, row int
	cells       []*wordCell
	above       map[int]string
	isHeld      bool
}

type wordReader struct {
	f                       *File
	lim                     Limits
	page                    Page
	dec                     *xml.Decoder
	text                    strings.Builder // of the paragraph
	struck                  []string        // what is crossed out in it
	tables                  []*wordTable
	grids                   int
	deleted                 int  // how deep in deleted text
	hidden                  bool // the run is hidden
	strike                  bool // the run is crossed out
	raised                  bool // the run is raised
	inRun                   bool
	inText                  bool
	tracked, removed, hides bool
}

func (w *wordReader) read() error {
	for {
		t, err := w.dec.Token()
		if errors.Is(err, io.EOF) {
			w.flush()
			return nil
		}
		if err != nil {
			return err
		}
		switch t := t.(type) {
		case xml.StartElement:
			w.start(t)
		case xml.EndElement:
			w.end(t.Name.Local)
		case xml.CharData:
			if w.inText && w.deleted == 0 {
				w.write(string(t))
			}
		}
	}
}

func wordAttr(t xml.StartElement, name string) (string, bool) {
	for _, a := range t.Attr {
		if a.Name.Local == name {
			return a.Value, true
		}
	}
	return "", false
}

func (w *wordReader) start(t xml.StartElement) {
	table := w.table()
	val, has := wordAttr(t, "val")
	switch t.Name.Local {
	case "del", "moveFrom":
		w.deleted++
		w.tracked, w.removed = true, true
	case "ins", "moveTo":
		w.tracked = true
	case "Fallback": // the same drawing once more for older programs
		w.deleted++
	case "vanish":
		if w.inRun && (!has || val != "0" && val != "false") {
			w.hidden, w.hides = true, true
		}
	case "strike", "dstrike":
		w.strike = w.inRun && (!has || val != "0" && val != "false")
	case "vertAlign":
		w.raised = w.inRun && val == "superscript"
	case "position": // raised by half points
		if n, err := strconv.Atoi(val); err == nil && n > 0 {
			w.raised = w.inRun
		}
	case "r":
		w.inRun, w.hidden, w.strike, w.raised = true, false, false, false
	case "t":
		w.inText = true
	case "br", "cr":
		w.write("\n")
	case "tab":
		if w.inRun {
			w.write("\t")
		}
	case "noBreakHyphen", "softHyphen":
		if t.Name.Local == "noBreakHyphen" {
			w.write("-")
		}
	case "sym":
		if code, ok := wordAttr(t, "char"); ok {
			if n, err := strconv.ParseUint(code, 16, 32); err == nil {
				w.write(string(rune(n | 0xf000)))
			}
		}
	case "tbl":
		w.flush()
		nt := &wordTable{above: map[int]string{}}
		if table == nil {
			w.grids++
			nt.number = w.grids
		}
		w.tables = append(w.tables, nt)
	case "tr":
		if table != nil {
			table.row++
			table.cells = nil
		}
	case "tc":
		if table != nil {
			w.flush()
			table.cells = append(table.cells, &wordCell{span: 1})
			table.isHeld = true
		}
	case "gridSpan":
		if n, err := strconv.Atoi(val); err == nil && table != nil && len(table.cells) > 0 {
			table.cells[len(table.cells)-1].span = min(max(n, 1), 100)
		}
	case "vMerge":
		if table != nil && len(table.cells) > 0 && (!has || val == "continue") {
			table.cells[len(table.cells)-1].merged = true
		}
	}
}

func (w *wordReader) table() *wordTable {
	if len(w.tables) == 0 {
		return nil
	}
	return w.tables[len(w.tables)-1]
}

func (w *wordReader) write(s string) {
	if w.deleted > 0 {
		return
	}
	if w.hidden && strings.TrimSpace(s) != "" {
		w.f.caution("hidden-text", w.page.Number, w.page.Name, s)
		return // what the paper does not show is told, not read
	}
	if w.strike {
		if strings.TrimSpace(s) != "" {
			w.struck = append(w.struck, strings.TrimSpace(s))
		}
		return
	}
	if w.raised {
		s = raised(s)
	}
	w.text.WriteString(s)
}

func (w *wordReader) end(name string) {
	table := w.table()
	switch name {
	case "del", "moveFrom", "Fallback":
		w.deleted--
	case "r":
		w.inRun, w.hidden, w.strike, w.raised = false, false, false, false
	case "t":
		w.inText = false
	case "p":
		w.flush()
	case "tc":
		w.flush()
		if table != nil {
			table.isHeld = false
		}
	case "tr":
		if table != nil {
			w.row(table)
		}
	case "tbl":
		if table != nil {
			w.tables = w.tables[:len(w.tables)-1]
		}
	}
}

// flush ends a paragraph: into the cell that is open, or as a line.
func (w *wordReader) flush() {
	raw, struck := w.text.String(), w.struck
	w.text.Reset()
	w.struck = nil
	if table := w.table(); table != nil && table.isHeld && len(table.cells) > 0 {
		c := table.cells[len(table.cells)-1]
		c.struck = append(c.struck, struck...)
		if t := strings.TrimSpace(raw); t != "" {
			if c.text.Len() > 0 {
				c.text.WriteString("\n")
			}
			c.text.WriteString(t)
		}
		return
	}
	for _, part := range strings.Split(raw, "\n") {
		var cells []Cell
		for _, t := range strings.Split(part, "\t") {
			if t = strings.TrimSpace(t); t != "" {
				cells = append(cells, splitLeaders([]Cell{{Text: t, Span: 1}})...)
			}
		}
		if len(struck) > 0 {
			if len(cells) == 0 {
				cells = []Cell{{Span: 1}}
			}
			cells[len(cells)-1].Struck, struck = strings.Join(struck, " "), nil
		}
		for i := range cells {
			cells[i].Col = i
		}
		if len(cells) > 0 {
			w.add(Line{Cells: cells})
		}
	}
}

// row ends a row: as a line of the page, or, in a table inside a cell, as text of
// that cell.
func (w *wordReader) row(t *wordTable) {
	if t.number == 0 {
		outer := w.tables[len(w.tables)-2]
		if len(outer.cells) == 0 {
			return
		}
		var parts []string
		for _, c := range t.cells {
			parts = append(parts, c.text.String())
		}
		c := outer.cells[len(outer.cells)-1]
		if c.text.Len() > 0 {
			c.text.WriteString("\n")
		}
		c.text.WriteString(strings.Join(parts, " "))
		t.cells = nil
		return
	}
	line := Line{Grid: t.number, Where: fmt.Sprintf("table %d row %d", t.number, t.row)}
	col := 0
	for _, c := range t.cells {
		text := c.text.String()
		if c.merged && text == "" {
			text = t.above[col]
		}
		t.above[col] = text
		line.Cells = append(line.Cells, Cell{Text: text, Col: col, Span: c.span, Hidden: c.hidden,
			Struck: strings.Join(c.struck, " ")})
		col += c.span
	}
	t.cells = nil
	if len(line.Cells) > 0 {
		w.add(line)
	}
}

func (w *wordReader) add(l Line) {
	if len(w.page.Lines) == w.lim.Lines {
		w.f.caution("lines-left", w.page.Number, w.page.Name, fmt.Sprint(w.lim.Lines))
	}
	if len(w.page.Lines) < w.lim.Lines {
		l.Number = len(w.page.Lines) + 1
		w.page.Lines = append(w.page.Lines, l)
	}
}

func (w *wordReader) tell() {
	if w.tracked {
		w.f.caution("tracked", w.page.Number, w.page.Name, "")
	}
	if w.removed {
		w.f.caution("deleted-text", w.page.Number, w.page.Name, "")
	}
}
