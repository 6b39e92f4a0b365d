// Package score compares a reading of a supplier's paper with what a correct
// reading contains, as testdata/papers/README.md defines it.
//
// Wrong is another figure, bound, sign, unit, status, allergen, date, amendment or
// page than the paper gives, and a figure that the paper does not give there. What
// the reading itself marks as a question is right or missing, never wrong. Rows
// marked optional, and papers or sections that may be refused, do not count when
// missing.
package score

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// Row is an object of a reading or of what is expected.
type Row = map[string]any

// Result counts figures; Notes name what is not right.
type Result struct {
	Right, Missing, Wrong int
	Notes                 []string
}

// judge compares one reading.
type judge struct {
	Result
	want, got Row
	spoke     bool
}

// Paper compares the reading of a paper with what is expected. spoke says that the
// program answered at all, so that a refusal counts as one.
func Paper(want, got Row, spoke bool) Result {
	j := &judge{want: want, got: got, spoke: spoke}
	j.composition()
	j.allergens()
	j.ifra()
	j.facts()
	j.properties("impurities", "substance")
	j.properties("physical", "property")
	return j.Result
}

func (j *judge) say(verdict, part string, want, got Row) {
	section, _ := j.want[part].(Row)
	refuse := isTrue(j.want["may_refuse"]) || section != nil && isTrue(section["may_refuse"])
	if verdict == "missing" && (isTrue(want["optional"]) || refuse && j.spoke) {
		return
	}
	switch verdict {
	case "right":
		j.Right++
		return
	case "missing":
		j.Missing++
	case "wrong":
		j.Wrong++
	}
	name := ""
	for _, k := range []string{"name_printed", "substance", "property", "category", "key", "printed"} {
		if name == "" {
			name = str(want[k])
		}
	}
	note := verdict + " " + part + ": " + name
	if got != nil {
		note += " <- " + str(got["printed"]) + " " + str(got["low_pct"]) + ".." + str(got["high_pct"]) +
			str(got["max_pct"]) + str(got["value"]) + " " + str(got["status"])
	}
	j.Notes = append(j.Notes, note)
}

func isTrue(v any) bool { b, ok := v.(bool); return ok && b }

func str(v any) string {
	switch v := v.(type) {
	case nil:
		return ""
	case string:
		return v
	case float64:
		return strconv.FormatFloat(v, 'f', -1, 64)
	case bool:
		return strconv.FormatBool(v)
	}
	return ""
}

var greek = strings.NewReplacer("α", "alpha ", "β", "beta ", "γ", "gamma ", "δ", "delta ")

// key is the form in which names are compared.
func key(v any) string {
	var b strings.Builder
	gap := false
	for _, r := range norm.NFKD.String(greek.Replace(strings.ToLower(str(v)))) {
		switch {
		case unicode.Is(unicode.Mn, r):
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			if gap && b.Len() > 0 {
				b.WriteByte(' ')
			}
			gap = false
			b.WriteRune(r)
		default:
			gap = true
		}
	}
	return b.String()
}

var (
	roundBracket = regexp.MustCompile(`\([^()]*\)`)
	temperature  = regexp.MustCompile(`(?i)\b(at\s+)?\d+\s*°?\s*C\b`)
	unitTail     = regexp.MustCompile(` (ppm|ppb|ufc g|cfu g|mg kg)$`)
	lotWord      = regexp.MustCompile(`^(lot|batch|charge)\s+`)
)

// base is a name without brackets, temperature and unit.
func base(v any) string {
	s := roundBracket.ReplaceAllString(str(v), " ")
	s = temperature.ReplaceAllString(s, " ")
	return unitTail.ReplaceAllString(key(s), "")
}

// num gives a number; ok is false where there is none.
func num(v any) (float64, bool) {
	s := strings.ReplaceAll(str(v), ",", ".")
	if s == "" {
		return 0, false
	}
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return math.NaN(), true
	}
	return x, true
}

func same(a, b any) bool {
	x, okX := num(a)
	y, okY := num(b)
	if !okX || !okY {
		return !okX && !okY
	}
	return math.Abs(x-y) <= 1e-9*max(1e-9, math.Abs(x), math.Abs(y))
}

func rowsOf(d Row, part string) []Row {
	v := d[part]
	if m, ok := v.(Row); ok {
		v = m["rows"]
	}
	list, _ := v.([]any)
	var out []Row
	for _, x := range list {
		if r, ok := x.(Row); ok {
			out = append(out, r)
		}
	}
	return out
}

func cas(r Row) map[string]bool {
	out := map[string]bool{}
	switch v := r["cas"].(type) {
	case string:
		out[v] = true
	case []any:
		for _, x := range v {
			out[str(x)] = true
		}
	}
	return out
}

func shares(a, b map[string]bool) bool {
	for k := range a {
		if b[k] {
			return true
		}
	}
	return false
}

// targets are the right readings of a row.
func targets(c Row) []Row {
	out := []Row{c}
	list, _ := c["either"].([]any)
	for _, alt := range list {
		t := Row{}
		for k, v := range c {
			t[k] = v
		}
		m, _ := alt.(Row)
		for k, v := range m {
			t[k] = v
		}
		out = append(out, t)
	}
	return out
}

func filled(v any) bool {
	switch v := v.(type) {
	case nil:
		return false
	case string:
		return v != ""
	case bool:
		return v
	case []any:
		return len(v) > 0
	}
	return true
}

func asked(g Row) bool { return g["status"] == "ask" || filled(g["ask"]) || filled(g["unconfirmed"]) }

func pageOK(c, g Row) bool {
	p, ok := g["page"].(float64)
	if !ok || p == 0 {
		return true
	}
	return c["page"] == nil || c["page"] == g["page"]
}

func hasShare(g Row) bool { return g["low_pct"] != nil || g["high_pct"] != nil }

func bounds(c, g Row) bool {
	low := func(r Row) any {
		if r["low_pct"] == nil && r["high_pct"] != nil {
			return "0"
		}
		return r["low_pct"]
	}
	if !same(low(c), low(g)) || !same(c["high_pct"], g["high_pct"]) {
		return false
	}
	for _, k := range [][2]string{{"low_included", "low_pct"}, {"high_included", "high_pct"}} {
		x, ok := num(c[k[1]])
		if g[k[0]] == nil || c[k[0]] == nil || !ok || x == 0 || g[k[0]] == c[k[0]] {
			continue
		}
		return false
	}
	return true
}

func anyOf(c Row, fits func(t Row) bool) bool {
	for _, t := range targets(c) {
		if fits(t) {
			return true
		}
	}
	return false
}
