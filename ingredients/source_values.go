package ingredients

import (
	"errors"
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"go.yaml.in/yaml/v3"
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
		v.Stop(CodeWrongType, "value", With().Term("found", kindTerm(v.n), nil).Name("wanted", want))
		return "", false
	}
	return strings.TrimSpace(v.n.Value), true
}

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

// sentence returns the text of a list entry that holds a colon, such as
// "irritates the eyes: wear glasses", which YAML takes for a key and its value.
// It is read back as typed.
func (v Node) sentence() (string, bool) {
	if !v.Present() || v.key != nil || v.n.Kind != yaml.MappingNode || len(v.n.Content) != 2 {
		return "", false
	}
	k, n := v.n.Content[0], v.n.Content[1]
	if k.Kind != yaml.ScalarNode || n.Kind != yaml.ScalarNode || k.Style != 0 || n.Style != 0 || n.Value == "" || k.Line != n.Line || v.n.Column != k.Column {
		return "", false
	}
	line, end := v.r.src.runes(k.Line), n.Column-1+v.r.src.extent(n)
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
	line := v.r.src.runes(v.n.Line)
	from, end := v.n.Column-1, v.n.Column-1+v.r.src.extent(v.n)
	if from < 0 || end >= len(line) {
		return
	}
	i := space(line, end)
	if i == end || i+1 >= len(line) || line[i] != '#' || !unicode.IsLetter(line[i+1]) && !unicode.IsDigit(line[i+1]) {
		return
	}
	whole := string(line[from:textEndAll(line)])
	pos := Pos{v.r.src.Name, v.n.Line, i + 1, textEndAll(line) - i}
	v.r.Report(NewFinding(Ask, CodeCutByComment, pos, With().Quote("read", clip(v.n.Value)).Quote("write", inQuotes(clip(whole)))).On(v.name).By(TheMaker))
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
	var e *ValueError
	if errors.As(err, &e) {
		v.Stop(code, "fault", With().Quote("fault", e.What).Quote("remedy", e.Fix))
		return
	}
	v.Stop(code, "fault", With().Quote("fault", err.Error()))
}

// maxValueLen bounds what can be a number, an amount, a date or a code.
const maxValueLen = 64

// short returns the text of a value that cannot be long.
func (v Node) short(code, want string) (string, bool) {
	s, ok := v.scalar(want)
	if ok && len(s) > maxValueLen {
		v.Stop(code, "long", With().Name("wanted", want))
		return "", false
	}
	return s, ok
}

// Num returns a plain decimal; nil when it is absent or wrong.
func (v Node) Num() *Num { return v.num(func(Num) (string, Values) { return "", nil }) }

// Positive returns a plain decimal above 0.
func (v Node) Positive() *Num {
	return v.num(func(n Num) (string, Values) {
		if n.Sign() <= 0 {
			return "above-0", nil
		}
		return "", nil
	})
}

// NotNegative returns a plain decimal from 0 on.
func (v Node) NotNegative() *Num {
	return v.num(func(n Num) (string, Values) {
		if n.Sign() < 0 {
			return "from-0", nil
		}
		return "", nil
	})
}

// Between returns a plain decimal from lo to hi.
func (v Node) Between(lo, hi Num) *Num {
	return v.num(func(n Num) (string, Values) {
		if n.Less(lo) || hi.Less(n) {
			return "range", With().Num("from", lo, "", AsIs).Num("to", hi, "", AsIs)
		}
		return "", nil
	})
}

// Pct returns a percentage from 0 to 100, with or without the % sign.
func (v Node) Pct() *Num {
	s, ok := v.short(CodeBadNumber, "a percentage")
	if !ok {
		return nil
	}
	n, err := ParseNum(strings.TrimSpace(strings.TrimSuffix(s, "%")))
	switch {
	case err != nil:
		v.Failed(CodeBadNumber, err)
		return nil
	case n.Sign() < 0 || hundred.Less(n):
		v.Stop(CodeBadNumber, "range", With().Num("typed", n, "", AsIs).Num("from", Num{}, "", AsIs).Num("to", hundred, "", AsIs))
		return nil
	}
	return &n
}

// num reads a number; wanted says by a form of bad-number what it would have to be,
// or "".
func (v Node) num(wanted func(Num) (form string, values Values)) *Num {
	s, ok := v.short(CodeBadNumber, "a number")
	if !ok {
		return nil
	}
	n, err := ParseNum(s)
	if err != nil {
		v.Failed(CodeBadNumber, err)
		return nil
	}
	if form, values := wanted(n); form != "" {
		v.Stop(CodeBadNumber, form, append(With().Num("typed", n, "", AsIs), values...))
		return nil
	}
	return &n
}

// NumOrNull is Num where the word null says that the figure is not known.
func (v Node) NumOrNull() *Num {
	if v.Present() && v.isNull() && !v.untyped() {
		return nil
	}
	return v.Num()
}

// ordinal is a count as it is printed on certificates: 51st, 51st Amendment, no. 51.
var ordinal = regexp.MustCompile(`^(?i:no\.? ?|amendment )?([1-9][0-9]*)(?i:st|nd|rd|th|\.)?(?i: amendment)?$`)

// Count returns a whole number from lo to hi, and whether it is there.
func (v Node) Count(lo, hi int) (int, bool) {
	s, ok := v.short(CodeBadNumber, "a whole number")
	if !ok {
		return 0, false
	}
	n, err := strconv.Atoi(s)
	if err != nil || !digits(strings.TrimPrefix(s, "-")) || n < lo || n > hi || len(s) > 1 && s[0] == '0' {
		form, write := "whole", max(lo, min(hi, 1))
		if m := ordinal.FindStringSubmatch(s); m != nil {
			if n, err := strconv.Atoi(m[1]); err == nil && n >= lo && n <= hi {
				form, write = "ordinal", n
			}
		}
		v.Stop(CodeBadNumber, form, With().Quote("typed", clip(s)).Count("from", lo).Count("to", hi).Count("write", write))
		return 0, false
	}
	return n, true
}

// Amount returns a content, which may be q.s., and whether it is there and right.
// It may also be typed as {min: 28, typical: 30, max: 32}.
func (v Node) Amount() (Amount, bool) {
	if v.IsGroup() {
		return v.amountGroup()
	}
	s, ok := v.short(CodeBadAmount, "an amount")
	if !ok {
		return Amount{}, false
	}
	a, err := ParseAmount(s)
	if err != nil {
		v.Failed(CodeBadAmount, err)
		return Amount{}, false
	}
	a.Pos = v.Pos()
	return a, true
}

func (v Node) amountGroup() (a Amount, ok bool) {
	v.In("amount", "{min: 28, typical: 30, max: 32}", func(m *Mapping) {
		m.Need("min", "min: 28")
		m.Need("max", "max: 32")
		lo, typ, hi := m.At("min").Pct(), m.At("typical").Pct(), m.At("max").Pct()
		if lo == nil || hi == nil || m.At("typical").Present() && typ == nil {
			return
		}
		a = Amount{Range: Range{Min: *lo, Max: *hi}, Pos: v.Pos()}
		a.Text = lo.Exact() + "-" + hi.Exact()
		if typ == nil {
			mid := lo.Add(*hi).Quo(Int(2))
			typ = &mid
		} else {
			a.Text += ", typically " + typ.Exact()
		}
		a.Typ = *typ
		if err := a.check(a.Text); err != nil {
			v.Failed(CodeBadAmount, err)
			return
		}
		ok = true
	})
	return a, ok
}

// Content is Amount where q.s. has no meaning.
func (v Node) Content() (Amount, bool) {
	a, ok := v.Amount()
	if ok && a.Rest {
		v.Stop(CodeRestNotAllowed, "", nil)
		return Amount{}, false
	}
	return a, ok
}

// PH returns a pH or a range of pH: from 0 to 14, without a unit, in the forms
// of [ParseAmount].
func (v Node) PH() *Amount {
	if v.Present() && v.isNull() && !v.untyped() {
		return nil
	}
	s, ok := v.short(CodeBadNumber, "a pH")
	if !ok {
		return nil
	}
	if inner, ok := unquoted(s); ok {
		s = inner
	}
	a, fourteen := Amount{Text: s, Pos: v.Pos()}, Int(14)
	x, err := spell(s)
	switch {
	case err != nil && err.Error() == numError(s).Error(), x.lowUnit+x.highUnit != "":
		v.Stop(CodeBadNumber, "ph", With().Quote("typed", clip(s)))
		return nil
	case err == nil:
		a.Range, err = x.bounds(fourteen)
	}
	switch {
	case err != nil:
		v.Failed(CodeBadNumber, err)
	case fourteen.Less(a.Max), fourteen.Less(a.Min), a.Min.Sign() < 0, a.Max.Sign() < 0:
		v.Stop(CodeBadNumber, "ph", With().Quote("typed", clip(s)))
	case a.Max.Less(a.Min):
		v.Failed(CodeBadNumber, a.Range.check(s))
	default:
		return &a
	}
	return nil
}

// Date returns a day; zero when it is absent or wrong.
func (v Node) Date() Date {
	s, ok := v.short(CodeBadDate, "a date")
	if !ok {
		return 0
	}
	d, err := ParseDate(s)
	if err != nil {
		v.Failed(CodeBadDate, err)
	}
	return d
}

// Bool returns true or false; nil when it is absent or wrong.
func (v Node) Bool() *bool {
	s, ok := v.short(CodeWrongType, "true or false")
	if !ok {
		return nil
	}
	var b bool
	switch strings.ToLower(s) {
	case "true", "yes":
		b = true
	case "false", "no":
	default:
		v.Stop(CodeWrongType, "yes-or-no", With().Quote("typed", clip(s)))
		return nil
	}
	return &b
}

// Yes says whether the value is true; false when it is absent.
func (v Node) Yes() bool {
	b := v.Bool()
	return b != nil && *b
}
