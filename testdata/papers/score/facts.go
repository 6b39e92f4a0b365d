package score

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// Facts compares kind, language, supplier, code, batch and version; it names those
// that differ. A paper that may be refused has none.
func Facts(want, got Row) (right int, off []string) {
	w, _ := want["document"].(Row)
	g, _ := got["document"].(Row)
	if isTrue(want["may_refuse"]) {
		return 0, nil
	}
	value := func(v any) string {
		if m, ok := v.(Row); ok {
			return str(m["value"])
		}
		return str(v)
	}
	for _, k := range []string{"kind", "language", "trade_name", "supplier", "supplier_code", "batch",
		"version"} {
		expected := value(w[k])
		if expected == "" {
			continue
		}
		short, _, _ := strings.Cut(expected, " (") // what is in brackets may be a remark
		if k := key(value(g[k])); key(expected) == k || key(short) == k {
			right++
		} else {
			off = append(off, k+": "+value(g[k])+" instead of "+expected)
		}
	}
	return right, off
}

// Table reads the rows of a table beside the papers that belong to one paper.
func Table(folder, name, paper string) ([][]string, error) {
	f, err := os.Open(filepath.Join(folder, name))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, err
	}
	return slices.DeleteFunc(rows[1:], func(r []string) bool { return r[0] != paper }), nil
}

// Questions says which of the codes a reading asks or warns about.
func Questions(got Row, codes [][]string) (put int, missing []string) {
	has := map[string]bool{}
	for _, part := range []string{"asks", "warnings"} {
		for _, a := range rowsOf(got, part) {
			has[str(a["code"])] = true
		}
	}
	for _, r := range codes {
		if has[r[1]] {
			put++
		} else {
			missing = append(missing, r[2])
		}
	}
	return put, missing
}

// Forbidden names the figures that a reading proposes and must not: rows of a part
// (composition, allergens, ifra) with a bound of that value.
func Forbidden(got Row, rows [][]string) (proposed []string) {
	for _, f := range rows {
		for _, g := range rowsOf(got, f[1]) {
			if asked(g) {
				continue
			}
			for _, k := range []string{"low_pct", "high_pct", "typical_pct", "max_pct"} {
				if g[k] != nil && same(g[k], f[2]) {
					proposed = append(proposed, f[3])
				}
			}
		}
	}
	return proposed
}
