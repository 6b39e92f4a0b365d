package transcribe

import (
	"strings"

	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
)

// Reader reads the meaning of papers. It does not change after New; several
// goroutines may use one.
type Reader struct {
	words    *lexicon.Lexicon
	declared *declared
	names    Names
	newest   int // newest amendment of the fragrance Standards that the tables know
}

// New makes a reader over the tables of law; names may be nil: then names stay as
// printed.
func New(tables *table.Tables, names Names) (*Reader, error) {
	words, err := lexicon.Load()
	if err != nil {
		return nil, err
	}
	return &Reader{words: words, declared: newDeclared(words, law.AllergenRows(tables)), names: names, newest: law.NewestAmendment(tables)}, nil
}

// reading is the state of reading one paper.
type reading struct {
	*Reader
	out   *Reading
	file  *paper.File
	items []cells.Item
	fig   figure.Reader
	dates dateReader

	text        []string                  // every row of text and table, in order
	unit        lexicon.Unit              // the one unit that the paper names for its figures
	detect      string                    // limit of detection, in per cent
	detectSaid  bool                      // a limit of detection is spoken of and could not be read
	zero        string                    // what a printed 0 stays below, in per cent
	noLook      bool                      // "-" is said to mean not looked for
	topic       string                    // subject of the last heading
	typical     string                    // kind of figures that the last heading announces
	doubtful    map[int]bool              // pages whose text is not trusted
	record      *Constituent              // the constituent that rows without a head build up
	labelsOf    map[*cells.Row][]labelled // labels of each row
	pendingRow  *cells.Row
	pendingHead string
	older       []Allergen // figures of quoted mails
	codeXs      []float64  // left edges of the codes
	codeValues  []cells.Cell
	codePlace   cells.Place
	codeHeads   []codes // categories that stood in a row of their own
}

// Read reads a paper. It always answers: what cannot be read is said in the
// reading.
func (r *Reader) Read(f *paper.File) *Reading {
	s := &reading{Reader: r, file: f, items: cells.Read(f, r.words), doubtful: map[int]bool{}}
	s.out = &Reading{File: f.Name, SHA256: f.SHA256, Form: string(f.Form), Composition: []Constituent{}, Impurities: []Property{}, Physical: []Property{},
		Asks: []Ask{}, Warnings: []Ask{}, NotUnderstood: []Passed{}}
	s.look()
	s.facts()
	s.topic = s.firstTopic()
	for i, it := range s.items {
		if it.Table != nil {
			s.closeRecord()
			s.table(it.Table)
			continue
		}
		s.textRow(i, it.Row)
	}
	s.closeRecord()
	s.finish()
	return s.out
}

// look learns what holds for the whole paper before its rows are read.
func (s *reading) look() {
	for _, p := range s.file.Pages {
		if p.Trust != "" {
			s.doubtful[p.Number] = true
		}
	}
	for _, it := range s.items {
		if it.Row != nil {
			for _, c := range it.Row.Cells {
				s.text = append(s.text, c.Text)
			}
			continue
		}
		for _, c := range it.Table.Columns {
			s.text = append(s.text, c.Head)
		}
		for _, row := range it.Table.Rows {
			for _, c := range row.Cells {
				if !c.Number {
					s.text = append(s.text, c.Text)
				}
			}
		}
	}
	s.fig = figure.Reader{Words: s.words, Habit: figure.LearnHabit(s.text)}
	s.out.Document.Language = s.words.Language(strings.Join(s.text, " "))
	if s.fig.Habit == figure.Unknown {
		s.fig.Habit = figure.LearnThousands(s.text, s.usualSign())
	}
	s.dates = dateReader{words: s.words, dayFirst: true}
	s.dates.order(s.text)
	if !s.dates.known {
		all := lexicon.Fold(strings.Join(s.text, " "))
		_, _, european := s.words.Find("european", all)
		s.dates.known = european || s.out.Document.Language != "en"
	}
	s.kinds()
	s.legend()
}

// usualSign is the decimal sign of the paper's language.
func (s *reading) usualSign() figure.Habit {
	if e, ok := s.words.Exact("decimal-sign", s.out.Document.Language); ok && e.Key == "comma" {
		return figure.Comma
	} else if ok {
		return figure.Point
	}
	return figure.Unknown
}

// place turns a place of the grid into one of the reading.
func (s *reading) place(p cells.Place, c cells.Cell) Place {
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

// doubt marks what stands on a page that is not trusted.
func (s *reading) doubt(p cells.Place, h *How) {
	if s.doubtful[p.Page] {
		h.Ask = "page-not-trusted"
	}
}

// ask puts a question.
func (s *reading) ask(code string, at Place, values ...string) {
	s.out.Asks = append(s.out.Asks, s.question(code, at, values))
}

// warn says what a person should know.
func (s *reading) warn(code string, at Place, values ...string) {
	s.out.Warnings = append(s.out.Warnings, s.question(code, at, values))
}

func (s *reading) question(code string, at Place, values []string) Ask {
	named := map[string]string{}
	for i := 0; i+1 < len(values); i += 2 {
		named[values[i]] = values[i+1]
	}
	return NewAsk(code, at, named)
}

// NewAsk is a question with its words.
func NewAsk(code string, at Place, values map[string]string) Ask {
	return Ask{Code: code, Place: at, Values: values, Text: Wording(code, values)}
}

func (s *reading) pass(p cells.Place, text string) {
	text = strings.TrimSpace(strings.ReplaceAll(text, "\n", " "))
	if text != "" && len(s.out.NotUnderstood) < 500 && !s.isTitle(text) {
		s.out.NotUnderstood = append(s.out.NotUnderstood, Passed{Text: text, Place: s.place(p, cells.Cell{})})
	}
}

// isTitle says whether a text without a figure names the kind of the paper: a title, and
// no row.
func (s *reading) isTitle(text string) bool {
	_, _, kind := s.words.Find("kind", lexicon.Fold(text))
	return kind && !strings.ContainsAny(text, "0123456789")
}
