package limits

import (
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/table"
	"gallipot/calc/plaintest"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// plainLabel says when the wording of a row is due, from its columns alone; amount
// is what counts of the substance. ok is false for rows it does not judge.
func plainLabel(rows []map[string]string, row map[string]string, p plaintest.Product, u plaintest.Use,
	rules *plaintest.Rules) (due labelDue, ok bool) {
	also := labelCertain
	if c := row["label_condition"]; c != "" {
		also = map[plaintest.Verdict]labelDue{plaintest.RowHolds: labelCertain, plaintest.RowOpen: labelMaybe,
			plaintest.RowDoesNot: labelNone}[rules.Holds(map[string]string{
			"condition": c, "market": row["market"]}, p, u)]
	}
	if row["label_alone"] == "yes" {
		return also, true
	}
	f := rules.Factor(rows, row, u.Name)
	verdict := rules.Each(rows, row, p, u)
	switch {
	case verdict == "not applicable", row["max_pct"] == "0":
		return labelNone, true
	case f == nil:
		return labelNone, false
	}
	due = also
	if verdict == "" {
		due = min(due, labelMaybe)
	}
	amount := new(big.Rat).Mul(u.Pct, f)
	above := func(col string) bool {
		figure, _ := new(big.Rat).SetString(row[col])
		return amount.Cmp(figure) > 0
	}
	if row["label_above_pct"] != "" && !above("label_above_pct") {
		return labelNone, true
	}
	if row["label_not_up_to_pct"] != "" && !above("label_not_up_to_pct") {
		due = min(due, labelMaybe)
	}
	if row["label_open"] == "yes" {
		due = min(due, labelMaybe)
	}
	return due, true
}

// Every row with a wording, alone in a product it is for and in one it is not, with
// contents at, around and far from its figures: the engine asks for the wording
// where the columns do.
func TestLabelsAgainstThePlainRules(t *testing.T) {
	tableRows, rules := plaintest.RawTable(t, "limits.csv"), &plaintest.Rules{Asked: formulatest.PlainAsked()}
	kinds := []string{"", "shower-gel", "toothpaste", "baby-lotion"}
	seen := map[labelDue]int{}
	for _, row := range tableRows {
		if row["required_label_text"] == "" || row["sum"] != "" || plaintest.Skip(row) {
			continue
		}
		base := rules.Of(row, formulatest.PlainKinds())
		figures := []string{"0.01"}
		for _, col := range []string{"max_pct", "label_above_pct", "label_not_up_to_pct"} {
			if row[col] != "" && row[col] != "0" {
				figures = append(figures, row[col])
			}
		}
		for _, kind := range kinds {
			if kind == "" {
				kind = base.Kind
			} else if _, known := law.ProductType(table.Builtin(), kind); !known {
				continue
			}
			for _, figure := range figures {
				for _, scale := range []*big.Rat{big.NewRat(1, 1), big.NewRat(1001, 1000)} {
					p := base
					p.Kind = kind
					u := base.Uses[0]
					u.Pct, _ = new(big.Rat).SetString(figure)
					if u.Pct = new(big.Rat).Mul(u.Pct, scale); u.Pct.Cmp(big.NewRat(60, 1)) > 0 {
						continue
					}
					p.Uses = []plaintest.Use{u}
					want, ok := plainLabel(tableRows, row, p, u, rules)
					if !ok {
						continue
					}
					in, comps := formulatest.PlainInput(t, p, -1, nil)
					for _, c := range newRun(in, comps).Checks(in.Date) {
						if c.Row.Key == row["key"] && len(c.Substances) == 1 {
							require.Equal(t, want, c.Shape.label, "%s in %s, %s %%", row["key"], kind, u.Pct.FloatString(4))
							seen[want]++
						}
					}
				}
			}
		}
	}
	for _, due := range []labelDue{labelNone, labelMaybe, labelCertain} {
		assert.Greater(t, seen[due], 25, due)
	}
}

// Every row with a pH criterion, read from its cell a second time, against pH
// values at and around its bounds.
func TestPHAgainstThePlainRules(t *testing.T) {
	byKey := map[string]*annex.Limit{}
	for _, l := range law.Limits(table.Builtin()) {
		byKey[l.Key] = l
	}
	run := handRun(t)
	compared := 0
	for _, row := range plaintest.RawTable(t, "limits.csv") {
		cell := row["ph"]
		if cell == "" {
			continue
		}
		bounds := strings.Split(strings.TrimLeft(cell, "<>="), "-")
		for _, bound := range bounds {
			for _, off := range []*big.Rat{big.NewRat(-1, 100), new(big.Rat), big.NewRat(1, 100)} {
				at, _ := new(big.Rat).SetString(bound)
				at.Add(at, off)
				keeps := func(sign, figure string) bool {
					f, _ := new(big.Rat).SetString(figure)
					c := at.Cmp(f)
					return map[string]bool{"<": c < 0, "<=": c <= 0, ">": c > 0, ">=": c >= 0}[sign]
				}
				want := false
				if len(bounds) == 2 {
					want = keeps(">=", bounds[0]) && keeps("<=", bounds[1])
				} else {
					want = keeps(strings.TrimRight(cell, "0123456789."), bound)
				}
				run.In.Product.Evidence.PH = &exact.Amount{Range: exact.Exactly(exact.Frac(at.Num().Int64(), at.Denom().Int64()))}
				f, said := run.phFinding(criterion{Row: byKey[row["key"]]})
				broken := said && f.Severity == finding.Stop
				assert.Equal(t, !want, broken, "%s: pH %s against %s", row["key"], at.FloatString(2), cell)
				compared++
			}
		}
	}
	require.Greater(t, compared, 30)
}
