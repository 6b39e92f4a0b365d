package table_test

import (
	"io/fs"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients/exact"
)

// ownTable is a maker's table with two rows, the second more cautious than the
// law (an invented house rule).
const ownTable = `key,annex,entry,market,inci_names,cas,ec,condition,max_pct,basis,sum_group,sum_rule,required_label_text,colorant_field,applies_from,applies_until,source,seen,note
house-1,own,1,EU+GB,Exemplum Novum,,,leave-on,0.2,,,,,,,,"letter of the assessor, invented",seen,
house-2,own,2,GB,Phenoxyethanol,122-99-6,204-589-7,population=under-3,0.4,,,,,,2026-01-01,,"house rule, invented",seen,babies
`

func TestReadLimits(t *testing.T) {
	tableRows, findings := annex.ReadOwn("limits/house.csv", []byte(ownTable))
	require.Empty(t, findings)
	require.Len(t, tableRows, 2)
	for _, l := range tableRows {
		require.True(t, l.Own)
		require.Equal(t, "limits/house.csv", l.File)
	}
	require.Equal(t, 2, tableRows[0].Line)
	for word, unchecked := range map[string]bool{"seen": false, "unverified": true, "memory": true} {
		one, found := annex.ReadOwn("limits/house.csv",
			[]byte(strings.ReplaceAll(ownTable, `invented",seen,`, `invented",`+word+",")))
		require.Empty(t, found, word)
		require.Equal(t, unchecked, one[0].FromMemory(), word)
	}

	base := table.Builtin()
	tables := base.WithLimits(tableRows)
	require.Len(t, law.Limits(base), 1242, "the tables without own rows stay as they are")
	date := day(t, "2026-11-25")
	lotion, _ := law.ProductType(tables, "body-lotion")
	rules := rulingIn(tables, "Exemplum Novum", date, lotion)
	require.Len(t, rules, 1)
	require.Equal(t, "0.2", rules[0].MaxPct.Exact())
	require.Empty(t, law.LimitsOf(base, "Exemplum Novum", nil, nil))

	baby, _ := law.ProductType(tables, "baby-lotion")
	rules = rulingIn(tables, "Phenoxyethanol", date, baby)
	require.Len(t, rules, 2, "the law and the house rule both hold")
	require.False(t, rules[0].Own, "the law first")
	require.True(t, rules[1].Own)
	require.False(t, law.IsPreservative(tables, "Exemplum Novum", "", rows.GB, date))

	v := tables.Version()
	require.Len(t, v, len(base.Version())+1)
	i := slices.IndexFunc(v, func(i table.TableInfo) bool { return i.Name == "limits/house.csv" })
	require.Equal(t, 2, v[i].Rows)
	require.Len(t, v[i].SHA256, 64)
	require.Same(t, base, base.WithLimits(nil))
}

// FuzzReadLimits: no table of a maker may make the reader panic, and what it
// accepts must be usable.
func FuzzReadLimits(f *testing.F) {
	f.Add([]byte(ownTable))
	f.Add([]byte(strings.ReplaceAll(ownTable, "\n", "\r\n")))
	f.Add([]byte("\xef\xbb\xbf" + ownTable))
	f.Add([]byte(""))
	f.Add([]byte("key,key\n"))
	f.Add([]byte(strings.Replace(ownTable, "0.2,", "1e309,", 1)))
	f.Add([]byte(strings.Replace(ownTable, `0.2,,`, `0.2,"as x; factors: A=0.5, B (c)=0.25",g`, 1)))
	f.Add([]byte(strings.Replace(ownTable, ",babies", ",\"spec:ph<4. offshelf:2026-13-01\"", 1)))
	if data, err := fs.ReadFile(table.Files(), "limits.csv"); err == nil {
		lines := strings.SplitAfter(string(data), "\n")
		f.Add([]byte(strings.Join(append(lines[:1:1], lines[470:500]...), "")))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		rows, findings := annex.ReadOwn("limits/fuzz.csv", data)
		for _, l := range rows {
			if !l.Own || l.Key == "" || len(l.Names) == 0 || l.Source == "" {
				t.Fatalf("row %+v", l)
			}
			law.JudgeLimit(l, law.Situation{})
			l.Basis.Of(l.Names[0])
		}
		for _, f := range findings {
			if wordstest.Said(f).Message == "" || wordstest.Said(f).Fix == "" || f.Pos.Line < 1 {
				t.Fatalf("finding %+v", f)
			}
		}
		if len(rows) > 0 && len(rows) < 5 {
			law.LimitsOf(table.Builtin().WithLimits(rows), rows[0].Names[0], rows[0].CAS, rows[0].EC)
		}
	})
}

// rulingIn returns the rows in force in GB for a substance in a type of product.
func rulingIn(tables *table.Tables, inci string, day exact.Date, p *trade.ProductType) []*annex.Limit {
	var out []*annex.Limit
	for _, m := range law.LimitsOf(tables, inci, nil, nil) {
		if m.Limit.In(rows.GB, day) && law.JudgeLimit(m.Limit, law.SituationOf(p).Complete()).Verdict == law.Holds {
			out = append(out, m.Limit)
		}
	}
	return out
}
