package tox

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
)

// Impurity is one that an assessor looks for in a kind of raw material.
//
// Source: expected-impurities.csv; most usual limits are trade practice, unverified.
type Impurity struct {
	rows.Row
	Kind    string // of raw material, in words of the trade
	Name    string
	CAS     []string
	Usual   *exact.Num // in Unit, of LimitOf; nil: no figure known, ask
	Unit    string
	Absent  bool   // must be absent
	LimitOf string // material, product or "" where neither is said: never compare across
	Banned  bool   // prohibited: traces by Article 17 alone
	Basis   string
	// ByAllergens says that the declaration of allergens on the sheet answers it.
	ByAllergens bool
	names       string // the patterns as written: rows of one kind have the same
	patterns    []namePattern
}

func readImpurities(file string, text string) ([]*Impurity, error) {
	columns := rows.Columns{Meaning: []string{"key", "patterns", "functions", "impurity", "cas",
		"usual_limit", "unit", "absent", "limit_of", "banned", "answered_by", "seen"},
		Remarks: []string{"kind", "basis", "source", "note"}}
	known := map[string]namePattern{} // rows of one kind have the same patterns
	return rows.ReadTable(file, text, columns, func(r *rows.Record) *Impurity {
		i := &Impurity{
			Row: r.Head(r.Must("key")), names: r.Text("patterns"), Kind: r.Must("kind"),
			Name: r.Must("impurity"), CAS: r.Numbers("cas"), Usual: r.Num("usual_limit"),
			Unit:   r.Text("unit"),
			Absent: r.Mark("absent"), LimitOf: r.Word("limit_of", "", "material",
				"product"), Banned: r.Mark("banned"), Basis: r.Text("basis"),
			ByAllergens: r.Word("answered_by", "", "allergens") != "",
		}
		r.CheckNumbers(i.CAS, nil)
		for _, p := range r.List("patterns") {
			if known[p] == nil {
				known[p] = patternOf(p)
			}
			i.patterns = append(i.patterns, known[p])
		}
		if len(i.patterns) == 0 {
			r.Fail("patterns is empty")
		}
		if i.Usual != nil && i.Unit == "" {
			r.Fail("a usual limit needs a unit")
		}
		return i
	})
}

// namePattern is a pattern of names, sign by sign.
type namePattern []patternSign

// patternSign is one sign of a pattern: one of some signs, any text, or digits.
type patternSign struct {
	any, digits bool
	of          string
}

// patternOf reads a pattern of names: * stands for any text, # for digits, […] for one of
// the signs in it.
func patternOf(pattern string) namePattern {
	var out namePattern
	for i := 0; i < len(pattern); {
		_, width := utf8.DecodeRuneInString(pattern[i:])
		one := patternSign{of: pattern[i : i+width]}
		switch pattern[i] {
		case '*':
			one = patternSign{any: true}
		case '#':
			one = patternSign{digits: true}
		case '[':
			if end := strings.IndexByte(pattern[i:], ']'); end >= 2 {
				one.of, width = pattern[i+1:i+end], end+1
			}
		}
		out, i = append(out, one), i+width
	}
	return out
}

// fits says whether a whole name has the pattern, in capitals or not.
func (p namePattern) fits(name string) bool {
	for i, sign := range p {
		switch {
		case sign.any:
			for at := 0; ; {
				if p[i+1:].fits(name[at:]) {
					return true
				}
				if at == len(name) {
					return false
				}
				_, width := utf8.DecodeRuneInString(name[at:])
				at += width
			}
		case sign.digits:
			for at := 0; at < len(name) && name[at] >= '0' && name[at] <= '9'; at++ {
				if p[i+1:].fits(name[at+1:]) {
					return true
				}
			}
			return false
		default:
			r, width := utf8.DecodeRuneInString(name)
			if width == 0 || !strings.ContainsFunc(sign.of, func(x rune) bool { return sameSign(x, r) }) {
				return false
			}
			name = name[width:]
		}
	}
	return name == ""
}

// sameSign says whether two signs are one but for capitals.
func sameSign(a, b rune) bool {
	if a == b {
		return true
	}
	for r := unicode.SimpleFold(a); r != a; r = unicode.SimpleFold(r) {
		if r == b {
			return true
		}
	}
	return false
}

// Expected returns the impurities to look for in a raw material with a name; none where
// no kind fits, which is no sign of purity.
func (t *Tables) Expected(inci string) []*Impurity {
	var out []*Impurity
	last, fits := "", false // rows of one kind follow each other
	for _, i := range t.impurities().must() {
		if i.names != last {
			last, fits = i.names,
				slices.ContainsFunc(i.patterns, func(p namePattern) bool { return p.fits(inci) })
		}
		if fits {
			out = append(out, i)
		}
	}
	return out
}
