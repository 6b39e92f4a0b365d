package recipe

import (
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/lexicon"
)

// textLine is a line of running text as one line of a formula.
type textLine struct {
	phase  *heading // a phase that the line begins
	name   string
	amount dose.Amount
	also   string // a second amount right beside the first
	twin   *textLine
	note   string
	struck bool
	braced bool // the amount stands in brackets
	bare   bool // the amount has no unit and nothing sets it apart
}

// found is an amount inside a line.
type foundAmount struct {
	from, to int
	amount   dose.Amount
}

var (
	bullet   = regexp.MustCompile(`^\s*(?:[-*•·▪◦‣–—+>]|\d{1,2}[.)]|\[[ xX]?\]|[☐☑✓✔])\s+`)
	leadIn   = regexp.MustCompile(`^((?i:phase|teil|fase|part|partie|parte|deel)\s+[A-Za-z0-9]{1,3}|\(?[A-H]\d?\)?|\(?(?:II?I?|IV)\)?)(\s*[:.)]\s+|\s{2,}|\t+|\s*[-–]\s+|\s*:\s*)(\S.*)$`)
	strength = regexp.MustCompile(`(?i)^\s*(solution|sol\.?|lösung|losung|active|in |aq|aqueous|strength|vol|abv|alcohol|grade|soluzione|solución|oplossing|solids|w/v|diluted|dilution|verdünnt|pure|purity|cocoa|solubili)`)
	countOf  = regexp.MustCompile(`^\d+ [a-zA-Z]`)
	joiner   = regexp.MustCompile(`^[\s/|,;=(~-]*$`)
	gapCells = regexp.MustCompile(`\s{2,}|\t+|\s*\.{3,}\s*|\s*…+\s*|\s*_{3,}\s*`)
)

// bareText takes bullet and check box off a line.
func bareText(s string) string {
	for range 2 {
		s = bullet.ReplaceAllString(s, "")
	}
	return strings.TrimSpace(strings.Trim(s, "|"))
}

// line reads a line of text as a line of a formula.
func (d *doc) line(raw string) (textLine, bool) {
	s := bareText(strings.ReplaceAll(raw, "**", ""))
	if bare, struck := unstrike(s); struck != "" {
		if strings.TrimSpace(bare) == "" {
			l, ok := d.line(struck)
			l.struck = true
			return l, ok
		}
		l, ok := d.line(bare)
		l.note = strings.Trim(l.note+"; crossed out: "+struck, "; ")
		return l, ok
	}
	if m := leadIn.FindStringSubmatch(s); m != nil {
		if h, ok := d.phaseOf(m[1]); ok {
			if l, ok := d.lineBody(m[3]); ok {
				l.phase = &h
				return l, true
			}
		}
	}
	return d.lineBody(s)
}

// longestLine is how many bytes a line of text may have that is a line of a formula.
const longestLine = 300

func (d *doc) lineBody(s string) (l textLine, ok bool) {
	if len(s) > longestLine {
		return l, false
	}
	plain := dose.Plain(s)
	if plain == "" || len(strings.Fields(plain)) > 22 || d.isLabel(firstPart(plain)) {
		return l, false
	}
	name, rest, ok := "", "", false
	if at, a, found := d.restAt(plain); found {
		name, l.amount, ok = plain[:at], a, true
	} else if name, rest, ok = d.byUnits(&l, plain); !ok {
		if name, rest, ok = d.byGap(&l, plain); !ok {
			name, rest, ok = d.inBrackets(&l, plain)
		}
	}
	if !ok {
		return l, false
	}
	l.note = strings.TrimSpace(l.note)
	if rest = trimNote(rest); rest != "" {
		l.note = strings.Trim(l.note+"; "+rest, "; ")
	}
	l.name = printedName(s, trimName(name))
	if l.twin != nil {
		l.twin.name = printedName(s, trimName(l.twin.name))
	}
	return l, d.isMaterial(l.name)
}

func firstPart(s string) string {
	if i := strings.IndexAny(s, ":="); i > 0 {
		return s[:i]
	}
	return ""
}

func trimName(s string) string {
	s = strings.TrimSpace(s)
	s = strings.TrimRight(s, " :=-–~,;.>")
	for _, word := range []string{"of ", "x ", "de ", "d'"} {
		if len(s) > len(word) && strings.EqualFold(s[:len(word)], word) {
			s = s[len(word):]
		}
	}
	s = strings.TrimLeft(s, " :=-–~,;.>")
	return strings.TrimRight(strings.TrimSuffix(s, "("), " :=-–~,;")
}

func trimNote(s string) string {
	s = strings.TrimSpace(s)
	if strings.HasPrefix(s, "(") && strings.HasSuffix(s, ")") && strings.Count(s, "(") == 1 {
		s = s[1 : len(s)-1]
	}
	return strings.Trim(s, " ,;:-–")
}

// printedName gives the name as it stands in the line, signs and all.
func printedName(s, plain string) string {
	if plain == "" || strings.Contains(s, plain) {
		return plain
	}
	for i := range s {
		if i > 0 && strings.HasSuffix(dose.Plain(s[:i]), plain) {
			for j := range s[:i] {
				if dose.Plain(s[j:i]) == plain {
					return strings.TrimSpace(s[j:i])
				}
			}
		}
	}
	if strings.HasSuffix(dose.Plain(s), plain) {
		for j := range s {
			if dose.Plain(s[j:]) == plain {
				return strings.TrimSpace(s[j:])
			}
		}
	}
	return plain
}

// isMaterial says whether a text can be the name of a material.
func (d *doc) isMaterial(name string) bool {
	if utf8.RuneCountInString(name) < 2 || len(strings.Fields(name)) > 10 ||
		!strings.ContainsFunc(name, unicode.IsLetter) {
		return false
	}
	if countOf.MatchString(name) || strings.HasSuffix(name, " of") {
		return false // "10 tubes of"
	}
	if f := lexicon.Fold(name); d.holds("formula word", "batch", f) || strings.HasSuffix(f, " for") {
		return false // "makes 250 g"
	}
	if d.startsStep(name) || strings.Contains(name, ". ") && len(strings.Fields(name)) > 5 {
		return false
	}
	return d.dose.UnitOf(name) == ""
}

// startsStep says whether a text begins like a sentence of the work or a letter.
func (d *doc) startsStep(s string) bool {
	words := strings.Fields(lexicon.Fold(s))
	if len(words) == 0 {
		return false
	}
	return d.isStep(words[0]) || len(words) > 1 && d.isStep(words[0]+" "+words[1])
}

func (d *doc) isStep(word string) bool { return d.is("formula word", "step", word) }

// starts of words outside brackets, from left to right.
func wordStarts(s string) []int {
	var out []int
	depth := 0
	for i := 0; i < len(s); i++ {
		switch s[i] {
		case '(', '[':
			depth++
		case ')', ']':
			depth = max(0, depth-1)
		}
		if depth > 0 {
			continue
		}
		if i == 0 || s[i-1] == ' ' || s[i-1] == '\t' || strings.IndexByte(":=,;/|-(", s[i-1]) >= 0 &&
			s[i] != ' ' {
			if s[i] != ' ' && s[i] != '\t' {
				out = append(out, i)
			}
		}
	}
	return out
}

// restAt finds words that stand for an amount and with which the line ends:
// "water to 100".
func (d *doc) restAt(s string) (int, dose.Amount, bool) {
	for _, i := range wordStarts(s) {
		tail := s[i:]
		if c, _ := utf8.DecodeRuneInString(tail); i == 0 || !unicode.IsLetter(c) &&
			!strings.ContainsRune("~<≤", c) || !d.restWords(tail) {
			continue
		}
		a, ok := d.dose.Parse(tail)
		if ok && a.QS != "" {
			return i, a, true
		}
	}
	return 0, dose.Amount{}, false
}

// restWords says whether a text begins with words that stand for an amount.
func (d *doc) restWords(tail string) bool {
	f := lexicon.Fold(tail)
	if strings.HasPrefix(f, "ph ") || d.starts("formula to", "ph", f) {
		return true
	}
	for _, key := range []string{"to-100", "open", "as-needed"} {
		if d.starts("formula qs", key, f) {
			return true
		}
	}
	if strings.Contains(f, " ph ") && (d.starts("formula bound", "high", f) ||
		d.starts("formula bound", "about", f) || tail[0] == '~' || tail[0] == '<') {
		return true
	}
	return d.starts("formula fill", "to", f)
}

// amounts finds the amounts with a unit outside brackets.
func (d *doc) amounts(s string) []foundAmount {
	var out []foundAmount
	end := 0
	for _, i := range wordStarts(s) {
		if i < end {
			continue
		}
		a, rest, ok := d.dose.At(s[i:])
		if !ok || a.Unit == "" {
			continue
		}
		end = len(s) - len(rest)
		out = append(out, foundAmount{i, end, a})
	}
	return out
}

// byUnits finds name and amount by the unit that is printed.
func (d *doc) byUnits(l *textLine, s string) (name, rest string, ok bool) {
	found := d.amounts(s)
	if len(found) == 0 {
		return "", "", false
	}
	if f := found[0]; f.from == 0 && len(found) == 1 { // "38 g castor oil"
		after := strings.TrimSpace(s[f.to:])
		if after == "" || f.amount.Unit == "%" && strength.MatchString(after) {
			return "", "", false
		}
		l.amount = f.amount
		return after, "", true
	}
	n := len(found) - 1
	last := found[n]
	after := s[last.to:]
	if len(found) > 1 && joiner.MatchString(s[found[n-1].to:last.from]) {
		if found[n-1].amount.Unit != last.amount.Unit {
			if found[n-1].from == 0 {
				l.amount, l.also = found[n-1].amount, last.amount.Printed
				return after, "", strings.TrimSpace(after) != ""
			}
			// per cent and grams, or a strength and an amount: the list decides
			l.twin = &textLine{name: s[:last.from], amount: last.amount}
			l.amount, l.also = found[n-1].amount, last.amount.Printed
			return s[:found[n-1].from], after, true
		}
	}
	if a, ok := d.dose.Parse(after); ok && a.Value != "" && a.Unit == "" && a.Note == "" {
		// "Glucoside 50 % 150", or per cent and grams without a unit: the list decides
		l.twin = &textLine{name: s[:last.to], amount: a}
		l.amount, l.also = last.amount, a.Printed
		return s[:last.from], "", true
	}
	if last.amount.Unit == "%" && strength.MatchString(after) {
		return "", "", false
	}
	l.amount = last.amount
	if or := lexicon.Fold(after); strings.HasPrefix(or, "or ") || strings.HasPrefix(or, "oder ") ||
		strings.HasPrefix(or, "ou ") {
		l.amount.Doubt = dose.Composed
	}
	if strings.HasPrefix(strings.TrimSpace(after), "?") {
		l.amount.Doubt = dose.Query
	}
	return s[:last.from], after, true
}

// byGap finds an amount without a unit that is set apart by a gap, a colon, or
// stands at the end alone.
func (d *doc) byGap(l *textLine, s string) (name, rest string, ok bool) {
	parts := gapCells.Split(s, -1)
	if len(parts) > 1 {
		for i := len(parts) - 1; i > 0; i-- {
			if a, ok := d.dose.Parse(parts[i]); ok && a.Figured() {
				for i > 1 { // the first of several figures
					b, ok := d.dose.Parse(parts[i-1])
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
		if a, ok := d.dose.Parse(parts[0]); ok && (a.Figured() || a.QS != "") {
			l.amount = a
			return strings.Join(parts[1:], " "), "", true
		}
	}
	for _, sign := range []string{":", "=", " - "} {
		if i := strings.LastIndex(s, sign); i > 0 {
			if a, ok := d.dose.Parse(s[i+len(sign):]); ok && a.Figured() {
				l.amount = a
				return s[:i], "", true
			}
		}
	}
	i := strings.LastIndexByte(s, ' ')
	if i > 0 {
		if a, ok := d.dose.Parse(s[i+1:]); ok && a.Value != "" {
			l.amount, l.bare = a, true
			return s[:i], "", true
		}
	}
	if i := strings.IndexByte(s, ' '); i > 0 {
		if a, ok := d.dose.Parse(s[:i]); ok && a.Value != "" {
			l.amount, l.bare = a, true
			return s[i+1:], "", true
		}
	}
	return "", "", false
}

// inBrackets finds an amount in brackets at the end: "Glycerin (3 %)". In a list
// with amounts outside brackets it is a strength.
func (d *doc) inBrackets(l *textLine, s string) (name, rest string, ok bool) {
	i := strings.LastIndexAny(s, "([")
	if i <= 0 || !strings.HasSuffix(s, ")") && !strings.HasSuffix(s, "]") {
		return "", "", false
	}
	a, ok := d.dose.Parse(strings.Trim(s[i:], "()[] "))
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
