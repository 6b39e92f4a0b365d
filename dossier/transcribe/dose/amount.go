package dose

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/phrases"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/pattern"
)

// QS says that a line is no fixed amount.
type QS string

// The kinds of lines without a fixed amount.
const (
	To100    QS = "to-100"    // the rest to 100 %, or to a mass ([Amount].ToMass)
	ToPH     QS = "to-ph"     // as much as brings the pH
	AsNeeded QS = "as-needed" // as much as the work asks
	Open     QS = "open"      // "q.s." without a word on what decides
)

// Doubt says why an amount is no single number that can be taken.
type Doubt string

// The doubts. Words stands where there is text in place of an amount.
const (
	Range    Doubt = "range"
	Bound    Doubt = "bound"
	About    Doubt = "about"
	Query    Doubt = "question-mark"
	Changed  Doubt = "changed"
	Composed Doubt = "composed"
	Decimal  Doubt = "decimal-sign"
	Fraction Doubt = "endless-fraction"
	Words    Doubt = "words"
	Zero     Doubt = "zero"
)

// Amount is an amount as printed and as read. Value, Low and High are decimal
// numbers in the printed unit.
type Amount struct {
	Printed   string
	Value     string
	Low, High string
	Unit      string // as the maker counts: %, g, kg, ml, parts, drops, tsp …; empty: none printed
	QS        QS
	ToMass    string // "500 g" of "to 500 g"
	Around    string // "0.1" of "q.s., about 0.1"
	Doubt     Doubt
	Note      string // words behind it
	None      bool   // a dash, or nothing
}

// Figured says whether some number was read.
func (a Amount) Figured() bool { return a.Value != "" || a.Low != "" || a.High != "" }

// Reader reads the amounts of one document. Habit is its decimal sign.
type Reader struct {
	Words *lexicon.Lexicon
	Habit figure.Habit
}

var plainer = strings.NewReplacer(
	"−", "-", "–", "-", "—", "-", "‐", "-", "‑", "-", "\u00a0", " ", "\u2009", " ", "\u202f", " ",
	"％", "%", "…", "...", "\n", " ", "→", "->", "⇒", "->", "**", "", "__", "", "`", "", "≈", "~",
	"½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅓", " 1/3", "⅔", " 2/3", "⅛", " 1/8")

// Plain brings the signs of a text into the form in which amounts are read.
func Plain(s string) string { return strings.TrimSpace(plainer.Replace(s)) }

var nothing = lexicon.Pattern(`^(|[-. /]+|<<none>>)$`)

// longest is how many bytes a text may have that is an amount.
const longest = 160

// Parse reads a text that is an amount as a whole, as it stands in a cell. ok is
// false for text that is none.
func (r *Reader) Parse(text string) (a Amount, ok bool) {
	if len(text) > longest {
		return a, false
	}
	s := Plain(text)
	a.Printed = strings.TrimSpace(text)
	if nothing().MatchString(strings.ToLower(s)) {
		a.None = true
		return a, true
	}
	if r.words(&a, s) {
		return a, true
	}
	s = footnote.ReplaceAllString(s, "")
	rest, ok := r.expression(&a, s, true)
	if !ok {
		return a, false
	}
	return a, r.behind(&a, rest)
}

var footnote = pattern.New(`\s*(\*+|[†‡§]|[¹²³])$`)

// behind takes what stands behind a number: brackets, a remark after a comma.
func (r *Reader) behind(a *Amount, rest string) bool {
	rest = strings.TrimSpace(rest)
	switch {
	case rest == "" || rest == "." || rest == ":":
		return true
	case strings.HasPrefix(rest, "?"):
		a.Doubt = Query
		a.Note = strings.Trim(rest, "? ")
		return true
	case strings.HasPrefix(rest, "->"):
		return r.changed(a, strings.TrimSpace(rest[2:]))
	case strings.HasPrefix(rest, "+") || rest[0] == 'x' || rest[0] == '*' ||
		strings.HasPrefix(rest, "×") || strings.HasPrefix(rest, "/") || strings.HasPrefix(rest, "&"):
		if !strings.ContainsAny(rest, "0123456789") {
			return false
		}
		a.Value, a.Doubt, a.Note = "", Composed, a.Printed
		return true
	case strings.HasPrefix(rest, "(") || strings.HasPrefix(rest, "[") || strings.HasPrefix(rest, ",") ||
		strings.HasPrefix(rest, ";") || strings.HasPrefix(rest, "-") || strings.HasPrefix(rest, "="):
		r.remark(a, rest)
		return true
	}
	if folded := lexicon.Fold(rest); folded != "" {
		for _, e := range r.Words.All("formula bound", folded) {
			switch {
			case e.Key == "about":
				a.Doubt = About
				return true
			case a.Value != "" && e.Key == "high":
				a.High, a.Value, a.Doubt = a.Value, "", Bound
				return true
			case a.Value != "" && e.Key == "low":
				a.Low, a.Value, a.Doubt = a.Value, "", Bound
				return true
			}
		}
	}
	if a.Unit != "" && len(strings.Fields(rest)) <= 8 && !strings.ContainsAny(rest, "0123456789") &&
		unicode.IsLetter(firstRune(rest)) {
		a.Note = rest
		return true
	}
	return false
}

// remark takes a remark behind an amount. A pH in it makes the amount one that was
// weighed until then; "or" opens it.
func (r *Reader) remark(a *Amount, rest string) {
	a.Note = strings.TrimSpace(strings.TrimLeft(rest, ",;-= "))
	if strings.HasPrefix(a.Note, "(") && strings.HasSuffix(a.Note, ")") || strings.HasPrefix(a.Note, "[") {
		a.Note = strings.Trim(a.Note, "()[]")
	}
	if a.Note == "?" {
		a.Doubt = Query
	}
	folded := lexicon.Fold(a.Note)
	if a.Doubt == "" && r.Words.Is("formula bound", "about", folded) {
		a.Doubt = About
	}
	if a.Value != "" && a.Doubt == "" && r.Words.Starts("formula small", "or", folded) &&
		strings.ContainsAny(folded, "0123456789") {
		a.Doubt = Composed
	}
}

func (r *Reader) changed(a *Amount, rest string) bool {
	var b Amount
	tail, ok := r.expression(&b, rest, true)
	if !ok || strings.TrimSpace(tail) != "" || b.Value == "" {
		a.Value, a.Doubt, a.Note = "", Changed, a.Printed
		return true
	}
	if b.Unit == "" {
		b.Unit = a.Unit
	}
	b.Printed, b.Doubt, b.Note = a.Printed, Changed, phrases.Formulas().Say("note-was", "value", a.Value)
	*a = b
	return true
}

func firstRune(s string) rune { c, _ := utf8.DecodeRuneInString(s); return c }

// At reads an amount at the start of a running text and gives what follows it.
func (r *Reader) At(text string) (a Amount, rest string, ok bool) {
	rest, ok = r.expression(&a, text, false)
	a.Printed = strings.TrimSpace(strings.TrimSuffix(text, rest))
	return a, rest, ok
}

// expression reads a number, a bound or a range with its unit.
func (r *Reader) expression(a *Amount, s string, alone bool) (rest string, ok bool) {
	start := s
	s = strings.TrimLeft(s, " ")
	bound, between := "", false
	for { // "about max. 3"
		key, after, found := r.leading(s)
		if !found {
			break
		}
		switch key {
		case "about":
			a.Doubt = About
		case "from":
			between = true
		default:
			bound = key
		}
		s = after
	}
	first, open, s, ok := r.number(s, alone)
	if !ok {
		return r.oneUnit(a, start)
	}
	unit, after := r.unit(s)
	if unit != "" {
		s = after
	}
	second, two := "", false
	if t := strings.TrimLeft(s, " "); bound == "" {
		if tail, joined := r.joins(t, between); joined {
			if n, open2, after, ok := r.number(tail, alone); ok {
				u, afterUnit := r.unit(after)
				switch {
				case u != "" && unit != "" && u != unit:
				case !alone && crossed(first, n): // "Polysorbate 20 - 2 %"
				case u == "" && unit == "" && !ends(after):
				default:
					second, two, open = n, true, open || open2
					s = after
					if u != "" {
						unit, s = u, afterUnit
					}
				}
			}
		}
	}
	if !ends(s) || between && !two {
		return start, false
	}
	a.Unit = unit
	r.settle(a, first, second, two, bound, open)
	return s, true
}

func (r *Reader) settle(a *Amount, first, second string, two bool, bound string, open bool) {
	switch {
	case open:
		a.Doubt = Decimal
	case two && (first == "" || second == ""):
		a.Doubt = Fraction
	case two && crossed(first, second):
		a.Doubt, a.Note = Composed, first+" - "+second
	case two:
		a.Low, a.High, a.Doubt = first, second, Range
	case first == "":
		a.Doubt = Fraction
	case bound == "high" && figure.IsNumber(first) && strings.TrimRight(first, "0") == "1" &&
		len(first) == 3 && (a.Unit == "%" || a.Unit == ""):
		a.QS = To100 // "up to 100"
	case bound == "high":
		a.High, a.Doubt = first, Bound
	case bound == "low":
		a.Low, a.Doubt = first, Bound
	default:
		a.Value = first
		if strings.Trim(first, "0.") == "" && a.Doubt == "" {
			a.Doubt = Zero
		}
	}
}

// crossed says whether the bounds of a range stand the wrong way round.
func crossed(low, high string) bool {
	a, err1 := exact.ParseNum(low)
	b, err2 := exact.ParseNum(high)
	return err1 == nil && err2 == nil && b.Less(a)
}

// oneUnit reads "a pinch", "one drop": a word for one and a unit.
func (r *Reader) oneUnit(a *Amount, start string) (rest string, ok bool) {
	s := strings.TrimLeft(start, " ")
	word, tail, found := strings.Cut(s, " ")
	if !found {
		word, tail = "", s
	} else if len(r.Words.All("formula one", word)) == 0 {
		word, tail = "", s
	}
	u, after := r.unit(tail)
	if u == "" || u == "%" || len(u) < 3 || word == "" && !(u == "pinch" &&
		strings.TrimSpace(after) == "") || !ends(after) {
		return start, false
	}
	a.Value, a.Unit = "1", u
	if word == "" || r.Words.Starts("formula small", "half", lexicon.Fold(word)) {
		a.Value, a.Doubt = "", Words
	}
	return after, true
}

// joins takes the sign of a range from the start of a text; behind "between" it may be "and".
func (r *Reader) joins(s string, between bool) (string, bool) {
	for _, d := range []string{"--", "-", "...", ".."} {
		if rest, ok := strings.CutPrefix(s, d); ok {
			return strings.TrimLeft(rest, " "), rest != "" && !strings.HasPrefix(rest, ">")
		}
	}
	word, rest, ok := strings.Cut(s, " ")
	if !ok {
		return s, false
	}
	if folded := lexicon.Fold(word); r.Words.Is("formula small", "joins", folded) ||
		between && r.Words.Is("sign", "to", folded) {
		return strings.TrimLeft(rest, " "), true
	}
	return s, false
}

// leading takes a word or sign of a bound from the start of a text; a number must
// follow.
func (r *Reader) leading(s string) (key, rest string, ok bool) {
	s = strings.TrimLeft(s, " ")
	for _, sign := range []struct{ text, key string }{{"<=", "high"}, {">=", "low"}, {"<", "high"}, {">",
		"low"}, {"≤", "high"}, {"≥", "low"}, {"~", "about"}} {
		if after, found := strings.CutPrefix(s, sign.text); found {
			return sign.key, strings.TrimLeft(after, " "), true
		}
	}
	i := strings.IndexAny(s, "0123456789<>≤≥~")
	if i <= 0 || i > 24 {
		return "", s, false
	}
	word := s[:i]
	if c, _ := utf8.DecodeLastRuneInString(word); unicode.IsLetter(c) || strings.HasSuffix(word, ",") {
		return "", s, false
	}
	for _, e := range r.Words.All("formula bound", strings.TrimRight(word, ".( ")) {
		return e.Key, s[i:], true
	}
	if r.Words.Is("sign", "from", lexicon.Fold(word)) {
		return "from", s[i:], true
	}
	return "", s, false
}

// ends says whether an amount may end here.
func ends(s string) bool {
	if s == "" {
		return true
	}
	c, n := utf8.DecodeRuneInString(s)
	if unicode.IsLetter(c) || unicode.IsDigit(c) || c == '\'' {
		return false
	}
	if c == '-' || c == '/' || c == ':' || c == '.' || c == ',' {
		next, _ := utf8.DecodeRuneInString(s[n:])
		return !(unicode.IsLetter(next) || unicode.IsDigit(next)) || c == ',' && unicode.IsLetter(next)
	}
	return true
}
