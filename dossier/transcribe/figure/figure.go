package figure

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/ingredients/pattern"
)

// Status is what stands in the place of a figure.
type Status string

// The statuses.
const (
	Value         Status = "value"
	Range         Status = "range"
	Below         Status = "below"
	Above         Status = "above"
	NotDetected   Status = "not-detected"
	Trace         Status = "trace"
	Zero          Status = "printed-zero"
	NotStated     Status = "not-stated"
	Absent        Status = "absent"
	NotPermitted  Status = "not-permitted"
	NoRestriction Status = "no-restriction"
	NotApplicable Status = "not-applicable"
	NoData        Status = "no-data"
	Rest          Status = "qs"
	ToPH          Status = "to-ph"
	Complies      Status = "complies"
	Ask           Status = "ask"
)

// Figure is a figure as printed and as read. Low and High are decimal numbers in
// the printed unit; empty: no bound printed.
type Figure struct {
	Printed       string
	Status        Status
	Low, High     string
	LowIn, HighIn bool   // the bound itself belongs
	Middle        string // of "30 +/- 1", and of a remainder that says about how much it is
	Unit          lexicon.Unit
	About         bool   // "about", "ca."
	Note          string // what stands in brackets behind it, or a condition such as "at 20 °C"
	Footnote      bool   // a sign of a footnote stands behind it
	Rules         []string
	Open          string // why it is not decided; empty: decided
}

// Reader reads figures of one paper.
type Reader struct {
	Words *lexicon.Lexicon
	Habit Habit
}

var dashes = strings.NewReplacer(
	"−", "-", "–", "-", "—", "-", "‐", "-", "‑", "-", "\u00a0", " ", "\u2009", " ", "\u202f", " ",
	"＜", "<", "＞", ">", "⩽", "≤", "⩾", "≥", "〈", "<", "〉", ">", "％", "%", "…", "...", "\n", " ")

var footnoteMark = pattern.New(`\s*(\(\*+\)|\*+\)?|[†‡§#]+|` +
	`[¹²³⁴⁵⁶⁷⁸⁹⁰]+\)?|\(([¹²³⁴⁵⁶⁷⁸⁹a-e]|[1-9]\))\)|\[[1-9a-e]\])\s*$`)

// statuses are the words that stand for a figure, in the order in which they are
// tried; n/a comes last because it has two meanings.
var statuses = []struct {
	key    string
	status Status
}{
	{"not-permitted", NotPermitted}, {"no-restriction", NoRestriction}, {"not-detected", NotDetected},
	{"loq", NotDetected}, {"trace", Trace},
	{"absent", Absent}, {"qs", Rest}, {"complies", Complies}, {"not-stated", NotStated}, {"no-data", NoData},
	{"ask", Ask}, {"not-applicable", NotApplicable}, {"to-ph", ToPH},
}

// Parse reads a text that is a figure as a whole. unit is what the head of the
// column or the document says, where it says so; it counts where the text has none.
func (r Reader) Parse(text string, unit lexicon.Unit) (Figure, bool) {
	f := Figure{Printed: strings.TrimSpace(text)}
	s := strings.TrimSpace(dashes.Replace(text))
	if s == "" || strings.Trim(s, "-. /") == "" || s == "?" || s == "n" {
		f.Status = NotStated
		return f, true
	}
	if s == "+" || s == "++" {
		f.Status = Trace
		return f, true
	}
	if loc := footnoteMark.FindStringIndex(s); loc != nil && loc[0] > 0 && !power.MatchString(s) &&
		(!letterBefore(s, loc[0]) || len(r.Words.All("status", lexicon.Fold(s[:loc[0]]))) > 0) {
		s, f.Footnote = strings.TrimSpace(s[:loc[0]]), true
	}
	if r.status(&f, s, unit) {
		return f, true
	}
	rest, ok := r.expression(&f, s, unit)
	if !ok {
		return f, false
	}
	rest = strings.TrimSpace(rest)
	if rest != "" && (rest[0] == '(' && strings.HasSuffix(rest, ")") || rest[0] == '[' &&
		strings.HasSuffix(rest, "]")) {
		f.Note, rest = strings.Trim(rest, "()[]"), ""
		if u, ok := r.unitOnly(f.Note); ok && f.Unit == unit {
			f.Unit, f.Note = u, ""
		}
	}
	if m := footnoteMark.FindStringIndex(rest); m != nil && m[0] == 0 {
		f.Footnote, rest = true, ""
	}
	return f, rest == "" || rest == "."
}

// bracketDigit is what a bracket behind "< LOQ" holds where it gives the limit: a figure, with the
// sign before it or without.
var bracketDigit = pattern.New(`^(?:\pL[\pL.]{0,6}\s?[=:]\s?)?\d[^()<>≤≥]*$`)

// letterBefore says whether a letter stands right before a place, as before the
// raised figure of cm³.
func letterBefore(s string, at int) bool {
	c, _ := utf8.DecodeLastRuneInString(s[:at])
	return unicode.IsLetter(c)
}

// ParseAt reads a figure at the start of a text and gives what follows it.
func (r Reader) ParseAt(text string, unit lexicon.Unit) (f Figure, rest string, ok bool) {
	s := strings.TrimSpace(dashes.Replace(text))
	rest, ok = r.expression(&f, s, unit)
	f.Printed = strings.TrimSpace(strings.TrimSuffix(s, rest))
	return f, rest, ok
}

// status reads a word that stands for a figure, alone or with its limit behind it.
func (r Reader) status(f *Figure, s string, unit lexicon.Unit) bool {
	head, tail := s, ""
	signs := len(s) - len(strings.TrimLeft(s, "< "))
	if i := strings.IndexAny(s[signs:], "(<["); i > 0 {
		i += signs
		head, tail = strings.TrimSpace(s[:i]), strings.Trim(strings.TrimSpace(s[i:]), "()[]")
	}
	folded := lexicon.Fold(strings.TrimLeft(head, "< "))
	if folded == "" {
		return false
	}
	if letterMark.MatchString(head) && len(r.Words.All("status", folded)) == 0 { // "< LOQ" with a raised b
		f.Footnote, folded = true, lexicon.Fold(strings.TrimLeft(head[:len(head)-1], "< "))
	}
	if strings.HasPrefix(s, "<") { // below the limit of detection: "< LOQ"
		_, ok := r.Words.Exact("status", folded)
		inBracket := strings.HasSuffix(s, "("+tail+")") && bracketDigit.MatchString(tail) // "< BG (BG = 0,01 mg/kg)"
		if e := r.Words.All("status", folded); !ok || e[0].Key != "loq" || tail != "" && !inBracket {
			return false
		}
	}
	entries := r.Words.All("status", folded)
	for _, st := range statuses {
		if len(entries) == 0 ||
			!slices.ContainsFunc(entries, func(e lexicon.Entry) bool { return e.Key == st.key }) {
			continue
		}
		f.Status = st.status
		if tail != "" {
			r.limitBehind(f, tail, unit)
		}
		return true
	}
	if e, ok := r.Words.Prefix("status", folded); ok {
		switch rest := strings.TrimSpace(strings.TrimPrefix(folded, e.Word)); {
		case e.Key == "qs" && !strings.ContainsAny(rest, "0123456789"), e.Key == "qs" &&
			toHundred().MatchString(rest):
			f.Status = Rest
			if tail != "" {
				r.limitBehind(f, tail, unit)
			}
			return true
		case e.Key == "to-ph":
			f.Status, f.Note = ToPH, s
			return true
		case e.Key == "absent" && absentIn().MatchString(rest):
			f.Status, f.Note = Absent, s
			return true
		case e.Key == "not-detected" && absentIn().MatchString(rest):
			f.Status, f.Note = NotDetected, s
			return true
		}
	}
	return false
}

// What stands behind the word of a remainder, and of what is absent in an amount.
var (
	toHundred = lexicon.Pattern(`^(?:<<rest>> )?100(?: 0)?$`)
	absentIn  = lexicon.Pattern(`^(?:<<absent in>> |(?:\d+ ?)?<<amount unit>>\b)`)
)

// limitBehind takes the limit that stands behind "not detected" or "traces", and
// about how much a remainder is.
func (r Reader) limitBehind(f *Figure, tail string, unit lexicon.Unit) {
	var g Figure
	for i := 0; i < len(tail); i++ {
		if c := tail[i]; c != '<' && (c < '0' || c > '9') && !strings.HasPrefix(tail[i:], "≤") {
			continue
		}
		if rest, ok := r.expression(&g, tail[i:], unit); ok && strings.TrimSpace(rest) == "" && g.Open == "" {
			switch f.Status {
			case NotDetected, Trace:
				f.Low, f.High, f.LowIn, f.HighIn, f.Unit = "0", firstOf(g.High, g.Low), true,
					f.Status == NotDetected && g.Status != Below, g.Unit
			case Rest:
				f.Middle, f.Unit = firstOf(g.Middle, g.High, g.Low), g.Unit
			}
			return
		}
		break
	}
	f.Note = tail
}

// bound is one number of a figure with the sign before it.
type bound struct {
	sign, value string
	unit        lexicon.Unit
	hasUnit     bool
}

var formulaLetter = pattern.New(`^\s*(<=|>=|=<|=>|<|>|≤|≥)\s*(?:[xXcC]|conc\.?)\s*%?\s*(<=|=<|<|≤)\s*`)

// expression reads number, bound or range at the start of a text.
func (r Reader) expression(f *Figure, s string, unit lexicon.Unit) (rest string, ok bool) {
	start := s
	s, f.About = r.about(s)
	if _, rest, ok := r.leadingWord(s, "from"); ok {
		s = rest
	}
	first, s, ok := r.bound(f, s, unit, unit.Divisor == 1)
	if !ok {
		return start, false
	}
	var second bound
	two := false
	switch t := strings.TrimLeft(s, " "); {
	case formulaLetter.MatchString(s) && first.sign == "": // 1 <= x < 5
		m := formulaLetter.FindStringSubmatch(s)
		after := s[len(formulaLetter.FindString(s)):]
		if strings.Contains(m[0], "%") {
			unit = r.percent()
			first.unit = unit
		}
		if second, s, two = r.bound(f, after, unit, false); !two {
			return start, false
		}
		second.sign = signOf(m[2])
		first.sign = ">="
		if m[1] == "<" || m[1] == ">" {
			first.sign = ">"
		}
	case strings.HasPrefix(t, "+/-") || strings.HasPrefix(t, "±") || strings.HasPrefix(t, "+-") ||
		strings.HasPrefix(t, "+ / -"):
		return r.plusMinus(f, first, strings.TrimLeft(t, "+/-± "), unit)
	default:
		if after, dash := r.dash(t); dash && (len(t) < len(s) || !unicode.IsLetter(rune(t[0]))) {
			if b, rest, ok := r.bound(f, after, unit, first.sign != "" || first.unit.Divisor == 1); ok &&
				b.sign != ">" && b.sign != ">=" && !isCondition(first, b) {
				second, s, two = b, rest, true
			}
		} else if first.sign != "" || strings.HasPrefix(t, "<") || strings.HasPrefix(t, "≤") {
			if b, rest, ok := r.bound(f, t, unit, false); ok && (b.sign == "<" || b.sign == "<=") &&
				first.sign != "<" && first.sign != "<=" {
				second, s, two = b, rest, true
			}
		}
	}
	if !two {
		s = r.trailingSign(&first, s)
	}
	if !ends(s) {
		return start, false
	}
	f.settle(first, second, two, unit)
	f.askBelowZero()
	return s, true
}

// ends says whether a number may end here: no letter and no hyphen with a letter
// follows, as in 1,8-cineole or 2nd.
func ends(s string) bool {
	if s == "" {
		return true
	}
	c, n := utf8.DecodeRuneInString(s)
	if unicode.IsLetter(c) || unicode.IsDigit(c) || c == ':' && len(s) > 1 && s[1] >= '0' && s[1] <= '9' {
		return false
	}
	if c == '-' || c == '/' || c == '\'' {
		next, _ := utf8.DecodeRuneInString(s[n:])
		return !(unicode.IsLetter(next) || unicode.IsDigit(next))
	}
	return true
}

func (r Reader) about(s string) (string, bool) {
	t := strings.TrimLeft(s, " ")
	if strings.HasPrefix(t, "~") || strings.HasPrefix(t, "≈") {
		return strings.TrimLeft(t, "~≈ "), true
	}
	if _, rest, ok := r.leadingWord(t, "~"); ok {
		return rest, true
	}
	return s, false
}

// leadingWord takes a sign in words from the start of a text; a number must follow.
func (r Reader) leadingWord(s, key string) (sign, rest string, ok bool) {
	i := strings.IndexAny(s, "0123456789<>≤≥=~≈.,")
	for i > 0 && i < len(s) && (s[i] == '.' || s[i] == ',') &&
		!(i+1 < len(s) && s[i+1] >= '0' && s[i+1] <= '9') {
		j := strings.IndexAny(s[i+1:], "0123456789<>≤≥=~≈.,")
		if j < 0 {
			return "", s, false
		}
		i += j + 1
	}
	if i <= 0 {
		return "", s, false
	}
	i -= minusBefore(s[:i])
	word := lexicon.Fold(s[:i])
	for _, e := range r.Words.All("sign", word) {
		if key == "" && strings.ContainsAny(e.Key, "<>") || e.Key == key {
			return e.Key, s[i:], true
		}
	}
	return "", s, false
}

func signOf(s string) string {
	switch s {
	case "<":
		return "<"
	case ">":
		return ">"
	case "<=", "=<", "≤":
		return "<="
	case ">=", "=>", "≥":
		return ">="
	}
	return ""
}

var symbolSign = pattern.New(`^(<=|=<|>=|=>|< ?=|> ?=|<|>|≤|≥|=)\s*`)

// bound reads one number with its sign and unit.
func (r Reader) bound(f *Figure, s string, unit lexicon.Unit, share bool) (bound, string, bool) {
	var b bound
	s = strings.TrimLeft(s, " ")
	if m := symbolSign.FindStringSubmatch(s); m != nil {
		b.sign, s = signOf(strings.ReplaceAll(m[1], " ", "")), s[len(m[0]):]
	} else if sign, rest, ok := r.leadingWord(s, ""); ok {
		b.sign, s = sign, rest
		if m := symbolSign.FindStringSubmatch(s); m != nil { // "max. <= 5"
			b.sign, s = signOf(strings.ReplaceAll(m[1], " ", "")), s[len(m[0]):]
		}
	} else if f.About = f.About || strings.HasPrefix(s, "~"); strings.HasPrefix(s, "~") {
		s = strings.TrimLeft(s, "~ ")
	}
	minus := ""
	if len(s) > 1 && s[0] == '-' && s[1] >= '0' && s[1] <= '9' {
		minus, s = "-", s[1:]
	} else if len(s) > 1 && s[0] == '+' && (s[1] >= '0' && s[1] <= '9' || s[1] == ' ') {
		s = strings.TrimLeft(s[1:], " ")
	}
	n := numberAt.FindString(s)
	if m := placesAt.FindStringSubmatch(s); m != nil {
		n = m[1]
	}
	if n == "" {
		return b, s, false
	}
	s = s[len(n):]
	power, after, raisedTo := tenTo(n, s)
	if raisedTo {
		s = after
	} else if mark := strings.TrimLeft(s, "⁰¹²³⁴⁵⁶⁷⁸⁹"); len(mark) < len(s) {
		s, f.Footnote = mark, true
	}
	t := strings.TrimLeft(s, " ")
	u, size := r.unitAt(t)
	if size > 0 {
		b.unit, b.hasUnit, s = u, true, t[size:]
	} else {
		b.unit = unit
	}
	value, open, rule := decimal(n, r.Habit, share || b.unit.Divisor == 1 || b.unit.Name == "%")
	if open {
		f.Open = "decimal-sign"
		value = strings.NewReplacer(",", ".", " ", "").Replace(n)
	}
	if raisedTo {
		if value = shifted(value, power); n == "10" && !strings.HasPrefix(b.unit.Name, "cfu") {
			f.Open = "raised-figure" // a mark of a footnote looks the same
		}
	}
	if !IsNumber(value) {
		return b, s, false
	}
	if rule != "" {
		f.Rules = append(f.Rules, rule)
	}
	b.value = minus + value
	return b, s, true
}

// dash takes the sign of a range from the start of a text: a dash, dots, or a word
// such as "to".
func (r Reader) dash(s string) (string, bool) {
	for _, d := range []string{"---", "--", "-", "...", "..", "÷", "~", "/"} {
		if rest, ok := strings.CutPrefix(s, d); ok {
			if d == "/" {
				return s, false
			}
			return strings.TrimLeft(rest, " "), true
		}
	}
	if _, rest, ok := r.leadingWord(s, "to"); ok {
		return rest, true
	}
	return s, false
}

func (r Reader) plusMinus(f *Figure, first bound, s string, unit lexicon.Unit) (string, bool) {
	second, rest, ok := r.bound(f, s, unit, false)
	if !ok || !ends(rest) {
		return s, false
	}
	low, high, ok := sumAndDifference(first.value, second.value)
	if !ok {
		return s, false
	}
	if second.hasUnit {
		first.unit = second.unit
	}
	f.Status, f.Unit = Range, first.unit
	f.Low, f.High, f.Middle, f.LowIn, f.HighIn = low, high, first.value, true, true
	f.Rules = append(f.Rules, "plus-minus")
	f.askBelowZero()
	return rest, true
}

// trailingSign takes a sign that stands behind its number: "0.5 max".
func (r Reader) trailingSign(b *bound, s string) string {
	t := strings.TrimLeft(s, " ")
	word := t
	if i := strings.IndexAny(t, " ;,("); i > 0 {
		word = t[:i]
	}
	for _, e := range r.Words.All("sign", word) {
		if (e.Key == "<=" || e.Key == ">=") && b.sign == "" && lexicon.Fold(word) != "a" {
			b.sign = e.Key
			return t[len(word):]
		}
	}
	return s
}

// Normal gives a text with one sign for each kind of dash, blank and comparison, as
// the reader sees it.
func Normal(s string) string { return dashes.Replace(s) }
