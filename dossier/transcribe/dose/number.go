package dose

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/pattern"
)

var (
	running  = pattern.New(`^(?:\d{1,3}(?:['’]\d{3})+(?:[.,]\d+)?|\d+(?:[.,]\d+)*|[.,]\d+)`)
	standing = pattern.New(`^\d{1,3}(?: \d{3})+(?:[.,]\d+)?(?:$|[^\d])`)
	dateLike = pattern.New(`^(\d{1,2}[./-]\d{1,2}[./-]\d{2,4}|\d{4}-\d{2}-\d{2})($|[^\d])`)
	fraction = pattern.New(`^(?:(\d+) +)?(\d{1,2}) ?/ ?(2|3|4|5|8|10)(?:$|[^\d/.,])`)
)

// number reads a number at the start of a text; alone says that the text stands in
// a cell of its own. value is empty for a fraction that no decimal number holds.
func (r *Reader) number(s string, alone bool) (value string, open bool, rest string, ok bool) {
	s = strings.TrimLeft(s, " ")
	if m := fraction.FindStringSubmatch(s); m != nil {
		return fractionOf(m), false, s[len(strings.TrimRight(m[0],
			" ()abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ%-")):], true
	}
	n := running.FindString(s)
	if alone {
		if m := standing.FindString(s); m != "" {
			n = strings.TrimRight(m, " %gk-")
			if c := n[len(n)-1]; c < '0' || c > '9' {
				n = n[:len(n)-1]
			}
		}
	}
	if n == "" || dateLike.MatchString(s) {
		return "", false, s, false
	}
	after := s[len(n):]
	unit, _ := r.unit(after)
	u := lexicon.Unit{}
	if unit == "%" {
		u = lexicon.Unit{Name: "%", Divisor: 1}
	}
	f, ok := figure.Reader{Words: r.Words, Habit: r.Habit}.Parse(n, u)
	if !ok || f.Low == "" || f.Low != f.High {
		return "", true, after, ok || n != ""
	}
	return f.Low, f.Open != "", after, true
}

func fractionOf(m []string) string {
	whole := m[1]
	if whole == "" {
		whole = "0"
	}
	w, err1 := exact.ParseNum(whole)
	a, err2 := exact.ParseNum(m[2])
	b, err3 := exact.ParseNum(m[3])
	if err1 != nil || err2 != nil || err3 != nil {
		return ""
	}
	text := w.Add(a.Quo(b)).Exact()
	if strings.Contains(text, "/") {
		return ""
	}
	return text
}

// unit finds a unit at the start of a text. Blanks before it do not count.
func (r *Reader) unit(s string) (unit, rest string) {
	t := strings.TrimLeft(s, " ")
	if len(s)-len(t) > 2 {
		return "", s
	}
	if strings.HasPrefix(t, "-") && len(t) > 1 && unicode.IsLetter(firstRune(t[1:])) { // "10-g"
		return "", s
	}
	best := ""
	for _, e := range r.Words.Each("formula unit") {
		n := len(e.Printed)
		if n <= len(best) || len(t) < n || !strings.EqualFold(t[:n], e.Printed) {
			continue
		}
		next, size := utf8.DecodeRuneInString(t[n:])
		if e.Printed != "%" && (unicode.IsLetter(next) || unicode.IsDigit(next)) {
			continue
		}
		if next == '-' || next == '/' || next == '\'' {
			if after, _ := utf8.DecodeRuneInString(t[n+size:]); unicode.IsLetter(after) && e.Printed != "%" {
				continue // "2 L-arginine", "5 g/kg"
			}
		}
		best, unit = e.Printed, e.Key
	}
	if best == "" {
		return "", s
	}
	return unit, t[len(best):]
}

// UnitOf says which unit a text is as a whole; empty: none.
func (r *Reader) UnitOf(text string) string {
	u, rest := r.unit(strings.Trim(Plain(text), " ()[].:"))
	if strings.Trim(rest, " .:") != "" {
		return ""
	}
	return u
}

// UnitIn finds the unit that a head of a column or a title names: "Weight (g)".
func (r *Reader) UnitIn(text string) string {
	s := Plain(text)
	if strings.Contains(s, "%") {
		return "%"
	}
	if u := r.UnitOf(s); u != "" {
		return u
	}
	for _, part := range strings.FieldsFunc(s, func(c rune) bool {
		return c == ' ' || c == '(' || c == ')' || c == '[' || c == ']' || c == '/' || c == ',' ||
			c == ':' || c == '-'
	}) {
		if u := r.UnitOf(part); u != "" && !r.Words.Is("formula small", "no-unit-in-head",
			lexicon.Fold(part)) && part != "L" {
			return u
		}
	}
	return ""
}
