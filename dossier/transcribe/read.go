package transcribe

import (
	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/dossier/transcribe/certificate"
	"gallipot/dossier/transcribe/composition"
	"gallipot/dossier/transcribe/declaration"
	"gallipot/dossier/transcribe/desk"
	"gallipot/dossier/transcribe/identity"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/transcribe/properties"
	"gallipot/dossier/transcribe/reading"
)

// Reader reads the meaning of papers. It does not change after New; several
// goroutines may use one.
type Reader struct {
	words    *lexicon.Lexicon
	declared *declaration.Known
	names    composition.Names
	starts   starts
	newest   int // newest amendment of the fragrance Standards that the tables know
}

// New makes a reader over the tables of law; names may be nil: then names stay as
// printed.
func New(tables *table.Tables, names composition.Names) (*Reader, error) {
	words, err := lexicon.Load()
	if err != nil {
		return nil, err
	}
	known := declaration.NewKnown(words, law.AllergenRows(tables))
	return &Reader{words: words, declared: known, names: names, starts: newStarts(words, known),
		newest: law.NewestAmendment(tables)}, nil
}

// read reads what lies on the desk.
func (s *walk) read() *reading.Reading {
	identity.Read(s.Desk)
	s.Topic = s.firstTopic()
	for _, it := range s.Items {
		if it.Table != nil {
			s.composition.CloseRecord()
			s.table(it.Table)
			continue
		}
		s.textRow(it.Row)
	}
	s.composition.CloseRecord()
	s.finish()
	return s.Out
}

// open lays a paper before the readers of its parts.
func (r *Reader) open(f *paper.File) *walk {
	d := desk.Open(f, r.words)
	composition := &composition.Reader{Desk: d, Names: r.names, Declares: func(name string) bool {
		_, ok := r.declared.ByName(name)
		return ok
	}}
	declaration := &declaration.Reader{Desk: d, Rows: composition, Known: r.declared}
	return &walk{Desk: d, starts: r.starts, composition: composition, declaration: declaration,
		certificate: &certificate.Reader{Desk: d, Newest: r.newest},
		properties:  &properties.Reader{Desk: d, Declaration: declaration}}
}

// firstTopic is what a paper of a kind is about before its first heading.
func (s *walk) firstTopic() string {
	switch s.Out.Document.Kind {
	case "sds":
		return "other"
	case "composition":
		return "composition"
	case "allergen-declaration":
		return "allergens"
	case "ifra-certificate":
		return "ifra"
	}
	return ""
}
