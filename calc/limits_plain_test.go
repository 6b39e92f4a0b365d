package calc

import (
	"math/big"
	"slices"
	"strings"
	"sync"
	"testing"

	"gallipot/calc/law"
	"gallipot/calc/law/condition"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
)

// rawLimits reads the table as text: the plain implementation below shares no
// reader, no index and no sum code with the engine.
func rawLimits(t testing.TB) []map[string]string {
	t.Helper()
	return rawTable(t, "limits.csv")
}

// plainUse is one substance of a generated product.
type plainUse struct {
	name     string
	cas      []string
	function string // in the words of the conditions
	scent    bool   // a scent brings it in: whether it is natural is not known
	pct      *big.Rat
}

// plainProduct is a generated product: pure materials in water.
type plainProduct struct {
	kind   string
	market rows.Market
	day    string
	ages   string
	uses   []plainUse
	// counted is told what was added up for a row, where it is not nil
	counted func(key string, amount *big.Rat)
}

var plainFunctions = map[string]string{"preservative": "preservative", "other": "emollient", "fragrance": "fragrance", "uv-filter": "UV filter", "ph-adjuster": "pH adjuster", "peroxide-stabiliser": "peroxide stabiliser", "colourant": "colourant"}

// plainJudge says whether a row holds for a use: date, market, condition.
func plainJudge(row map[string]string, p plainProduct, u plainUse) law.Verdict {
	market := "EU"
	if p.market == rows.GB {
		market = "GB"
	}
	if !slices.Contains(strings.Split(row["market"], "+"), market) || row["applies_from"] > p.day || row["applies_until"] != "" && row["applies_until"] < p.day {
		return law.DoesNot
	}
	if row["replaced_from"] != "" && row["replaced_from"] <= p.day && slices.Contains(strings.Split(row["replaced_in"], "+"), market) {
		return law.DoesNot
	}
	c := plainCondition(row["condition"])
	pt, _ := law.ProductType(table.Builtin(), p.kind)
	s := law.SituationOf(pt)
	ages, _ := law.AgesOf(p.ages)
	if s.Ages != nil {
		ages = law.Ages{From: min(ages.From, s.Ages.From), To: max(ages.To, s.Ages.To)}
	}
	s.Ages, s.Professional, s.Nano, s.Massive, s.Natural, s.RefiningKnown = &ages, law.No, law.No, law.No, law.No, law.Unknown
	s.Functions, s.FunctionsKnown = []string{u.function}, true
	if u.scent {
		s.Natural = law.Unknown
	}
	v := law.JudgeCondition(c, s).Verdict
	switch other := v == law.Holds; { // purposes and forms beside the condition leave a row open
	case other && row["only_form"] != "",
		other && row["annex"] == "V" && u.function == "fragrance" && !strings.Contains(row["condition"], "function="),
		other && row["annex"] == "VI" && u.function != "uv-filter":
		return law.Undecided
	}
	return v
}

var plainConditions sync.Map // text → law.Condition

func plainCondition(text string) condition.Condition {
	if c, ok := plainConditions.Load(text); ok {
		return c.(condition.Condition)
	}
	c, err := condition.Parse(text)
	if err != nil {
		panic(err)
	}
	plainConditions.Store(text, c)
	return c
}

var plainNamed sync.Map // row and name → bool

// plainNames says whether a row names a substance, by name or number.
func plainNames(row map[string]string, u plainUse, dict *ingredients.Dictionary) bool {
	key := [2]string{row["key"], u.name}
	is, ok := plainNamed.Load(key)
	if !ok {
		is = findPlainName(row, u, dict)
		plainNamed.Store(key, is)
	}
	return is.(bool)
}

func findPlainName(row map[string]string, u plainUse, dict *ingredients.Dictionary) bool {
	for n := range strings.SplitSeq(row["inci_names"], ";") {
		n = strings.TrimSpace(n)
		if strings.EqualFold(n, u.name) || dict.Lookup(n) != nil && dict.Lookup(n) == dict.Lookup(u.name) {
			return true
		}
	}
	for c := range strings.SplitSeq(row["cas"], ";") {
		if slices.Contains(u.cas, strings.TrimSpace(c)) {
			return true
		}
	}
	return false
}

var plainFactors sync.Map // row and name → *big.Rat

// plainFactor is the mass factor of a substance in a basis, nil where none is
// known.
func plainFactor(rows []map[string]string, row map[string]string, name string) *big.Rat {
	key := row["key"] + "|" + name
	f, ok := plainFactors.Load(key)
	if !ok {
		f = findPlainFactor(rows, row, name)
		plainFactors.Store(key, f)
	}
	return f.(*big.Rat)
}

func findPlainFactor(rows []map[string]string, row map[string]string, name string) *big.Rat {
	one := big.NewRat(1, 1)
	if row["counted_as"] == "" || row["whole"] == "yes" {
		return one
	}
	if f := plainIn(row["factors"], name); f != nil {
		return f
	}
	var best *big.Rat
	for _, r := range rows {
		if r["counted_as"] != row["counted_as"] {
			continue
		}
		if f := plainIn(r["factors"], name); f != nil && (best == nil || best.Cmp(f) < 0) {
			best = f
		}
	}
	if best != nil {
		return best
	}
	for as := range strings.SplitSeq(row["counted_as"], ";") {
		if end, ok := strings.CutPrefix(as, "*"); ok && strings.HasSuffix(strings.ToLower(name), end) || strings.EqualFold(as, name) {
			return one
		}
	}
	return nil
}

// plainIn reads a factor of a name from a cell name|form|factor;…, the highest
// of several forms.
func plainIn(factors, name string) *big.Rat {
	var best *big.Rat
	for item := range strings.SplitSeq(factors, ";") {
		p := strings.Split(item, "|")
		if len(p) != 3 || !strings.EqualFold(p[0], name) && !strings.EqualFold(p[0]+" ("+p[1]+")", name) {
			continue
		}
		if f, _ := new(big.Rat).SetString(p[2]); best == nil || best.Cmp(f) < 0 {
			best = f
		}
	}
	return best
}

// plainSkip names rows whose limit is not the content of a substance.
func plainSkip(row map[string]string) bool { return row["counts"] != "" || row["annex"] == "IV" }

// plainAdds says whether the substances of another row are added to those of a
// row.
func plainAdds(row, other map[string]string) bool {
	if row["sum_entries"] != "" {
		return row["sum_group"] == other["sum_group"] && slices.Contains(strings.Split(row["sum_entries"], ";"), other["annex"]+"/"+other["entry"])
	}
	groups := row["sum_groups"]
	if groups == "" {
		groups = row["sum_group"]
	}
	if other["sum_group"] == "" || !slices.Contains(strings.Split(groups, ";"), other["sum_group"]) {
		return false
	}
	return row["sum_conditions"] == "any" || other["condition"] == row["condition"]
}

// plainVerdicts judges every row that names a substance of the product, keyed by
// row, or by row and substance where each stands alone. Rows that a missing fact
// or factor leaves open are left out.
// table is where rows that are added and factors are looked up.
func plainVerdicts(rows, table []map[string]string, p plainProduct, dict *ingredients.Dictionary) map[string]string {
	out := map[string]string{}
	for _, row := range rows {
		if plainSkip(row) {
			continue
		}
		summed := slices.Contains([]string{"all", "below", "label"}, row["sum"])
		var own []plainUse
		for _, u := range p.uses {
			if plainNames(row, u, dict) {
				own = append(own, u)
			}
		}
		if len(own) == 0 || plainJudge(map[string]string{"condition": "all", "market": row["market"], "applies_from": row["applies_from"], "applies_until": row["applies_until"], "replaced_from": row["replaced_from"], "replaced_in": row["replaced_in"]}, p, own[0]) == law.DoesNot {
			continue
		}
		switch {
		case row["sum"] == "exclusive":
			continue // by hand in TestIsothiazolinones and TestAlkynoates
		case summed:
			if v := plainSum(rows, table, row, p, own, dict); v != "" {
				out[row["key"]] = v
			}
		default:
			for _, u := range own {
				if v := plainEach(table, row, p, u, dict); v != "" {
					out[row["key"]+"|"+u.name] = v
				}
			}
		}
	}
	return out
}

func plainEach(rows []map[string]string, row map[string]string, p plainProduct, u plainUse, dict *ingredients.Dictionary) string {
	switch v := plainJudge(row, p, u); {
	case v == law.DoesNot:
		return "not applicable"
	case v == law.Undecided:
		return ""
	case row["max_pct"] == "":
		return "no figure"
	}
	if row["max_pct"] == "0" {
		for _, e := range strings.Split(row["excepted"], ";") {
			for _, other := range rows {
				if other["annex"]+"/"+other["entry"] != e || other["max_pct"] == "0" || !plainNames(other, u, dict) {
					continue
				}
				if v := plainJudge(other, p, u); v == law.Holds {
					return "not applicable"
				} else if v == law.Undecided {
					return ""
				}
			}
		}
		return "exceeded"
	}
	f := plainFactor(rows, row, u.name)
	if f == nil {
		return ""
	}
	amount := new(big.Rat).Mul(u.pct, f)
	if p.counted != nil {
		p.counted(row["key"]+"|"+u.name, amount)
	}
	return plainCompare(amount, row["max_pct"], false)
}

func plainSum(rows, table []map[string]string, row map[string]string, p plainProduct, own []plainUse, dict *ingredients.Dictionary) string {
	sum, part := new(big.Rat), new(big.Rat)
	counted := map[string]bool{}
	any := false
	add := func(r map[string]string, u plainUse, isOwn bool) bool {
		switch plainJudge(r, p, u) {
		case law.DoesNot:
			return true
		case law.Undecided:
			return false
		}
		if counted[u.name] {
			return true
		}
		f := plainFactor(table, r, u.name)
		if f == nil {
			return false
		}
		counted[u.name] = true
		any = any || isOwn
		amount := new(big.Rat).Mul(u.pct, f)
		sum.Add(sum, amount)
		if isOwn {
			part.Add(part, amount)
		}
		return true
	}
	for _, u := range own {
		if !add(row, u, true) {
			return ""
		}
	}
	if !any {
		return "not applicable"
	}
	for _, other := range rows {
		if other["key"] == row["key"] || !plainAdds(row, other) {
			continue
		}
		for _, u := range p.uses {
			if plainNames(other, u, dict) && !add(other, u, false) {
				return ""
			}
		}
	}
	if row["max_pct"] == "" {
		return "no figure"
	}
	if row["sum_pct"] != "" && row["sum_pct"] != row["max_pct"] {
		if v := plainCompare(part, row["max_pct"], false); v == "exceeded" {
			return v
		}
		return plainCompare(sum, row["sum_pct"], false)
	}
	if p.counted != nil {
		p.counted(row["key"], sum)
	}
	return plainCompare(sum, row["max_pct"], row["sum"] == "below")
}

func plainCompare(amount *big.Rat, limit string, strict bool) string {
	l, _ := new(big.Rat).SetString(limit)
	if c := amount.Cmp(l); c > 0 || strict && c == 0 {
		return "exceeded"
	}
	return "kept"
}
