package running

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/recipe/raw"
	"gallipot/dossier/transcribe/recipe/terms"
	"gallipot/ingredients/pattern"
)

// Reader reads running text.
type Reader struct{ *terms.Terms }

// Line is a line of running text as one line of a formula.
type Line struct {
	phase  *terms.Heading // a phase that the line begins
	Name   string
	amount dose.Amount
	also   string // a second amount right beside the first
	twin   *Line
	note   string
	struck bool
	braced bool // the amount stands in brackets
	bare   bool // the amount has no unit and nothing sets it apart
	below  bool // it stands below a total of 100
}

var (
	bullet = pattern.New(`^\s*(?:[-*•·▪◦‣–—+>]|\d{1,2}[.)]|\[[ xX]?\]|[☐☑✓✔])\s+`)
	leadIn = lexicon.Pattern(`^((?i:<<phase>>)\s+[A-Za-z0-9]{1,3}|\(?[A-H]\d?\)?|\(?(?:II?I?|IV)\)?)` +
		`(\s*[:.)]\s+|\s{2,}|\t+|\s*[-–]\s+|\s*:\s*)(\S.*)$`)
	ofName   = lexicon.Pattern(`^(?i:<<of name>> |<<of name tight>>)*`)
	strength = lexicon.Pattern(`(?i)^\s*(?:<<strength>>|<<strength in>> )`)
	countOf  = pattern.New(`^\d+ [a-zA-Z]`)
	joiner   = pattern.New(`^[\s/|,;=(~-]*$`)
	gapCells = pattern.New(`\s{2,}|\t+|\s*\.{3,}\s*|\s*…+\s*|\s*_{3,}\s*`)
)

// BareText takes bullet and check box off a line.
func BareText(s string) string {
	for range 2 {
		s = bullet.ReplaceAllString(s, "")
	}
	return strings.TrimSpace(strings.Trim(s, "|"))
}

// Line reads a line of text as a line of a formula.
func (d *Reader) Line(printed string) (Line, bool) {
	s := BareText(strings.ReplaceAll(printed, "**", ""))
	if bare, struck := raw.Unstrike(s); struck != "" {
		if strings.TrimSpace(bare) == "" {
			l, ok := d.Line(struck)
			l.struck = true
			return l, ok
		}
		l, ok := d.Line(bare)
		l.note = strings.Trim(l.note+"; "+formulation.Sentence("note-struck", "text", struck), "; ")
		return l, ok
	}
	if m := leadIn().FindStringSubmatch(s); m != nil {
		if h, ok := d.PhaseOf(m[1]); ok {
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

// lineBody reads a line without its bullet and its phase.
func (d *Reader) lineBody(s string) (l Line, ok bool) {
	if len(s) > longestLine {
		return l, false
	}
	plain := dose.Plain(s)
	if plain == "" || len(strings.Fields(plain)) > 22 || d.IsLabel(firstPart(plain)) {
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
	l.Name = d.withoutTwin(&l, printedName(s, trimName(name)))
	if l.twin != nil {
		l.twin.Name = printedName(s, trimName(l.twin.Name))
	}
	return l, d.isMaterial(l.Name)
}

// sameAgain is a bracket behind a name that gives the amount a second time: "(soit 30 %)".
var sameAgain = lexicon.Pattern(`(?i)^(.*\S)\s*\((?:=|<<that is>>)\s*([^()]*)\)$`)

// withoutTwin takes the amount that a bracket gives a second time off a name.
func (d *Reader) withoutTwin(l *Line, name string) string {
	m := sameAgain().FindStringSubmatch(name)
	if m == nil {
		return name
	}
	a, ok := d.Dose.Parse(m[2])
	if !ok || !a.Figured() {
		return name
	}
	l.also = strings.TrimSpace(l.also + " " + a.Printed)
	return m[1]
}

func firstPart(s string) string {
	if i := strings.IndexAny(s, ":="); i > 0 {
		return s[:i]
	}
	return ""
}

// trimName takes signs and small words off a name.
func trimName(s string) string {
	s = strings.TrimSpace(s)
	s = strings.TrimRight(s, " :=-–~,;.>")
	if m := ofName().FindString(s); len(m) < len(s) {
		s = s[len(m):]
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

// endsWith says whether a folded text ends with a small word of a key, behind others.
func (d *Reader) endsWith(key, folded string) bool {
	return slices.ContainsFunc(d.Words.Each("formula small"), func(e lexicon.Entry) bool {
		return e.Key == key && strings.HasSuffix(folded, " "+e.Word)
	})
}

// isMaterial says whether a text can be the name of a material.
func (d *Reader) isMaterial(name string) bool {
	if utf8.RuneCountInString(name) < 2 || len(strings.Fields(name)) > 10 ||
		!strings.ContainsFunc(name, unicode.IsLetter) {
		return false
	}
	if countOf.MatchString(name) || d.endsWith("no-name-end", lexicon.Fold(name)) {
		return false // "10 tubes of"
	}
	if f := lexicon.Fold(name); d.Holds("formula word", "batch", f) || d.endsWith("no-name-end-folded", f) {
		return false // "makes 250 g"
	}
	if d.StartsStep(name) || strings.Contains(name, ". ") && len(strings.Fields(name)) > 5 {
		return false
	}
	return d.Dose.UnitOf(name) == ""
}
