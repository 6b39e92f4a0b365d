package incoming

import (
	"fmt"
	"strconv"
	"strings"

	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/transcribe/reading"
)

// leaf is a page of the paper: a picture with the lines that were read on it, or the lines
// alone.
type leaf struct {
	Number        int
	Name          string
	Picture       bool
	Width, Height float64
	Lines         []leafLine
	Trust         string
}

// leafLine is a line of a page.
type leafLine struct {
	ID         string
	N          int
	Text       string
	X, Y, W, H float64 // of its frame, in points
}

// Most lines of a page that are shown: more are in the paper itself.
const mostLines = 2000

func (w *waiting) leaves() []leaf {
	var list []leaf
	for i, p := range w.file.Pages {
		l := leaf{Number: p.Number, Name: p.Name, Picture: w.file.Form == paper.PDF, Width: p.Width,
			Height: p.Height}
		if l.Number == 0 {
			l.Number = i + 1
		}
		for _, x := range p.Lines[:min(len(p.Lines), mostLines)] {
			l.Lines = append(l.Lines, lineOf(i, x))
		}
		list = append(list, l)
	}
	return list
}

func lineOf(page int, x paper.Line) leafLine {
	line := leafLine{ID: lineID(page, x.Number, x.Where), N: x.Number, Text: x.Text("   "), Y: x.Y - 0.95*x.Size,
		H: 1.3 * x.Size}
	if len(x.Cells) > 0 {
		line.X = x.Cells[0].X0 - 3
		line.W = x.Cells[len(x.Cells)-1].X1 - line.X + 3
	}
	return line
}

func lineID(page, line int, where string) string {
	if line == 0 && where != "" {
		return fmt.Sprintf("l%d-%s", page, strings.ReplaceAll(where, " ", "-"))
	}
	return fmt.Sprintf("l%d-%d", page, line)
}

// mark returns the id of the line that a place is in; empty where there is none.
func (w *waiting) mark(at reading.Place) string {
	for i, p := range w.file.Pages {
		sheet, cell, inSheet := strings.Cut(at.Cell, "!")
		switch {
		case inSheet && sheet == p.Name:
			n, _ := strconv.Atoi(strings.TrimLeft(cell, "ABCDEFGHIJKLMNOPQRSTUVWXYZ"))
			return lineID(i, n, "")
		case inSheet || at.Page > 0 && at.Page != p.Number:
			continue
		}
		for _, x := range p.Lines {
			if at.Line > 0 && x.Number == at.Line || at.Line == 0 && at.Where != "" && x.Where == at.Where {
				return lineID(i, x.Number, x.Where)
			}
		}
	}
	return ""
}
