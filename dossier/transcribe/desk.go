package transcribe

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
)

// desk is one paper while it is read: its rows and tables, what holds for all its
// figures, and what was read of it so far.
type desk struct {
	out   *Reading
	file  *paper.File
	words *lexicon.Lexicon
	items []cells.Item
	fig   figure.Reader

	text       []string                  // every row of text and table, in order
	labels     []labelled                // labels of the paper with their values, in order
	labelsOf   map[*cells.Row][]labelled // the same by row
	unit       lexicon.Unit              // the one unit that the paper names for its figures
	detect     string                    // limit of detection, in per cent
	detectSaid bool                      // a limit of detection is spoken of and could not be read
	zero       string                    // what a printed 0 stays below, in per cent
	topic      string                    // subject of the last heading
	typical    string                    // kind of figures that the last heading announces
	doubtful   map[int]bool              // pages whose text is not trusted
}

// place turns a place of the grid into one of the reading.
func (s *desk) place(p cells.Place, c cells.Cell) Place {
	out := Place{Page: p.Page, Line: p.Line, Where: p.Where}
	if c.Line > 0 {
		out.Line = c.Line
	}
	switch s.file.Form {
	case paper.Workbook:
		out = Place{Cell: p.Sheet}
		if c.Ref != "" {
			out.Cell += "!" + c.Ref
		}
	case paper.Document:
		out.Page, out.Line = 0, 0
		if out.Where == "" {
			out.Where = p.Sheet
		}
	case paper.Web:
		out.Page = 1
	}
	return out
}

func (s *desk) rowPlace(row *cells.Row) Place {
	if len(row.Cells) == 0 {
		return s.place(row.Place, cells.Cell{})
	}
	return s.place(row.Place, row.Cells[0])
}

// doubt marks what stands on a page that is not trusted.
func (s *desk) doubt(p cells.Place, h *How) {
	if s.doubtful[p.Page] {
		h.Ask = "page-not-trusted"
	}
}

// ask puts a question.
func (s *desk) ask(code string, at Place, values ...string) {
	s.out.Asks = append(s.out.Asks, s.question(code, at, values))
}

// warn says what a person should know.
func (s *desk) warn(code string, at Place, values ...string) {
	s.out.Warnings = append(s.out.Warnings, s.question(code, at, values))
}

func (s *desk) question(code string, at Place, values []string) Ask {
	named := map[string]string{}
	for i := 0; i+1 < len(values); i += 2 {
		named[values[i]] = values[i+1]
	}
	return NewAsk(code, at, named)
}

func (s *desk) pass(p cells.Place, text string) {
	text = strings.TrimSpace(strings.ReplaceAll(text, "\n", " "))
	if text != "" && len(s.out.NotUnderstood) < 500 && !s.isTitle(text) {
		s.out.NotUnderstood = append(s.out.NotUnderstood, Passed{Text: text, Place: s.place(p, cells.Cell{})})
	}
}

// isTitle says whether a text without a figure names the kind of the paper: a title, and
// no row.
func (s *desk) isTitle(text string) bool {
	_, _, kind := s.words.Find("kind", lexicon.Fold(text))
	return kind && !strings.ContainsAny(text, "0123456789")
}

// is no figure.
func (s *desk) is(kind string) bool { return s.out.Document.Kind == kind }

func (s *desk) hasKind(kind string) bool {
	return s.is(kind) || slices.Contains(s.out.Document.Kinds, kind)
}

func (s *desk) isText() bool { return s.file.Form == paper.Mail || s.file.Form == paper.Text }

// dosed says whether a text speaks of how much to use, so that its figures are no
// contents.
func (s *desk) dosed(t string) bool {
	_, _, ok := s.words.Find("dose", lexicon.Fold(t))
	return ok
}
