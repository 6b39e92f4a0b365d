package law

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/ingredients"
)

// ownTable is a maker's table with two rows, the second more cautious than the
// law (an invented house rule).
const ownTable = `key,annex,entry,market,inci_names,cas,ec,condition,max_pct,basis,sum_group,sum_rule,required_label_text,colorant_field,applies_from,applies_until,source,seen,note
house-1,own,1,EU+GB,Exemplum Novum,,,leave-on,0.2,,,,,,,,"letter of the assessor, invented",seen,
house-2,own,2,GB,Phenoxyethanol,122-99-6,204-589-7,population=under-3,0.4,,,,,,2026-01-01,,"house rule, invented",seen,babies
`

func TestReadLimits(t *testing.T) {
	rows, findings := ReadLimits("limits/house.csv", []byte(ownTable))
	require.Empty(t, findings)
	require.Len(t, rows, 2)
	for _, l := range rows {
		require.True(t, l.Own)
		require.Equal(t, "limits/house.csv", l.File)
	}
	require.Equal(t, 2, rows[0].Line)

	base := Builtin()
	tables := base.WithLimits(rows)
	require.Len(t, base.Limits(), 1242, "the tables without own rows stay as they are")
	date := day(t, "2026-11-25")
	lotion, _ := tables.ProductType("body-lotion")
	rules, listed := tables.Rules("Exemplum Novum", nil, nil, GB, date, SituationOf(lotion))
	require.True(t, listed)
	require.Len(t, rules, 1)
	require.Equal(t, "0.2", rules[0].Limit.MaxPct.Exact())
	_, listed = base.Rules("Exemplum Novum", nil, nil, GB, date, SituationOf(lotion))
	require.False(t, listed)

	baby, _ := tables.ProductType("baby-lotion")
	rules, _ = tables.Rules("Phenoxyethanol", nil, nil, GB, date, SituationOf(baby))
	require.Len(t, rules, 2, "the law and the house rule both hold")
	require.False(t, rules[0].Limit.Own, "the law first")
	require.True(t, rules[1].Limit.Own)
	require.False(t, tables.IsPreservative("Exemplum Novum", "", GB, date))

	v := tables.Version()
	require.Len(t, v, len(base.Version())+1)
	i := slices.IndexFunc(v, func(i TableInfo) bool { return i.Name == "limits/house.csv" })
	require.Equal(t, 2, v[i].Rows)
	require.Len(t, v[i].SHA256, 64)
	require.Same(t, base, base.WithLimits(nil))
}

func TestReadLimitsFindings(t *testing.T) {
	bad := strings.Replace(ownTable, "leave-on", "leave_on", 1) + strings.Replace(strings.SplitN(ownTable, "\n", 3)[2], "122-99-6", "122-99-7", 1)
	rows, findings := ReadLimits("limits/house.csv", []byte(bad))
	require.Len(t, rows, 1, "the faultless row is kept")
	require.Len(t, findings, 2)
	for i, want := range []struct {
		line, col, length int
		text              string
	}{{2, 38, 8, `condition: unknown condition "leave_on": did you mean leave-on?`}, {4, 1, 0, "cas: CAS number 122-99-7 has check digit 7"}} {
		f := findings[i]
		require.Equal(t, "own-limits", f.Code)
		require.Equal(t, ingredients.Stop, f.Severity)
		require.True(t, f.Unread)
		require.Equal(t, ingredients.Pos{File: "limits/house.csv", Line: want.line, Col: want.col, Len: want.length}, f.Pos)
		require.Contains(t, said(f).Message+": "+said(f).Fix, want.text)
		require.NotEmpty(t, said(f).Fix)
	}

	twice := ownTable + strings.SplitN(ownTable, "\n", 3)[2]
	rows, findings = ReadLimits("limits/house.csv", []byte(twice))
	require.Len(t, rows, 2)
	require.Len(t, findings, 1)
	require.Contains(t, said(findings[0]).Message, `key "house-2" stands in line 3 too`)

	rows, findings = ReadLimits("limits/empty.csv", nil)
	require.Empty(t, rows)
	require.Len(t, findings, 1)

	// the law itself knows no annex "own"
	_, err := readLacking("limits.csv", []byte(ownTable), limitColumns, laterColumns, func(r *record) *Limit { return parseLimitIn(r) })
	require.ErrorContains(t, err, `limits.csv:2: annex: "own" is none of`)
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
	if data, err := embedded.ReadFile("data/limits.csv"); err == nil {
		lines := strings.SplitAfter(string(data), "\n")
		f.Add([]byte(strings.Join(append(lines[:1:1], lines[470:500]...), "")))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		rows, findings := ReadLimits("limits/fuzz.csv", data)
		for _, l := range rows {
			if !l.Own || l.Key == "" || len(l.Names) == 0 || l.Source == "" {
				t.Fatalf("row %+v", l)
			}
			l.Judge(Situation{})
			l.Basis.Of(l.Names[0])
		}
		for _, f := range findings {
			if said(f).Message == "" || said(f).Fix == "" || f.Pos.Line < 1 {
				t.Fatalf("finding %+v", f)
			}
		}
		if len(rows) > 0 && len(rows) < 5 {
			Builtin().WithLimits(rows).LimitsOf(rows[0].Names[0], rows[0].CAS, rows[0].EC)
		}
	})
}
