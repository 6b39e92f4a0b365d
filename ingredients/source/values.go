package source

import (
	"errors"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/pattern"
)

// emptyValue reports a key or entry without a value. Missing is not zero, so
// nothing may be read from it.
func (v Node) emptyValue() bool {
	switch {
	case v.isNull():
	case v.n.Kind == yaml.ScalarNode && strings.TrimSpace(v.n.Value) == "":
	default:
		return false
	}
	v.Stop(CodeEmptyValue, "", nil)
	return true
}

// Blank says whether a key stands there without a value, as in a form that is
// still to be filled in.
func (v Node) Blank() bool {
	return v.Present() && v.n.Kind == yaml.ScalarNode && (v.isNull() || strings.TrimSpace(v.n.Value) == "")
}

// scalar returns the typed text of a single value. It is never interpreted:
// NO, 012 and 50-00-0 stay what they are.
func (v Node) scalar(want string) (string, bool) {
	if !v.Present() || v.emptyValue() {
		return "", false
	}
	if v.n.Kind != yaml.ScalarNode {
		v.Stop(codeWrongType, "value", finding.With().Term("found", kindTerm(v.n), nil).Name("wanted", want))
		return "", false
	}
	if n := utf8.RuneCountInString(v.n.Value); n > mostCharacters {
		v.Stop(codeWrongType, "long", finding.With().Count("characters", n).Count("most", mostCharacters))
		return "", false
	}
	return strings.TrimSpace(v.n.Value), true
}

// mostCharacters bounds one value: some ten pages of text. What is longer is a paper,
// and laying it out into a cell would take minutes.
const mostCharacters = 20_000

// Text returns a text on one line; line breaks become spaces.
func (v Node) Text() string {
	if s, ok := v.sentence(); ok {
		return s
	}
	s, ok := v.scalar("a text")
	if !ok {
		return ""
	}
	v.askAboutComment()
	return strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r == '\n' || r == '\t' }), " ")
}

// Prose returns a text with its line breaks.
func (v Node) Prose() string {
	s, ok := v.scalar("a text")
	if ok {
		v.askAboutComment()
	}
	return s
}

// Sentence is a text with the place it was typed; the zero value is not given.
type Sentence struct {
	Text string
	Pos  exact.Pos
}

// Sentence returns a text that may run over several lines, with its place.
func (v Node) Sentence() Sentence {
	switch {
	case !v.Present():
		return Sentence{}
	case v.IsGroup():
		return Sentence{v.Text(), v.Pos()} // a sentence with a colon, see Node.Text
	}
	return Sentence{v.Prose(), v.Pos()}
}

// sentence returns the text of a list entry that holds a colon, such as
// "irritates the eyes: wear glasses", which YAML takes for a key and its value.
// It is read back as typed.
func (v Node) sentence() (string, bool) {
	if !v.Present() || v.key != nil || v.n.Kind != yaml.MappingNode || len(v.n.Content) != 2 {
		return "", false
	}
	k, n := v.n.Content[0], v.n.Content[1]
	if k.Kind != yaml.ScalarNode || n.Kind != yaml.ScalarNode || k.Style != 0 || n.Style != 0 || n.Value == "" ||
		k.Line != n.Line || v.n.Column != k.Column {
		return "", false
	}
	line, end := v.r.Src.runes(k.Line), n.Column-1+v.r.Src.extent(n)
	if k.Column < 1 || end > len(line) || end < k.Column {
		return "", false
	}
	return string(line[k.Column-1 : end]), true
}

// askAboutComment asks about a # that cuts an unquoted text and has no space
// behind it, as in Red #4.
func (v Node) askAboutComment() {
	if v.n.Style != 0 || v.n.Kind != yaml.ScalarNode {
		return
	}
	line := v.r.Src.runes(v.n.Line)
	from, end := v.n.Column-1, v.n.Column-1+v.r.Src.extent(v.n)
	if from < 0 || end >= len(line) {
		return
	}
	i := space(line, end)
	if i == end || i+1 >= len(line) || line[i] != '#' || !unicode.IsLetter(line[i+1]) &&
		!unicode.IsDigit(line[i+1]) {
		return
	}
	whole := string(line[from:textEndAll(line)])
	pos := exact.Pos{File: v.r.Src.Name, Line: v.n.Line, Col: i + 1, Len: textEndAll(line) - i}
	v.r.Report(finding.NewFinding(finding.Ask, codeCutByComment, pos, finding.With().
		Quote("read", Clip(v.n.Value)).Quote("write", exact.InQuotes(Clip(whole)))).On(v.name).By(finding.TheMaker))
}

// textEndAll returns the end of a line without trailing spaces.
func textEndAll(line []rune) int {
	return len([]rune(strings.TrimRight(string(line), " \t")))
}

// Texts returns the entries of a list of texts. what names one entry.
func (v Node) Texts(what string) []string {
	var out []string
	v.Each(what, "[…]", func(e Node) {
		if s := e.Text(); s != "" {
			out = append(out, s)
		}
	})
	return out
}

// Failed adds a finding from the error of a parser such as ParseNum.
func (v Node) Failed(code string, err error) {
	var e *exact.ValueError
	if errors.As(err, &e) {
		v.Stop(code, "fault", finding.With().Quote("fault", e.What).Quote("remedy", e.Fix))
		return
	}
	v.Stop(code, "fault", finding.With().Quote("fault", err.Error()))
}

// LeftOpen adds a finding where the value is one that a draft has left open: words behind
// a question mark.
func (v Node) LeftOpen(code string) bool {
	if !v.Present() || v.n.Kind != yaml.ScalarNode {
		return false
	}
	asked, open := strings.CutPrefix(v.n.Value, "? ")
	if open {
		v.Stop(code, "open", finding.With().Quote("typed", asked))
	}
	return open
}

// maxValueLen bounds what can be a number, an amount, a date or a code.
const maxValueLen = 64

// Short returns the text of a value that cannot be long.
func (v Node) Short(code, want string) (string, bool) {
	s, ok := v.scalar(want)
	if ok && len(s) > maxValueLen {
		v.Stop(code, "long", finding.With().Name("wanted", want))
		return "", false
	}
	return s, ok
}

// Num returns a plain decimal; nil when it is absent or wrong.
func (v Node) Num() *exact.Num {
	return v.num(func(exact.Num) (string, finding.Values) { return "", nil })
}

// Positive returns a plain decimal above 0.
func (v Node) Positive() *exact.Num {
	return v.num(func(n exact.Num) (string, finding.Values) {
		if n.Sign() <= 0 {
			return "above-0", nil
		}
		return "", nil
	})
}

// NotNegative returns a plain decimal from 0 on.
func (v Node) NotNegative() *exact.Num {
	return v.num(func(n exact.Num) (string, finding.Values) {
		if n.Sign() < 0 {
			return "from-0", nil
		}
		return "", nil
	})
}

// Between returns a plain decimal from lo to hi.
func (v Node) Between(lo, hi exact.Num) *exact.Num {
	return v.num(func(n exact.Num) (string, finding.Values) {
		if n.Less(lo) || hi.Less(n) {
			return "range", finding.With().Num("from", lo, "", finding.AsIs).Num("to", hi, "", finding.AsIs)
		}
		return "", nil
	})
}

// Pct returns a percentage from 0 to 100, with or without the % sign.
func (v Node) Pct() *exact.Num {
	s, ok := v.Short(CodeBadNumber, "a percentage")
	if !ok {
		return nil
	}
	n, err := exact.ParseNum(strings.TrimSpace(strings.TrimSuffix(s, "%")))
	switch {
	case err != nil:
		v.Failed(CodeBadNumber, err)
		return nil
	case n.Sign() < 0 || exact.Hundred.Less(n):
		v.Stop(CodeBadNumber, "range", finding.With().Num("typed", n, "", finding.AsIs).Num("from", exact.Num{}, "",
			finding.AsIs).Num("to", exact.Hundred, "", finding.AsIs))
		return nil
	}
	return &n
}

// num reads a number; wanted says by a form of bad-number what it would have to be,
// or "".
func (v Node) num(wanted func(exact.Num) (form string, values finding.Values)) *exact.Num {
	if v.LeftOpen(CodeBadNumber) {
		return nil
	}
	s, ok := v.Short(CodeBadNumber, "a number")
	if !ok {
		return nil
	}
	n, err := exact.ParseNum(s)
	if err != nil {
		v.Failed(CodeBadNumber, err)
		return nil
	}
	if form, values := wanted(n); form != "" {
		v.Stop(CodeBadNumber, form, append(finding.With().Num("typed", n, "", finding.AsIs), values...))
		return nil
	}
	return &n
}

// NumOrNull is Num where the word null says that the figure is not known.
func (v Node) NumOrNull() *exact.Num {
	if v.Present() && v.isNull() && !v.untyped() {
		return nil
	}
	return v.Num()
}

// ordinal is a count as it is printed on certificates: 51st, 51st Amendment, no. 51.
var ordinal = pattern.New(`^(?i:no\.? ?|amendment )?([1-9][0-9]*)(?i:st|nd|rd|th|\.)?(?i: amendment)?$`)

// Count returns a whole number from lo to hi, and whether it is there.
func (v Node) Count(lo, hi int) (int, bool) {
	s, ok := v.Short(CodeBadNumber, "a whole number")
	if !ok {
		return 0, false
	}
	n, err := strconv.Atoi(s)
	if err != nil || !exact.Digits(strings.TrimPrefix(s, "-")) || n < lo || n > hi || len(s) > 1 && s[0] == '0' {
		form, write := "whole", max(lo, min(hi, 1))
		if m := ordinal.FindStringSubmatch(s); m != nil {
			if n, err := strconv.Atoi(m[1]); err == nil && n >= lo && n <= hi {
				form, write = "ordinal", n
			}
		}
		v.Stop(CodeBadNumber, form, finding.With().Quote("typed", Clip(s)).Count("from", lo).Count("to", hi).
			Count("write", write))
		return 0, false
	}
	return n, true
}

// Amount returns a content, which may be q.s., and whether it is there and right.
// It may also be typed as {min: 28, typical: 30, max: 32}.
func (v Node) Amount() (exact.Amount, bool) {
	if v.IsGroup() {
		return v.amountGroup()
	}
	s, ok := v.Short(CodeBadAmount, "an amount")
	if !ok {
		return exact.Amount{}, false
	}
	a, err := exact.ParseAmount(s)
	if err != nil {
		v.Failed(CodeBadAmount, err)
		return exact.Amount{}, false
	}
	a.Pos = v.Pos()
	return a, true
}

func (v Node) amountGroup() (a exact.Amount, ok bool) {
	v.In("amount", "{min: 28, typical: 30, max: 32}", func(m *Mapping) {
		if inner := m.At("pct"); inner.Name() != "" && m.At("min").Name() == "" && m.At("max").Name() == "" {
			inner.r.Stop(codeUnknownKey, "amount", inner.KeyPos(), inner.Name(), finding.With().
				Quote("write", v.name+": "+quotedScalar(inner)))
			return
		}
		m.needEnd("min", "max", "<=")
		m.needEnd("max", "min", ">=")
		lo, typ, hi := m.At("min").Pct(), m.At("typical").Pct(), m.At("max").Pct()
		if lo == nil || hi == nil || m.At("typical").Present() && typ == nil {
			return
		}
		a = exact.Amount{Range: exact.Range{Min: *lo, Max: *hi}, Pos: v.Pos()}
		a.Text = lo.Exact() + "-" + hi.Exact()
		if typ == nil {
			mid := lo.Add(*hi).Quo(exact.Int(2))
			typ = &mid
		} else {
			a.Text += ", typically " + typ.Exact()
		}
		a.Typ = *typ
		if err := a.Check(a.Text); err != nil {
			v.Failed(CodeBadAmount, err)
			return
		}
		ok = true
	})
	return a, ok
}

// quotedScalar is a single value as it can be typed, or a sign for it.
func quotedScalar(v Node) string {
	if v.n.Kind != yaml.ScalarNode {
		return "…"
	}
	if x, err := exact.Spell(v.n.Value); err == nil && !x.IsRange() && !strings.ContainsAny(v.n.Value, "<>") {
		return v.n.Value
	}
	return exact.InQuotes(v.n.Value)
}

// needEnd reports an end of an amount that is missing; with the other end alone the
// amount may be meant as at least, or at most, that.
func (m *Mapping) needEnd(key, other, sign string) {
	if m.At(key).n != nil {
		return
	}
	values := finding.With().Name("what", m.what).Name("key", key)
	if o := m.At(other); o.n != nil && o.n.Kind == yaml.ScalarNode && o.n.Value != "" {
		values = values.Quote("instead", exact.InQuotes(sign+Clip(o.n.Value)))
	}
	m.R.Stop(codeMissingKey, "end", m.Place, key, values)
}

// Content is Amount where q.s. has no meaning.
func (v Node) Content() (exact.Amount, bool) {
	a, ok := v.Amount()
	if ok && a.Rest {
		v.Stop(CodeRestNotAllowed, "", nil)
		return exact.Amount{}, false
	}
	return a, ok
}

// PH returns a pH or a range of pH: from 0 to 14, without a unit, in the forms
// of [ParseAmount].
func (v Node) PH() *exact.Amount {
	if v.Present() && v.isNull() && !v.untyped() {
		return nil
	}
	s, ok := v.Short(CodeBadNumber, "a pH")
	if !ok {
		return nil
	}
	if inner, ok := exact.Unquoted(s); ok {
		s = inner
	}
	a, fourteen := exact.Amount{Text: s, Pos: v.Pos()}, exact.Int(14)
	x, err := exact.Spell(s)
	switch {
	case err != nil && err.Error() == exact.NumError(s).Error(), x.LowUnit+x.HighUnit != "":
		v.Stop(CodeBadNumber, "ph", finding.With().Quote("typed", Clip(s)))
		return nil
	case err == nil:
		a.Range, err = x.Bounds(fourteen)
	}
	switch {
	case err != nil:
		v.Failed(CodeBadNumber, err)
	case fourteen.Less(a.Max), fourteen.Less(a.Min), a.Min.Sign() < 0, a.Max.Sign() < 0:
		v.Stop(CodeBadNumber, "ph", finding.With().Quote("typed", Clip(s)))
	case a.Max.Less(a.Min):
		v.Failed(CodeBadNumber, a.Range.Check(s))
	default:
		return &a
	}
	return nil
}

// Date returns a day; zero when it is absent or wrong.
func (v Node) Date() exact.Date {
	s, ok := v.Short(codeBadDate, "a date")
	if !ok {
		return 0
	}
	d, err := exact.ParseDate(s)
	if err != nil {
		v.Failed(codeBadDate, err)
	}
	return d
}

// Bool returns true or false; nil when it is absent or wrong.
func (v Node) Bool() *bool {
	s, ok := v.Short(codeWrongType, "true or false")
	if !ok {
		return nil
	}
	var b bool
	switch strings.ToLower(s) {
	case "true", "yes":
		b = true
	case "false", "no":
	default:
		v.Stop(codeWrongType, "yes-or-no", finding.With().Quote("typed", Clip(s)))
		return nil
	}
	return &b
}

// Yes says whether the value is true; false when it is absent.
func (v Node) Yes() bool {
	b := v.Bool()
	return b != nil && *b
}
