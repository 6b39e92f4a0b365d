package transcribe

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
)

// openDesk takes a paper and learns what holds for all of it before its rows are read.
func openDesk(f *paper.File, words *lexicon.Lexicon) *desk {
	s := &desk{file: f, words: words, items: cells.Read(f, words), doubtful: map[int]bool{}}
	s.out = newReading(f.Name, f.SHA256, string(f.Form))
	for _, p := range f.Pages {
		if p.Trust != "" {
			s.doubtful[p.Number] = true
		}
	}
	s.texts()
	s.fig = figure.Reader{Words: words, Habit: figure.LearnHabit(s.text)}
	s.out.Document.Language = words.Language(strings.Join(s.text, " "))
	if s.fig.Habit == figure.Unknown {
		s.fig.Habit = figure.LearnThousands(s.text, s.usualSign())
	}
	s.labels = s.allLabels()
	s.labelsOf = map[*cells.Row][]labelled{}
	for _, l := range s.labels {
		s.labelsOf[l.row] = append(s.labelsOf[l.row], l)
	}
	s.kinds()
	s.legend()
	return s
}

// texts gathers the text of every row and table.
func (s *desk) texts() {
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
}

// usualSign is the decimal sign of the paper's language.
func (s *desk) usualSign() figure.Habit {
	if e, ok := s.words.Exact("decimal-sign", s.out.Document.Language); ok && e.Key == "comma" {
		return figure.Comma
	} else if ok {
		return figure.Point
	}
	return figure.Unknown
}

// kinds finds what the paper is from its title.
func (s *desk) kinds() {
	var found []string
	for n, row := range s.topRows(titleRows) {
		words := strings.Fields(row.Text())
		if len(words) > 16 || n > 0 && len(words) > 12 {
			continue
		}
		if e, _, ok := s.words.Find("kind", lexicon.Fold(row.Text())); ok && !slices.Contains(found, e.Key) {
			found = append(found, e.Key)
		}
	}
	if s.file.Form == paper.Mail {
		s.out.Document.Kind = "mail"
		s.out.Document.Kinds = append([]string{"mail"}, found...)
		return
	}
	for _, strong := range []string{"sds", "ifra-certificate", "allergen-declaration", "certificate-of-analysis", "technical-data-sheet", "composition", "statement"} {
		if slices.Contains(found, strong) {
			s.out.Document.Kind = strong
			break
		}
	}
	s.out.Document.Kinds = found
}

// titleRows is how many rows from the top of a paper may hold its title.
const titleRows = 14

// topRows are the first rows of text of the paper, page heads of a word-processor
// file included.
func (s *desk) topRows(n int) []*cells.Row {
	var rows []*cells.Row
	for _, it := range s.items {
		if it.Table != nil {
			if len(rows) > 0 {
				break
			}
			continue
		}
		if it.Row.Quote == 0 && !it.Row.Hidden && it.Row.Text() != "" {
			rows = append(rows, it.Row)
		}
		if len(rows) == n {
			break
		}
	}
	return rows
}
