// Package judge compares what was read of a maker's formula with what a correct
// reading contains: formula lines right, missing and wrong, and how many of the
// expected questions and warnings were put.
//
// Wrong is another amount, unit, range or rest than the document gives, an INCI name
// that it does not print, a hidden line or an addition after 100 that is not marked
// so, a line with an amount that the document does not give, and a line lost without
// a word: its name stands nowhere in the answer. A line that the reader itself marks
// as asked, struck or old is right or missing, never wrong.
package judge

import (
	"cmp"
	"encoding/json"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/text/unicode/norm"
)

// expected is what a correct reading of one document contains.
type expected struct {
	MayRefuse bool      `json:"may_refuse"`
	Products  []product `json:"products"`
}

type product struct {
	Name     string            `json:"name"`
	Ask      any               `json:"ask"`
	Old      any               `json:"old"`
	Variants []json.RawMessage `json:"variants"`
	Phases   []struct {
		Lines []line `json:"lines"`
	} `json:"phases"`
	Warnings []string `json:"warnings"`
	Asks     []string `json:"asks"`
}

type line struct {
	Name            string            `json:"name"`
	INCI            *string           `json:"inci"`
	Amount          *string           `json:"amount"`
	Unit            *string           `json:"unit"`
	Low             *string           `json:"low"`
	High            *string           `json:"high"`
	QS              *string           `json:"qs"`
	Slot            string            `json:"slot"`
	Hidden          bool              `json:"hidden"`
	After100        bool              `json:"after_100"`
	Variants        []string          `json:"variants"`
	AmountByVariant map[string]string `json:"amount_by_variant"`
	Reading         string            `json:"reading"`
	Either          []json.RawMessage `json:"either"`
	Ask             any               `json:"ask"`
	Unconfirmed     any               `json:"unconfirmed"`
	Struck          any               `json:"struck"`
	Old             any               `json:"old"`

	alternatives []line
}

// Score counts verdicts. Said and Silent count expected questions and warnings that
// were put, by their words, and that were not.
type Score struct {
	Right, Missing, Wrong int
	Said, Silent          int
	Notes                 []string // what is not right, in words
}

// Add adds another score.
func (s *Score) Add(o Score) {
	s.Right, s.Missing, s.Wrong = s.Right+o.Right, s.Missing+o.Missing, s.Wrong+o.Wrong
	s.Said, s.Silent = s.Said+o.Said, s.Silent+o.Silent
	s.Notes = append(s.Notes, o.Notes...)
}

// Percent is the share of right lines in per cent.
func (s Score) Percent() float64 {
	n := max(1, s.Right+s.Missing+s.Wrong)
	return 100 * float64(s.Right) / float64(n)
}

var other = regexp.MustCompile(`[^a-z0-9]+`)

// key is the form in which names are compared.
func key(s string) string {
	s = strings.NewReplacer("½", "1/2", "¼", "1/4", "¾", "3/4").Replace(strings.ToLower(s))
	var b strings.Builder
	for _, r := range norm.NFKD.String(s) {
		if r < 0x300 || r > 0x36f {
			b.WriteRune(r)
		}
	}
	return strings.TrimSpace(other.ReplaceAllString(b.String(), " "))
}

func number(s *string) (float64, bool) {
	if s == nil || *s == "" {
		return 0, false
	}
	x, err := strconv.ParseFloat(strings.ReplaceAll(*s, ",", "."), 64)
	if err != nil {
		return math.NaN(), true
	}
	return x, true
}

func same(a, b *string) bool {
	x, hasX := number(a)
	y, hasY := number(b)
	if !hasX || !hasY {
		return !hasX && !hasY
	}
	return math.Abs(x-y) <= 1e-9*max(1, math.Abs(x), math.Abs(y))
}

var units = map[string]string{"gram": "g", "grams": "g", "percent": "%", "per cent": "%", "% w/w": "%",
	"w/w %": "%", "part": "parts",
	"drop": "drops", "teaspoon": "tsp", "ounces": "oz", "a pinch": "pinch", "": "%"}

func (l line) unit() string {
	u := ""
	if l.Unit != nil {
		u = strings.ToLower(strings.TrimSpace(*l.Unit))
	}
	if v, ok := units[u]; ok {
		return v
	}
	return u
}

func truthy(v any) bool {
	switch v := v.(type) {
	case nil:
		return false
	case bool:
		return v
	case string:
		return v != ""
	}
	return true
}

func (l line) asked() bool {
	return truthy(l.Ask) || truthy(l.Unconfirmed) || truthy(l.Struck) || truthy(l.Old)
}

func (l line) figured() bool {
	return l.Amount != nil || l.Low != nil || l.High != nil || len(l.AmountByVariant) > 0
}

func textOf(s *string) string {
	if s == nil {
		return ""
	}
	return *s
}

// hits says whether a line that was read is this reading of the expected one.
func (l line) hits(q line) bool {
	if l.Reading != "" || len(l.AmountByVariant) > 0 {
		if len(l.AmountByVariant) > 0 {
			for v, a := range l.AmountByVariant {
				b := q.AmountByVariant[v]
				if !same(&a, &b) {
					return false
				}
			}
			return true
		}
	}
	if textOf(l.QS) == "to-100" || textOf(q.QS) == "to-100" {
		return textOf(l.QS) == textOf(q.QS)
	}
	if q.Amount == nil && len(q.AmountByVariant) > 0 && l.Amount != nil && len(l.Variants) == 0 {
		for _, a := range q.AmountByVariant {
			if !same(l.Amount, &a) {
				return false
			}
		}
		return l.unit() == q.unit()
	}
	if !same(l.Amount, q.Amount) || l.Amount != nil && l.unit() != q.unit() {
		return false
	}
	if q.Low != nil && !same(l.Low, q.Low) || q.High != nil && !same(l.High, q.High) {
		return false
	}
	return len(l.Variants) == 0 || len(q.Variants) == 0 ||
		slices.EqualFunc(l.Variants, q.Variants, func(a, b string) bool { return key(a) == key(b) })
}

// marked says whether the marks agree: hidden, after 100, the INCI name.
func (l line) marked(q line) bool {
	if l.Hidden && !q.Hidden || l.After100 && q.Amount != nil && !q.After100 {
		return false
	}
	return textOf(q.INCI) == "" || key(textOf(q.INCI)) == key(textOf(l.INCI))
}

// parse reads an expected or a proposed document.
func parse(data []byte) (expected, error) {
	var e expected
	if err := json.Unmarshal(data, &e); err != nil {
		return e, err
	}
	for i := range e.Products {
		for j := range e.Products[i].Phases {
			ls := e.Products[i].Phases[j].Lines
			for k := range ls {
				for _, raw := range ls[k].Either {
					alt := ls[k] // the alternative says what differs
					alt.Either, alt.AmountByVariant = nil, nil
					for _, f := range []**string{&alt.INCI, &alt.Amount, &alt.Unit, &alt.Low, &alt.High,
						&alt.QS} {
						if *f != nil { // decoding must not write through to the line
							v := **f
							*f = &v
						}
					}
					if err := json.Unmarshal(raw, &alt); err != nil {
						return e, err
					}
					ls[k].alternatives = append(ls[k].alternatives, alt)
				}
			}
		}
	}
	return e, nil
}

func (p product) lines() []line {
	var out []line
	for _, ph := range p.Phases {
		out = append(out, ph.Lines...)
	}
	return out
}

// readings are the right readings of a line when one column of the document serves
// the whole product.
func (l line) readings(column string) []line {
	var out []line
	column0 := false
	for _, a := range l.alternatives {
		if a.Reading == "" || a.Reading == column {
			out = append(out, a)
			column0 = column0 || a.Reading != ""
		}
	}
	if column0 {
		return out
	}
	plain := l
	plain.Reading, plain.AmountByVariant = "", nil
	return append([]line{plain}, out...)
}

func anyHits(rs []line, q line) bool {
	return slices.ContainsFunc(rs, func(r line) bool { return r.hits(q) })
}

type pair struct {
	miss     bool
	want, at int
}

// product judges one product under one column. said is everything that was
// answered, as one key.
func judgeProduct(want product, got []line, column string, refused bool, said string) Score {
	var s Score
	exp := want.lines()
	var pairs []pair
	for i, l := range exp {
		for j, q := range got {
			if key(q.Name) == key(l.Name) {
				pairs = append(pairs, pair{!anyHits(l.readings(column), q), i, j})
			}
		}
	}
	slices.SortStableFunc(pairs, func(a, b pair) int {
		if a.miss != b.miss {
			if b.miss {
				return -1
			}
			return 1
		}
		return cmp.Or(cmp.Compare(a.want, b.want), cmp.Compare(a.at, b.at))
	})
	of, used, slots := map[int]int{}, map[int]bool{}, map[int]bool{}
	for _, p := range pairs {
		if _, has := of[p.want]; !has && !used[p.at] {
			of[p.want], used[p.at] = p.at, true
		}
	}
	for i, l := range exp {
		j, ok := of[i]
		if !ok {
			s.absent(l, got, used, slots, column, refused, said)
			continue
		}
		q := got[j]
		switch {
		case anyHits(l.readings(column), q) && l.marked(q):
			s.Right++
		case q.asked() || !q.figured() && textOf(q.QS) != "to-100" && (q.INCI == nil ||
			key(*q.INCI) == key(textOf(l.INCI))):
			s.missing(l.Name, refused)
		default:
			s.Wrong++
			s.Notes = append(s.Notes, "wrong: "+l.Name)
		}
	}
	for j, q := range got {
		if used[j] || slots[j] || q.asked() || !q.figured() && textOf(q.QS) != "to-100" {
			continue
		}
		if len(want.Variants) > 0 && slices.ContainsFunc(exp, func(l line) bool {
			rs := l.readings(column)
			return key(l.Name) == key(q.Name) && len(rs) > 1 && anyHits(rs[1:], q)
		}) {
			continue
		}
		s.Wrong++
		s.Notes = append(s.Notes, "wrong, not in the document: "+q.Name)
	}
	return s
}

func (s *Score) missing(name string, refused bool) {
	if refused {
		return
	}
	s.Missing++
	s.Notes = append(s.Notes, "missing: "+name)
}

// absent judges an expected line of which none of that name was read: one slot line
// may stand for it; otherwise it is missing, or lost without a word.
func (s *Score) absent(l line, got []line, used, slots map[int]bool, column string, refused bool,
	said string) {
	hit := false
	for j, g := range got {
		if !used[j] && slices.ContainsFunc(l.readings(column), func(a line) bool {
			return a.Slot != "" &&
				a.Slot == g.Slot && a.hits(g)
		}) {
			slots[j], hit = true, true
		}
	}
	switch {
	case hit:
		s.Right++
	case len(got) > 0 && !strings.Contains(said, key(l.Name)):
		s.Wrong++
		s.Notes = append(s.Notes, "wrong: "+l.Name+", lost without a word")
	default:
		s.missing(l.Name, refused)
	}
}
