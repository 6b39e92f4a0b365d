package desk

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/transcribe/reading"
)

// Open takes a paper and learns what holds for all of it before its rows are read.
func Open(f *paper.File, words *lexicon.Lexicon) *Desk {
	s := &Desk{File: f, Words: words, Items: cells.Read(f, words), Doubtful: map[int]bool{},
		Legends: map[*cells.Row]bool{}}
	if f.Form == paper.PDF || f.Form == paper.Text || f.Form == paper.Mail {
		s.Items = joinSentences(s.Items, words)
	}
	s.Out = reading.New(f.Name, f.SHA256, string(f.Form))
	for _, p := range f.Pages {
		if p.Trust != "" {
			s.Doubtful[p.Number] = true
		}
	}
	s.gather()
	s.Figures = figure.Reader{Words: words, Habit: figure.LearnHabit(s.Texts)}
	s.Out.Document.Language = words.Language(strings.Join(s.Texts, " "))
	if s.Figures.Habit == figure.Unknown {
		s.Figures.Habit = figure.LearnThousands(s.Texts, s.usualSign())
	}
	s.Labels = s.allLabels()
	s.LabelsOf = map[*cells.Row][]Label{}
	for _, l := range s.Labels {
		s.LabelsOf[l.Row] = append(s.LabelsOf[l.Row], l)
	}
	s.kinds()
	s.legend()
	return s
}

// gather gathers the text of every row and table.
func (s *Desk) gather() {
	for _, it := range s.Items {
		if it.Row != nil {
			for _, c := range it.Row.Cells {
				s.Texts = append(s.Texts, c.Text)
			}
			continue
		}
		for _, c := range it.Table.Columns {
			s.Texts = append(s.Texts, c.Head)
		}
		for _, row := range it.Table.Rows {
			for _, c := range row.Cells {
				if !c.Number {
					s.Texts = append(s.Texts, c.Text)
				}
			}
		}
	}
}

// usualSign is the decimal sign of the paper's language.
func (s *Desk) usualSign() figure.Habit {
	if e, ok := s.Words.Exact("decimal-sign", s.Out.Document.Language); ok && e.Key == "comma" {
		return figure.Comma
	} else if ok {
		return figure.Point
	}
	return figure.Unknown
}

// kinds finds what the paper is from its title.
func (s *Desk) kinds() {
	var found []string
	for n, row := range s.TopRows(titleRows) {
		parts := strings.Split(row.Text(), " | ") // "Technical Data Sheet | Company | Issue 4"
		for _, t := range parts {
			words := strings.Fields(t)
			if len(words) > 16 || n > 0 && len(words) > 12 {
				continue
			}
			if e, _, ok := s.Words.Find("kind", lexicon.Fold(t)); ok && !slices.Contains(found, e.Key) {
				found = append(found, e.Key)
			}
		}
	}
	if !slices.Contains(found, "sds") && s.hasSections() {
		found = append(found, "sds")
	}
	if s.File.Form == paper.Mail {
		s.Out.Document.Kind = "mail"
		s.Out.Document.Kinds = append([]string{"mail"}, found...)
		return
	}
	for _, strong := range []string{"sds", "ifra-certificate", "allergen-declaration",
		"certificate-of-analysis", "technical-data-sheet", "composition", "statement"} {
		if slices.Contains(found, strong) {
			s.Out.Document.Kind = strong
			break
		}
	}
	s.Out.Document.Kinds = found
}

// sectionNumber is the heading of a section of a safety data sheet.
var sectionNumber = lexicon.Pattern(`(?i)^\s*(?:<<section>>)\s*(\d{1,2})\b`)

// hasSections says whether a paper has the numbered sections of a safety data sheet, which
// may do without its title.
func (s *Desk) hasSections() bool {
	seen := map[string]bool{}
	for _, t := range s.Texts {
		if m := sectionNumber().FindStringSubmatch(t); m != nil {
			seen[m[1]] = true
		}
	}
	return len(seen) > 1 && seen["3"]
}

// SectionTopic is the subject of a section of a safety data sheet by its number: of a heading
// that is its number alone, or whose words are not known.
func (s *Desk) SectionTopic(t string) string {
	m := sectionNumber().FindStringSubmatch(t)
	switch {
	case m == nil || len(strings.Fields(t)) > 12:
		return ""
	case m[1] == "3":
		return "composition"
	case m[1] == "9":
		return "physical"
	}
	return "other"
}

// titleRows is how many rows from the top of a paper may hold its title.
const titleRows = 14

// TopRows are the first rows of text of the paper, page heads of a word-processor
// file included.
func (s *Desk) TopRows(n int) []*cells.Row {
	var rows []*cells.Row
	for _, it := range s.Items {
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
