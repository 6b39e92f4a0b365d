package figure

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"gallipot/dossier/transcribe/lexicon"
)

// unitOnly reads a text that is a unit and nothing else.
func (r Reader) unitOnly(s string) (lexicon.Unit, bool) {
	u, n := r.unitAt(s)
	return u, n > 0 && strings.TrimSpace(s[n:]) == ""
}

// percent is the unit of a share as it stands in "1 <= x % < 5".
func (r Reader) percent() lexicon.Unit {
	u, _ := r.unitAt("%")
	return u
}

// unitAt finds a unit at the start of a text and how long it is.
func (r Reader) unitAt(s string) (lexicon.Unit, int) {
	for _, fold := range []bool{false, true} {
		for _, u := range r.Words.Units() {
			n := len(u.Printed)
			if len(s) < n || s[:n] != u.Printed && !(fold && strings.EqualFold(s[:n], u.Printed)) {
				continue
			}
			if next, _ := utf8.DecodeRuneInString(s[n:]); len(s) > n &&
				(unicode.IsLetter(next) || unicode.IsDigit(next)) && u.Printed != "%" {
				continue
			}
			return u, n
		}
	}
	return lexicon.Unit{}, 0
}

// UnitIn finds the unit that the head of a column or a label names, as in
// "Content (% w/w)" or "Acid value (mg KOH/g)".
func (r Reader) UnitIn(head string) (lexicon.Unit, bool) {
	best, size := lexicon.Unit{}, 0
	for i := range head {
		if i > 0 {
			if prev, _ := utf8.DecodeLastRuneInString(head[:i]); unicode.IsLetter(prev) ||
				unicode.IsDigit(prev) {
				continue
			}
		}
		if u, n := r.unitAt(head[i:]); n > size && !strings.HasPrefix(u.Printed, "/") &&
			u.Printed != "per g" && u.Printed != "°" && u.Printed != "º" {
			best, size = u, n
		}
	}
	return best, size > 0
}

// isCondition says whether a second figure is the temperature at which the first holds:
// "0,908 g/cm³ à 20 °C".
func isCondition(first, second bound) bool {
	return first.hasUnit && second.hasUnit && first.unit.Name != "°C" && second.unit.Name == "°C"
}
