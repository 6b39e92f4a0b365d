package formula

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

func UsedAsFragrance(s *ingredients.Sheet) bool {
	return slices.ContainsFunc(s.Functions, func(f string) bool {
		f = strings.ToLower(f)
		return strings.Contains(f, "fragrance") || strings.Contains(f, "perfum") || strings.Contains(f, "scent") || strings.Contains(f, "flavour")
	})
}

// WidestSource is the supplier whose range is widest in the product.
func WidestSource(contributions []Contribution, in *Input) string {
	var widest exact.Num
	who := "the supplier"
	for _, c := range contributions {
		if w := c.Pct.Max.Sub(c.Pct.Min); widest.Less(w) {
			widest = w
			if s := in.Sheets[c.Ingredient]; s != nil {
				who = SupplierName(s)
			}
		}
	}
	return who
}

func PlaceName(portion string) string {
	if portion == "" {
		return "the product"
	}
	return "portion " + portion
}

func TermsOf(contributions []Contribution) []finding.Term {
	terms := make([]finding.Term, len(contributions))
	for i, c := range contributions {
		terms[i] = finding.Term{Pos: c.LinePos, Text: c.String()}
	}
	return terms
}

// String words the arithmetic of a contribution, rounded to four figures.
func (c Contribution) String() string {
	return fmt.Sprintf("%s %% of %s × %s in it = %s %%", c.UsePct.Sig(4), c.Ingredient, GivenText(c), RangeText(c.Pct))
}

// GivenText is the content as typed, with its unit where none was typed, and
// what it comes to where it is the rest to 100.
func GivenText(c Contribution) string {
	given := strings.TrimSpace(c.Given)
	switch {
	case strings.HasPrefix(strings.ToLower(given), "q"):
		return given + " (" + RangeText(c.InMaterial) + " %)"
	case given != "" && given[len(given)-1] >= '0' && given[len(given)-1] <= '9':
		return given + " %"
	}
	return given
}

func RangeText(r exact.Range) string {
	if r.IsExact() {
		return r.Max.Sig(4)
	}
	return r.Min.Sig(4) + " to " + r.Max.Sig(4)
}

func Itoa(i int) string { return strconv.Itoa(i) }

var SpecSigns = map[string]string{"<=": "at most", ">=": "at least", "<": "below", ">": "above"}

const Assessor = "the assessor"

// LowerFirst sets a name into a sentence; abbreviations keep their capitals.
func LowerFirst(s string) string {
	if len(s) > 1 && (s[1] >= 'a' && s[1] <= 'z' || s[1] == ' ' && s[0] == 'A') {
		return strings.ToLower(s[:1]) + s[1:]
	}
	return s
}

// DownText prints a number with at most the given significant digits, rounded
// down: an amount that is printed as allowed is allowed.
func DownText(n exact.Num, digits int) string {
	shown, err := exact.ParseNum(n.Sig(digits))
	if err != nil || !n.Less(shown) {
		return n.Sig(digits)
	}
	unit, ten := exact.Int(1), exact.Int(10)
	for top := n; !top.Less(ten); top = top.Quo(ten) {
		unit = unit.Mul(ten)
	}
	for top := n; top.Less(exact.Int(1)); top = top.Mul(ten) {
		unit = unit.Quo(ten)
	}
	for range digits - 1 {
		unit = unit.Quo(ten)
	}
	return shown.Sub(unit).Exact()
}

func JoinAnd(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}
