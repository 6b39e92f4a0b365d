package table_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
	"gallipot/testdata/published"
)

// otherNumbers are names whose number in our table is another than that of the
// inventory, with the reason.
var otherNumbers = map[string]string{
	"METHYL PHENYLBUTANOL": "the agency's number is that of another isomer of the mixture",
	"NEROLIDOL":            "the agency's number is that of the unstated isomer",
}

// TestInventoryNumbers wants the CAS number of a class, a toxicological value or a
// rule of other law among the numbers that the official inventory gives the name.
// Source: inventory_numbers.csv; the numbers of our rows come from other papers.
func TestInventoryNumbers(t *testing.T) {
	numbers := map[string][]string{}
	for _, r := range published.Rows(t, "inventory_numbers.csv") {
		numbers[ingredients.NameKey(r["name"])] = rows.SplitList(r["cas"])
	}
	compared := 0
	check := func(key string, names, cas []string) {
		var all []string
		for _, n := range names {
			if otherNumbers[n] != "" {
				return
			}
			all = append(all, numbers[ingredients.NameKey(n)]...)
		}
		if len(all) == 0 {
			return
		}
		for _, c := range cas {
			compared++
			require.Contains(t, all, c, "%s %v", key, names)
		}
	}
	tables := table.Builtin()
	for _, c := range tables.Cramer {
		check(c.Key, []string{c.INCI}, table.One(c.CAS))
	}
	for _, x := range tables.Tox {
		if x.Typed != nil {
			check(x.Substance, x.INCI, table.One(x.CAS))
		}
	}
	for _, o := range tables.OtherRules() {
		known := slices.DeleteFunc(slices.Clone(o.Names),
			func(n string) bool { return len(numbers[ingredients.NameKey(n)]) == 0 })
		if len(o.CAS) == 1 && len(known) == len(o.Names) {
			check(o.Key, o.Names, o.CAS)
		}
	}
	require.Greater(t, compared, 700)
}
