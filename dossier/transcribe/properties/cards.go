package properties

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
)

// cards reads tests that stand side by side, each with its result and limits below it:
// a row of names, then rows of "Result: …" and "Limits: …", a cell for each name.
func (s *Reader) cards(row *cells.Row, texts []cells.Cell) bool {
	if len(texts) < 2 {
		s.cardNames = nil
		return false
	}
	names := make([]string, len(texts))
	for i, c := range texts {
		names[i] = pieces.OneLine(c.Text)
		if _, ok := s.PropertyOf(names[i], true); !ok {
			return s.underCards(row, texts)
		}
	}
	s.cardNames, s.cardWanted = names, make([]string, len(names))
	return true
}

// underCards reads a row below the names.
func (s *Reader) underCards(row *cells.Row, texts []cells.Cell) bool {
	if len(texts) != len(s.cardNames) {
		s.cardNames = nil
		return false
	}
	kind, values := "", make([]string, len(texts))
	for i, c := range texts {
		label, value, ok := strings.Cut(pieces.OneLine(c.Text), ":")
		role := s.cardRole(label)
		if !ok || role == "" || kind != "" && role != kind {
			return false
		}
		kind, values[i] = role, strings.TrimSpace(value)
	}
	for i, c := range texts {
		name := s.cardNames[i]
		if kind == "spec" {
			s.cardWanted[i] = values[i]
			s.wantedOf(name, values[i])
			continue
		}
		f, ok := s.Figures.Parse(values[i], s.UnitOf(name, ""))
		if !ok {
			s.Ask("not-read", s.Place(row.Place, c), "name", name, "text", values[i])
			continue
		}
		s.Put(reading.Property{Name: name, Spec: s.cardWanted[i]}, f, kind, s.Place(row.Place, c), row.Place)
	}
	return true
}

// cardRole is what a label below a name promises: result, spec or typical; "" for others.
func (s *Reader) cardRole(label string) string {
	for _, e := range s.Words.All("head", lexicon.Fold(label)) {
		switch e.Key {
		case "result", "spec", "typical":
			return e.Key
		case "limit":
			return "spec"
		}
	}
	return ""
}

// wantedOf notes what is wanted of a result that was put before.
func (s *Reader) wantedOf(name, wanted string) {
	for _, list := range [][]reading.Property{s.Out.Impurities, s.Out.Physical} {
		for i := range list {
			if list[i].Name == name && list[i].Spec == "" {
				list[i].Spec = wanted
			}
		}
	}
}
