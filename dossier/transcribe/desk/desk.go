package desk

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/transcribe/reading"
)

// Desk is one paper while it is read: its rows and tables, what holds for all its
// figures, and what was read of it so far.
type Desk struct {
	Out     *reading.Reading
	File    *paper.File
	Words   *lexicon.Lexicon
	Items   []cells.Item
	Figures figure.Reader

	Texts      []string               // every row of text and table, in order
	Labels     []Label                // labels of the paper with their values, in order
	LabelsOf   map[*cells.Row][]Label // the same by row
	Unit       lexicon.Unit           // the one unit that the paper names for its figures
	Limit      string                 // limit of detection, in per cent
	TraceLimit string                 // below what a printed "traces" stays, in per cent
	LimitSaid  bool                   // a limit of detection is spoken of and could not be read
	Zero       string                 // what a printed 0 stays below, in per cent
	Topic      string                 // subject of the last heading
	Typical    string                 // kind of figures that the last heading announces
	Doubtful   map[int]bool           // pages whose text is not trusted
	Legends    map[*cells.Row]bool    // rows that say what a sign stands for
	Footnotes  bool                   // marks of footnotes stand behind names or figures
}

// Place turns a place of the grid into one of the reading.
func (s *Desk) Place(p cells.Place, c cells.Cell) reading.Place {
	out := reading.Place{Page: p.Page, Line: p.Line, Where: p.Where}
	if c.Line > 0 {
		out.Line = c.Line
	}
	switch s.File.Form {
	case paper.Workbook:
		out = reading.Place{Cell: p.Sheet}
		if c.Ref != "" {
			out.Cell += "!" + c.Ref
		}
	case paper.Document:
		out.Page, out.Line = 0, 0
		if out.Where == "" {
			out.Where = p.Sheet
			if p.Sheet == "body" && p.Line > 0 {
				out.Where = fmt.Sprintf("paragraph %d", p.Line)
			}
		}
	case paper.Web:
		out.Page = 1
	}
	return out
}

// RowPlace is where a row begins.
func (s *Desk) RowPlace(row *cells.Row) reading.Place {
	if len(row.Cells) == 0 {
		return s.Place(row.Place, cells.Cell{})
	}
	return s.Place(row.Place, row.Cells[0])
}

// Doubt marks what stands on a page that is not trusted.
func (s *Desk) Doubt(p cells.Place, h *reading.How) {
	if s.Doubtful[p.Page] {
		h.Ask = "page-not-trusted"
	}
}

// Ask puts a question.
func (s *Desk) Ask(code string, at reading.Place, values ...string) {
	s.Out.Asks = append(s.Out.Asks, s.question(code, at, values))
}

// Warn says what a person should know.
func (s *Desk) Warn(code string, at reading.Place, values ...string) {
	s.Out.Warnings = append(s.Out.Warnings, s.question(code, at, values))
}

func (s *Desk) question(code string, at reading.Place, values []string) reading.Ask {
	named := map[string]string{}
	for i := 0; i+1 < len(values); i += 2 {
		named[values[i]] = values[i+1]
	}
	return reading.NewAsk(code, at, named)
}

// Pass lists a text of a table or a section that was not understood.
func (s *Desk) Pass(p cells.Place, text string) { s.PassAt(s.Place(p, cells.Cell{}), text) }

// PassAt is [Desk.Pass] with the place as it is told.
func (s *Desk) PassAt(at reading.Place, text string) {
	text = strings.TrimSpace(strings.ReplaceAll(text, "\n", " "))
	if by := s.Out.Document.Supplier; by != nil && text == by.Printed {
		return
	}
	if text != "" && len(s.Out.NotUnderstood) < 500 && !s.isTitle(text) {
		s.Out.NotUnderstood = append(s.Out.NotUnderstood, reading.Passed{Text: text, Place: at})
	}
}

// isTitle says whether a text without a figure names the kind of the paper: a title, and
// no row.
func (s *Desk) isTitle(text string) bool {
	_, _, kind := s.Words.Find("kind", lexicon.Fold(text))
	return kind && !strings.ContainsAny(text, "0123456789")
}

// Is says whether the paper is of a kind.
func (s *Desk) Is(kind string) bool { return s.Out.Document.Kind == kind }

// HasKind says whether the paper is of a kind, alone or among others.
func (s *Desk) HasKind(kind string) bool {
	return s.Is(kind) || slices.Contains(s.Out.Document.Kinds, kind)
}

// IsText says whether the paper is a text or a mail.
func (s *Desk) IsText() bool { return s.File.Form == paper.Mail || s.File.Form == paper.Text }

// Dosed says whether a text speaks of how much to use, so that its figures are no
// contents.
func (s *Desk) Dosed(t string) bool {
	_, _, ok := s.Words.Find("dose", lexicon.Fold(t))
	return ok
}
