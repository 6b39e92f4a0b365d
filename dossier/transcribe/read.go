package transcribe

import (
	"gallipot/calc/law"
	"gallipot/calc/law/table"
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
	return &Reader{words: words, declared: newDeclared(words, law.AllergenRows(tables)), names: names,
		newest: law.NewestAmendment(tables)}, nil
}

// Read reads a paper. It always answers: what cannot be read is said in the
// reading.
func (r *Reader) Read(f *paper.File) *Reading {
	s := r.open(f)
	readIdentity(s.desk)
	s.topic = s.firstTopic()
	for _, it := range s.items {
		if it.Table != nil {
			s.composition.closeRecord()
			s.table(it.Table)
			continue
		}
		s.textRow(it.Row)
	}
	s.composition.closeRecord()
	s.finish()
	return s.out
}

// open lays a paper before the readers of its parts.
func (r *Reader) open(f *paper.File) *reading {
	d := openDesk(f, r.words)
	composition := &composer{desk: d, names: r.names}
	declaration := &declarer{desk: d, rows: composition, declared: r.declared}
	return &reading{desk: d, composition: composition, declaration: declaration,
		certificate: &certifier{desk: d, newest: r.newest}, properties: &propertist{desk: d, declaration: declaration}}
}

// firstTopic is what a paper of a kind is about before its first heading.
func (s *reading) firstTopic() string {
	switch s.out.Document.Kind {
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
