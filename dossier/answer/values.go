package answer

import (
	"strings"
	"time"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/pattern"
)

// units are what may stand behind a figure and says nothing new.
var units = strings.NewReplacer("mg/kg bw/d", " ", "mg/kg bw/day", " ", "mg/kg/d", " ", "mg/kg", " ", "%",
	" ")

var typeRE = pattern.New(`^[A-Z][A-Za-z0-9]{2,9}$`)

// pod reads a point of departure in mg/kg bw/d with its type and the route of its study:
// 50 NOAEL oral.
func (r *Reading) pod(code, text string) (n *exact.Num, kind, route string) {
	for _, word := range strings.FieldsFunc(units.Replace(text),
		func(c rune) bool { return strings.ContainsRune(" \t\n\u00a0;:()", c) }) {
		word = strings.TrimRight(word, ",.")
		switch lower := strings.ToLower(word); {
		case lower == "oral" || lower == "dermal":
			route = lower
		case typeRE.MatchString(word) && kind == "":
			kind = word
		default:
			f := r.figure(code, word)
			if f == nil || n != nil {
				if f != nil {
					r.note("number", code, `"`+clip(text)+`"`)
				}
				return nil, "", ""
			}
			n = f
		}
	}
	if n == nil || n.Sign() <= 0 {
		r.note("number", code, `"`+clip(text)+`"`)
		return nil, "", ""
	}
	return n, kind, route
}

// figure reads one number without a sign; nil and a note where there is none.
func (r *Reading) figure(code, text string) *exact.Num {
	n, err := exact.ParseNum(strings.TrimSpace(units.Replace(text)))
	if err != nil || n.Sign() < 0 {
		r.note("number", code, `"`+clip(text)+`"`)
		return nil
	}
	return &n
}

// dateForms are those that people write and nobody can misread.
var dateForms = []string{"2006-01-02", "2 January 2006", "2 Jan 2006", "January 2, 2006"}

// dateOf finds a date in a text; a signature may stand beside it.
func dateOf(text string) (exact.Date, bool) {
	if d, err := exact.ParseDate(dayRE.FindString(text)); err == nil && !d.IsZero() {
		return d, true
	}
	plain := strings.Trim(squeezed(text), " .,")
	for _, form := range dateForms {
		for _, part := range []string{plain, strings.SplitN(plain, ";", 2)[0]} {
			if t, err := time.Parse(form, part); err == nil {
				d, err := exact.ParseDate(t.Format("2006-01-02"))
				return d, err == nil
			}
		}
	}
	return 0, false
}
