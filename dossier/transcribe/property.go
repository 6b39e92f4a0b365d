package transcribe

import (
	"regexp"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/lexicon"
)

// propertist reads impurities and physical data.
type propertist struct {
	*desk
	declaration *declarer
	pendingRow  *cells.Row
	pendingHead string
}

// property is a name of a property or an impurity as the lexicon knows it.
type property struct {
	key      string
	impurity bool
}

// propertyOf finds which property a printed name means. whole asks for the name as
// a whole, brackets and conditions apart.
func (s *propertist) propertyOf(name string, whole bool) (property, bool) {
	bare := conditions.ReplaceAllString(plainName(name), " ")
	for _, n := range []string{name, plainName(name), bare} {
		for _, subject := range []string{"impurity", "property"} {
			if e, ok := s.words.Exact(subject, n); ok {
				return property{e.Key, subject == "impurity"}, true
			}
		}
	}
	if whole {
		return property{}, false
	}
	folded := lexicon.Fold(bare)
	best := lexicon.Entry{}
	for _, subject := range []string{"impurity", "property"} {
		if e, ok := s.words.Prefix(subject, folded); ok && len(e.Word) > len(best.Word) && len(e.Word) > 2 {
			best = e
		}
	}
	if best.Word != "" && len(folded)-len(best.Word) <= 24 {
		return property{best.Key, best.Subject == "impurity"}, true
	}
	for _, subject := range []string{"impurity", "property"} {
		if e, at, ok := s.words.Find(subject, folded); ok && at > 0 && at <= 16 && len(e.Word) > 4 && len(e.Word) > len(best.Word) && len(folded)-at-len(e.Word) <= 16 {
			best = e
		}
	}
	if best.Word == "" {
		return property{}, false
	}
	return property{best.Key, best.Subject == "impurity"}, true
}

// exactProperty finds a property whose name is the whole text.
func (s *propertist) exactProperty(text string) (property, bool) {
	for _, subject := range []string{"impurity", "property"} {
		if e, ok := s.words.Exact(subject, text); ok {
			return property{e.Key, subject == "impurity"}, true
		}
	}
	return property{}, false
}

var (
	conditions  = regexp.MustCompile(`(?i),?\s*(?:at|bei|à|a|bij|@|d)?\s*\d{2}\s?(?:/\d{1,2})?\s?°\s?C?\b`)
	temperature = regexp.MustCompile(`(\d{2})(?:\s?/\s?\d{1,2})?\s?(?:°|º|deg)?\s?C\b|\b(\d{2})\s?°`)
	shareIn     = regexp.MustCompile(`[\[(]([^\])]*%[^\])]*)[\])]`)
)

// fullName is the name of a property with its condition: temperature, dilution.
func fullName(p property, printed string) string {
	name := p.key
	if m := shareIn.FindStringSubmatch(printed); m != nil && p.key == "pH" {
		return name + " (" + strings.TrimSpace(m[1]) + ")"
	}
	if p.impurity {
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
