package annex

import (
	"crypto/sha256"
	"encoding/hex"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// ownTable is a maker's table with two rows, the second more cautious than the
// law (an invented house rule).
const ownTable = `key,annex,entry,market,inci_names,cas,ec,condition,max_pct,basis,sum_group,sum_rule,required_label_text,colorant_field,applies_from,applies_until,source,seen,note
house-1,own,1,EU+GB,Exemplum Novum,,,leave-on,0.2,,,,,,,,"letter of the assessor, invented",seen,
house-2,own,2,GB,Phenoxyethanol,122-99-6,204-589-7,population=under-3,0.4,,,,,,2026-01-01,,"house rule, invented",seen,babies
`

func TestReadLimitsFindings(t *testing.T) {
	bad := strings.Replace(ownTable, "leave-on", "leave_on",
		1) + strings.Replace(strings.SplitN(ownTable, "\n", 3)[2], "122-99-6", "122-99-7", 1)
	tableRows, findings := ReadOwn("limits/house.csv", []byte(bad))
	require.Len(t, tableRows, 1, "the faultless row is kept")
	require.Len(t, findings, 2)
	for i, want := range []struct {
		line, col, length int
		text              string
	}{{2, 38, 8, `condition: unknown condition "leave_on": did you mean leave-on?`},
		{4, 1, 0, "cas: CAS number 122-99-7 has check digit 7"}} {
		f := findings[i]
		require.Equal(t, "own-limits", f.Code)
		require.Equal(t, finding.Stop, f.Severity)
		require.True(t, f.Unread)
		require.Equal(t, exact.Pos{File: "limits/house.csv", Line: want.line, Col: want.col, Len: want.length}, f.Pos)
		require.Contains(t, wordstest.Said(f).Message+": "+wordstest.Said(f).Fix, want.text)
		require.NotEmpty(t, wordstest.Said(f).Fix)
	}

	// a fault that stands in two rows is told of both
	wrong := strings.Replace(strings.SplitN(ownTable, "\n", 3)[1], "leave-on", "leave_on", 1) + "\n"
	_, findings = ReadOwn("limits/house.csv", []byte(ownTable+strings.Replace(wrong, "house-1", "house-3", 1)+
		strings.Replace(wrong, "house-1", "house-4", 1)))
	require.Len(t, findings, 2)
	for i, line := range []int{4, 5} {
		require.Equal(t, line, findings[i].Pos.Line)
		require.Contains(t, wordstest.Said(findings[i]).Message, "leave_on")
	}

	twice := ownTable + strings.SplitN(ownTable, "\n", 3)[2]
	tableRows, findings = ReadOwn("limits/house.csv", []byte(twice))
	require.Len(t, tableRows, 2)
	require.Len(t, findings, 1)
	require.Contains(t, wordstest.Said(findings[0]).Message, `key "house-2" stands in line 3 too`)

	tableRows, findings = ReadOwn("limits/empty.csv", nil)
	require.Empty(t, tableRows)
	require.Len(t, findings, 1)

	// the law itself knows no annex "own"
	_, err := rows.ReadLacking("limits.csv", ownTable, LimitColumns, laterColumns,
		func(r *rows.Record) *Limit { return conditions{}.parseLimit(r) })
	require.ErrorContains(t, err, `limits.csv:2: annex: "own" is none of`)
}

// A maker's rows are marked as such, with the hash of their table, and what is read from a
// note is asked about at the note.
func TestMarksOfOwnRows(t *testing.T) {
	data := []byte(strings.Replace(ownTable, "seen,babies", "seen,Only powder.", 1))
	tableRows, findings := ReadOwn("limits/house.csv", data)
	require.Len(t, tableRows, 2)
	sum := sha256.Sum256(data)
	for _, l := range tableRows {
		require.True(t, l.Own)
		require.Equal(t, hex.EncodeToString(sum[:]), l.Table)
	}
	require.Len(t, findings, 1)
	line := strings.Split(string(data), "\n")[2]
	require.Equal(t, exact.Pos{File: "limits/house.csv", Line: 3, Col: strings.Index(line, "Only powder.") + 1, Len: 12},
		findings[0].Pos)
	said := wordstest.Said(findings[0])
	require.Contains(t, said.Message+said.Why, "powder")
	// a table that lacks the column of notes has no place for one
	_, findings = ReadOwn("limits/house.csv", []byte("key,annex\nh,own\n"))
	require.Len(t, findings, 1)

	long := strings.Repeat("é", 300)
	require.Equal(t, long, clipped(long))
	require.Equal(t, long+"…", clipped(long+"x"))
}
