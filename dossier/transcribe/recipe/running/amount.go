package running

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/recipe/terms"
)

// restAt finds words that stand for an amount and with which the line ends:
// "water to 100".
func (d *Reader) restAt(s string) (int, dose.Amount, bool) {
	for _, i := range terms.WordStarts(s) {
		tail := s[i:]
		if c, _ := utf8.DecodeRuneInString(tail); i == 0 || !unicode.IsLetter(c) &&
			!strings.ContainsRune("~<≤", c) || !d.restWords(tail) {
			continue
		}
		a, ok := d.Dose.Parse(tail)
		if ok && a.QS != "" {
			return i, a, true
		}
	}
	return 0, dose.Amount{}, false
}

// restWords says whether a text begins with words that stand for an amount.
func (d *Reader) restWords(tail string) bool {
	f := lexicon.Fold(tail)
	if strings.HasPrefix(f, "ph ") || d.Starts("formula to", "ph", f) {
		return true
	}
	for _, key := range []string{"to-100", "open", "as-needed"} {
		if d.Starts("formula qs", key, f) {
			return true
		}
	}
	if strings.Contains(f, " ph ") && (d.Starts("formula bound", "high", f) ||
		d.Starts("formula bound", "about", f) || tail[0] == '~' || tail[0] == '<') {
		return true
	}
	return d.Starts("formula fill", "to", f)
}

// byUnits finds name and amount by the unit that is printed.
func (d *Reader) byUnits(l *Line, s string) (name, rest string, ok bool) {
	found := d.Amounts(s)
	if len(found) == 0 {
		return "", "", false
	}
	if f := found[0]; f.From == 0 && len(found) == 1 { // "38 g castor oil"
		after := strings.TrimSpace(s[f.To:])
		if after == "" || f.Amount.Unit == "%" && strength().MatchString(after) {
			return "", "", false
		}
		l.amount = f.Amount
		return after, "", true
	}
	n := len(found) - 1
	last := found[n]
	after := s[last.To:]
	if len(found) > 1 && joiner.MatchString(s[found[n-1].To:last.From]) {
		if found[n-1].Amount.Unit != last.Amount.Unit {
			if found[n-1].From == 0 {
				l.amount, l.also = found[n-1].Amount, last.Amount.Printed
				return after, "", strings.TrimSpace(after) != ""
			}
			// per cent and grams, or a strength and an amount: the list decides
			l.twin = &Line{Name: s[:last.From], amount: last.Amount}
			l.amount, l.also = found[n-1].Amount, last.Amount.Printed
			return s[:found[n-1].From], after, true
		}
	}
	if a, ok := d.Dose.Parse(after); ok && a.Value != "" && a.Unit == "" && a.Note == "" {
		// "Glucoside 50 % 150", or per cent and grams without a unit: the list decides
		l.twin = &Line{Name: s[:last.To], amount: a}
		l.amount, l.also = last.Amount, a.Printed
		return s[:last.From], "", true
	}
	if last.Amount.Unit == "%" && strength().MatchString(after) {
		return "", "", false
	}
	l.amount = last.Amount
	if d.Starts("formula small", "or", lexicon.Fold(after)) {
		l.amount.Doubt = dose.Composed
	}
	if strings.HasPrefix(strings.TrimSpace(after), "?") {
		l.amount.Doubt = dose.Query
	}
	return s[:last.From], after, true
}

// byGap finds an amount without a unit that is set apart by a gap, a colon, or
// stands at the end alone.
func (d *Reader) byGap(l *Line, s string) (name, rest string, ok bool) {
	parts := gapCells.Split(s, -1)
	if len(parts) > 1 {
		for i := len(parts) - 1; i > 0; i-- {
			if a, ok := d.Dose.Parse(parts[i]); ok && a.Figured() {
				for i > 1 { // the first of several figures
					b, ok := d.Dose.Parse(parts[i-1])
					if !ok || !b.Figured() {
						break
					}
					l.also = strings.TrimSpace(parts[i] + " " + l.also)
					a, i = b, i-1
				}
				l.amount = a
				name = strings.Join(parts[:i], " ")
				return name, strings.Join(trailing(parts, i, l.also), " "), true
			}
		}
		if a, ok := d.Dose.Parse(parts[0]); ok && (a.Figured() || a.QS != "") {
			l.amount = a
			return strings.Join(parts[1:], " "), "", true
		}
	}
	for _, sign := range []string{":", "=", " - "} {
		if i := strings.LastIndex(s, sign); i > 0 {
			if a, ok := d.Dose.Parse(s[i+len(sign):]); ok && a.Figured() {
				l.amount = a
				return s[:i], "", true
			}
		}
	}
	i := strings.LastIndexByte(s, ' ')
	if i > 0 {
		if a, ok := d.Dose.Parse(s[i+1:]); ok && a.Value != "" {
			l.amount, l.bare = a, true
			return s[:i], "", true
		}
	}
	if i := strings.IndexByte(s, ' '); i > 0 {
		if a, ok := d.Dose.Parse(s[:i]); ok && a.Value != "" {
			l.amount, l.bare = a, true
			return s[i+1:], "", true
		}
	}
	return "", "", false
}

// inBrackets finds an amount in brackets at the end: "Glycerin (3 %)". In a list
// with amounts outside brackets it is a strength.
func (d *Reader) inBrackets(l *Line, s string) (name, rest string, ok bool) {
	i := strings.LastIndexAny(s, "([")
	if i <= 0 || !strings.HasSuffix(s, ")") && !strings.HasSuffix(s, "]") {
		return "", "", false
	}
	a, ok := d.Dose.Parse(strings.Trim(s[i:], "()[] "))
	if !ok || a.None || a.Unit == "" && a.QS == "" {
		return "", "", false
	}
	l.amount, l.braced = a, a.QS == ""
	return s[:i], "", true
}

// trailing is what stands behind the amounts of a line.
func trailing(parts []string, at int, also string) []string {
	if also == "" {
		return parts[at+1:]
	}
	n := 0
	for _, p := range parts[at+1:] {
		if strings.Contains(also, p) {
			n++
		}
	}
	return parts[min(at+1+n, len(parts)):]
}
