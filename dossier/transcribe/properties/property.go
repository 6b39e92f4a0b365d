package properties

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/declaration"
	"gallipot/dossier/transcribe/desk"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/ingredients/pattern"
)

// Reader reads impurities and physical data.
type Reader struct {
	*desk.Desk
	Declaration *declaration.Reader
	pendingRow  *cells.Row
	pendingHead string

	cardNames, cardWanted []string // tests side by side, and what is wanted of each
}

// Property is a name of a property or an impurity as the lexicon knows it.
type Property struct {
	key      string
	Impurity bool
}

// PropertyOf finds which property a printed name means. whole asks for the name as
// a whole, brackets and conditions apart.
func (s *Reader) PropertyOf(name string, whole bool) (Property, bool) {
	bare := conditions().ReplaceAllString(pieces.PlainName(name), " ")
	for _, n := range []string{name, pieces.PlainName(name), bare} {
		for _, subject := range []string{"impurity", "property"} {
			if e, ok := s.Words.Exact(subject, n); ok {
				return Property{e.Key, subject == "impurity"}, true
			}
		}
	}
	if whole {
		return Property{}, false
	}
	folded := lexicon.Fold(bare)
	best := lexicon.Entry{}
	for _, subject := range []string{"impurity", "property"} {
		if e, ok := s.Words.Prefix(subject, folded); ok && len(e.Word) > len(best.Word) && len(e.Word) > 2 {
			best = e
		}
	}
	if best.Word != "" && len(folded)-len(best.Word) <= 24 {
		return Property{best.Key, best.Subject == "impurity"}, true
	}
	for _, subject := range []string{"impurity", "property"} {
		if e, at, ok := s.Words.Find(subject, folded); ok && at > 0 && at <= 16 && len(e.Word) > 4 &&
			len(e.Word) > len(best.Word) && len(folded)-at-len(e.Word) <= 16 {
			best = e
		}
	}
	if best.Word == "" {
		return Property{}, false
	}
	return Property{best.Key, best.Subject == "impurity"}, true
}

// ExactProperty finds a property whose name is the whole text.
func (s *Reader) ExactProperty(text string) (Property, bool) {
	for _, subject := range []string{"impurity", "property"} {
		if e, ok := s.Words.Exact(subject, text); ok {
			return Property{e.Key, subject == "impurity"}, true
		}
	}
	return Property{}, false
}

var (
	conditions  = lexicon.Pattern(`(?i),?(?:\s+<<at>>|@)?\s*\b\d{2,3}\s?(?:/\d{1,2})?\s?°\s?C?\b`)
	temperature = pattern.New(`\b(\d{2,3})(?:\s?/\s?\d{1,2})?\s?(?:°|º|deg)?\s?C\b|\b(\d{2,3})\s?°`)
	shareIn     = pattern.New(`[\[(]([^\])]*%[^\])]*)[\])]`)
)

// fullName is the name of a property with its condition: temperature, dilution.
func fullName(p Property, printed string) string {
	name := p.key
	if m := shareIn.FindStringSubmatch(printed); m != nil && p.key == "pH" {
		return name + " (" + strings.TrimSpace(m[1]) + ")"
	}
	if p.Impurity {
		return name
	}
	rest := printed
	if m := temperature.FindStringSubmatch(rest); m != nil {
		t := m[1]
		if t == "" {
			t = m[2]
		}
		name += " at " + t + " °C"
	}
	return name
}
