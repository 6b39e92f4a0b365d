package score

import (
	"math"
	"regexp"
	"slices"
	"sort"
	"strings"
)

// pair finds a row of the reading for each expected one: printed name before
// number before other names.
func pair(want, got []Row, names ...string) (of map[int]int, rest []Row) {
	type match struct {
		score, i, j int
		off         bool
	}
	var found []match
	keys := func(r Row) map[string]bool {
		out := map[string]bool{}
		for _, n := range names {
			if k := key(r[n]); k != "" {
				out[k] = true
			}
		}
		return out
	}
	for i, c := range want {
		for j, g := range got {
			s := 0
			if k := key(c["name_printed"]); k != "" && k == key(g["name_printed"]) {
				s += 8
			}
			if shares(cas(c), cas(g)) {
				s += 4
			}
			if shares(keys(c), keys(g)) {
				s += 2
			}
			if s > 0 {
				found = append(found, match{s, i, j, !anyOf(c, func(t Row) bool { return bounds(t, g) })})
			}
		}
	}
	sort.SliceStable(found, func(a, b int) bool {
		x, y := found[a], found[b]
		switch {
		case x.score != y.score:
			return x.score > y.score
		case x.off != y.off:
			return y.off
		case x.i != y.i:
			return x.i < y.i
		}
		return x.j < y.j
	})
	of, used := map[int]int{}, map[int]bool{}
	for _, m := range found {
		if _, taken := of[m.i]; !taken && !used[m.j] {
			of[m.i] = m.j
			used[m.j] = true
		}
	}
	for j, g := range got {
		if !used[j] {
			rest = append(rest, g)
		}
	}
	return of, rest
}

func (j *judge) composition() {
	exp, have := rowsOf(j.want, "composition"), rowsOf(j.got, "composition")
	of, rest := pair(exp, have, "inci", "name_printed")
	for i, c := range exp {
		var g Row
		if k, ok := of[i]; ok {
			g = have[k]
		}
		none := !hasShare(c)
		say := func(verdict string, g Row) {
			if !none {
				j.say(verdict, "composition", c, g)
			}
		}
		switch {
		case g == nil || !hasShare(g):
			say("missing", nil)
		case anyOf(c, func(t Row) bool { return hasShare(t) && bounds(t, g) }) && pageOK(c, g):
			say("right", nil)
		case none && same(g["low_pct"], g["high_pct"]) && filled(c["typical_pct"]) &&
			same(c["typical_pct"], g["high_pct"]):
		case asked(g):
			say("missing", nil)
		default:
			j.say("wrong", "composition", c, g)
		}
	}
	like := append(slices.Clone(exp), rowsOf(j.want, "allergens")...)
	for _, g := range rest {
		if hasShare(g) && !asked(g) && !inPaper(like, g) {
			j.say("wrong", "composition, not in the paper", g, g)
		}
	}
}

// inPaper says whether a row of the reading stands elsewhere in the paper.
func inPaper(like []Row, g Row) bool {
	return slices.ContainsFunc(like, func(c Row) bool {
		return anyOf(c, func(t Row) bool { return bounds(t, g) }) &&
			(shares(cas(c), cas(g)) || key(c["name_printed"]) == key(g["name_printed"]))
	})
}

// alike are the statuses that mean the same.
var alike = map[string]string{"below": "below", "not-detected": "below", "printed-zero": "below",
	"value": "value", "range": "value"}

func statusOK(c, g Row) bool {
	if g["status"] == nil {
		return true
	}
	one := func(s string) string {
		if a, ok := alike[s]; ok {
			return a
		}
		return s
	}
	return one(str(c["status"])) == one(str(g["status"]))
}

func (j *judge) allergens() {
	var exp, others []Row
	for _, c := range rowsOf(j.want, "allergens") {
		if !filled(c["key"]) && !filled(c["cas"]) {
			others = append(others, c)
		} else {
			exp = append(exp, c)
		}
	}
	have := rowsOf(j.got, "allergens")
	of, rest := pair(exp, have, "key", "name_printed")
	for i, c := range exp {
		k, ok := of[i]
		if !ok {
			j.say("missing", "allergens", c, nil)
			continue
		}
		g := have[k]
		right := anyOf(c, func(t Row) bool {
			return bounds(t, g) && statusOK(t, g) && (!filled(g["key"]) || !filled(t["key"]) ||
				key(g["key"]) == key(t["key"]))
		})
		right = right && filled(c["part_of"]) == filled(g["part_of"]) && pageOK(c, g)
		switch {
		case right:
			j.say("right", "allergens", c, nil)
		case asked(g), !hasShare(g) && (g["status"] == nil || g["status"] == c["status"]):
			j.say("missing", "allergens", c, nil)
		default:
			j.say("wrong", "allergens", c, g)
		}
	}
	for _, c := range others {
		if slices.ContainsFunc(rest, func(g Row) bool { return bounds(c, g) }) {
			j.say("right", "allergens", c, nil)
		} else {
			j.say("missing", "allergens", c, nil)
		}
	}
	like := append(append(rowsOf(j.want, "composition"), rowsOf(j.want, "allergens")...), others...)
	for _, g := range rest {
		if hasShare(g) && !asked(g) && !inPaper(like, g) &&
			!slices.ContainsFunc(others, func(c Row) bool { return bounds(c, g) }) {
			j.say("wrong", "allergens, not in the paper", g, g)
		}
	}
}

var (
	blankLetter = regexp.MustCompile(`(\d) ([A-D]\b)`)
	category    = regexp.MustCompile(`\d+[A-Z]?`)
)

func code(r Row) string {
	all := category.FindAllString(blankLetter.ReplaceAllString(strings.ToUpper(str(r["category"])), "$1$2"), -1)
	if len(all) == 0 {
		return ""
	}
	return all[len(all)-1]
}

func (j *judge) ifra() {
	exp, have := rowsOf(j.want, "ifra"), rowsOf(j.got, "ifra")
	for _, c := range exp {
		var bad Row
		n, good := 0, 0
		for _, q := range have {
			if code(q) != code(c) {
				continue
			}
			n++
			ok := anyOf(c, func(t Row) bool {
				return q["status"] == t["status"] && (t["status"] != "limit" || same(t["max_pct"], q["max_pct"]))
			}) && pageOK(c, q)
			if ok {
				good++
			} else if !asked(q) && (q["max_pct"] != nil || q["status"] != nil && q["status"] != "limit") {
				bad = q
			}
		}
		switch {
		case n > 0 && good == n:
			j.say("right", "ifra", c, nil)
		case bad == nil:
			j.say("missing", "ifra", c, nil)
		default:
			j.say("wrong", "ifra", c, bad)
		}
	}
	for _, q := range have {
		if q["max_pct"] != nil && !asked(q) &&
			!slices.ContainsFunc(exp, func(c Row) bool { return code(c) == code(q) }) {
			j.say("wrong", "ifra, not in the paper", q, q)
		}
	}
}

func (j *judge) facts() {
	part := func(d Row, k string) Row { m, _ := d[k].(Row); return m }
	value := func(v any) string {
		if m, ok := v.(Row); ok {
			return str(m["value"])
		}
		return str(v)
	}
	if c, ok := part(j.want, "document")["issue_date"].(Row); ok {
		g := value(part(j.got, "document")["issue_date"])
		switch {
		case g == "":
			j.say("missing", "date", c, nil)
		case anyOf(c, func(t Row) bool { return value(t) == g }):
			j.say("right", "date", c, nil)
		default:
			j.say("wrong", "date", c, Row{"value": g})
		}
	}
	if c := value(part(j.want, "ifra")["amendment"]); c != "" {
		g := value(part(j.got, "ifra")["amendment"])
		row := Row{"category": "amendment " + c}
		switch {
		case g == "":
			j.say("missing", "ifra", row, nil)
		case strings.Trim(regexp.MustCompile(`\D`).ReplaceAllString(g, ""), " ") == c:
			j.say("right", "ifra", row, nil)
		default:
			j.say("wrong", "ifra", row, Row{"value": g})
		}
	}
}

var mass = map[string]float64{"%": 1e4, "g/kg": 1e3, "mg/g": 1e3, "ppm": 1, "mg/kg": 1, "ppb": 1e-3,
	"ug/kg": 1e-3}
var sameUnit = map[string]string{"g/cm3": "g/ml", "kg/l": "g/ml", "c": "°c", "degrees": "°c",
	"ufc/g": "cfu/g", "kbe/g": "cfu/g"}

func unit(r Row) string {
	u := strings.NewReplacer(" ", "", "³", "3", "µ", "u", "μ", "u").Replace(strings.ToLower(str(r["unit"])))
	if s, ok := sameUnit[u]; ok {
		return s
	}
	return u
}

var sameSign = map[string]string{"≤": "<", "<=": "<", "max": "<", "max.": "<", "≥": ">", ">=": ">",
	"nd": "n.d.", "not-detected": "n.d."}

func sign(r Row) string {
	o := strings.ReplaceAll(strings.ToLower(str(r["op"])), " ", "")
	if s, ok := sameSign[o]; ok {
		return s
	}
	return o
}

func isSpec(r Row) bool {
	return slices.Contains([]string{"specification", "guaranteed", "limit", "maximum"}, str(r["kind"]))
}

func figures(r Row) []any { return []any{r["value"], r["low"], r["high"]} }

func figured(r Row) bool {
	return slices.ContainsFunc(figures(r), func(v any) bool { return str(v) != "" })
}

func span(r Row) (low, high any) {
	low, high = r["low"], r["high"]
	if str(low) == "" {
		low = r["value"]
	}
	if str(high) == "" {
		high = r["value"]
	}
	return low, high
}

// agree says whether two figures of a property are the same.
func agree(c, g Row) bool {
	uc, ug := unit(c), unit(g)
	f := 1.0
	if mass[uc] != 0 && mass[ug] != 0 {
		f = mass[ug] / mass[uc]
	} else if uc != "" && ug != "" && uc != ug {
		return false
	}
	cl, ch := span(c)
	gl, gh := span(g)
	close := func(a, b any) bool {
		x, okX := num(a)
		y, okY := num(b)
		if !okX || !okY {
			return !okX && !okY
		}
		y *= f
		return math.Abs(x-y) <= 1e-9*max(1e-9, math.Abs(x), math.Abs(y))
	}
	low := close(cl, gl)
	if x, ok := num(gl); sign(c) == "<" && (!ok || x == 0) {
		low = true
	}
	if !low || !close(ch, gh) {
		return false
	}
	return isSpec(c) || c["op"] == nil || g["op"] == nil || sign(c) == sign(g)
}

func (j *judge) properties(part, name string) {
	var exp []Row
	for _, c := range rowsOf(j.want, part) {
		if c["kind"] == nil || slices.Contains([]string{"result", "typical", "guaranteed", "specification"},
			str(c["kind"])) {
			exp = append(exp, c)
		}
	}
	have := rowsOf(j.got, part)
	lot := func(r Row) string { return lotWord.ReplaceAllString(key(r["lot"]), "") }
	isIt := func(c, g Row) bool {
		hit := false
		for _, f := range []func(any) string{key, base} {
			for _, a := range []any{c[name], c["name_printed"]} {
				for _, b := range []any{g[name], g["name_printed"]} {
					hit = hit || f(a) != "" && f(a) == f(b)
				}
			}
		}
		return hit && (str(c["lot"]) == "" || str(g["lot"]) == "" || lot(c) == lot(g))
	}
	number := regexp.MustCompile(`\d+(?:[.,]\d+)?`)
	beside := func(c, g Row) bool { // the other figure printed for the same property
		other := str(c["typical"])
		if isSpec(g) {
			other = str(c["spec"])
		}
		pool := number.FindAllString(other, -1)
		n := 0
		for _, v := range figures(g) {
			if str(v) == "" {
				continue
			}
			n++
			if !slices.ContainsFunc(pool, func(p string) bool { return same(v, p) }) {
				return false
			}
		}
		return str(g["kind"]) != "" && n > 0
	}
	judged := map[int]bool{}
	for ci, c := range exp {
		var good, bad []int
		for gi, g := range have {
			if !isIt(c, g) || str(c["lot"]) != "" && str(g["lot"]) == "" {
				continue
			}
			switch {
			case anyOf(c, func(t Row) bool { return agree(t, g) }) && pageOK(c, g) &&
				(c["kind"] != "result" || !isSpec(g)) && !(isSpec(c) && g["kind"] == "result"):
				good = append(good, gi)
			case !judged[gi] && figured(g) && !asked(g) && !beside(c, g):
				other := false
				for k, d := range exp {
					other = other || k != ci && isIt(d, g) && agree(d, g)
				}
				if !other {
					bad = append(bad, gi)
				}
			}
		}
		switch {
		case len(good) > 0:
			j.say("right", part, c, nil)
			for _, gi := range good {
				judged[gi] = true
			}
		case len(bad) > 0:
			j.say("wrong", part, c, have[bad[0]])
			judged[bad[0]] = true
		default:
			j.say("missing", part, c, nil)
		}
	}
	for gi, g := range have {
		mine, fine := 0, false
		for _, c := range exp {
			if isIt(c, g) {
				mine++
				fine = fine || beside(c, g) || agree(c, g)
			}
		}
		if mine > 0 && !judged[gi] && figured(g) && !asked(g) && !fine {
			j.say("wrong", part+", a second figure", g, g)
		}
	}
}
