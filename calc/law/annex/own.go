package annex

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"maps"
	"slices"

	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// ReadOwn reads a maker's own limits: a CSV table with the columns of
// limits.csv, its annex cell "own" or the annex the row adds to. Rows come back
// marked Own.
//
// The table may lack columns: their cells are then empty. What such a column
// says was once read from the words of a row; where these words say it, it is
// taken over and asked about.
//
// Findings: stop "own-limits" for every fault, with file and line; faulty rows
// are left out and the finding is marked as unreadable. Ask "own-limits-note" for
// each row of which words were taken into columns.
func ReadOwn(fileName string, data []byte) ([]*Limit, []finding.Finding) {
	read := conditions{}
	asked := map[int]finding.Finding{} // by line: a row may be read twice
	tableRows, err := rows.ReadLacking(fileName, string(data), LimitColumns, laterColumns, func(r *rows.Record) *Limit {
		taken := fillFromWords(r)
		l := read.parseLimit(r, "own")
		if len(taken) > 0 {
			asked[l.Line] = ownWords(r, l, taken)
		}
		return l
	})
	var findings []finding.Finding
	if tableRows != nil { // else nothing can be said of any row
		for _, line := range slices.Sorted(maps.Keys(asked)) {
			findings = append(findings, asked[line])
		}
	}
	for _, e := range flatten(err) {
		findings = append(findings, ownFault(e))
	}
	sum := sha256.Sum256(data)
	first := map[string]int{}
	kept := tableRows[:0]
	for _, l := range tableRows {
		if line, twice := first[l.Key]; twice {
			findings = append(findings, ownFault(&rows.TableError{
				File: fileName, Line: l.Line, What: fmt.Sprintf("key %q stands in line %d too", l.Key,
					line), Fix: "give each row a key of its own",
			}))
			continue
		}
		first[l.Key] = l.Line
		l.Own, l.Table = true, hex.EncodeToString(sum[:])
		kept = append(kept, l)
	}
	return kept, findings
}

// ownWords asks about a row whose words were taken into columns.
func ownWords(r *rows.Record, l *Limit, taken []string) finding.Finding {
	pos := exact.Pos{File: l.File, Line: l.Line}
	pos.Col, pos.Len = r.At("note") // a column that no table lacks
	var cells finding.Values
	for _, col := range taken {
		cells = cells.Term("", "read-as", finding.With().Name("column", col).Quote("value", clipped(r.Filled[col])))
	}
	return finding.NewFinding(finding.Ask, "own-limits-note", pos,
		finding.With().Name("row", l.Key).Those("cells", cells).Names("columns", taken)).On(l.File).
		By(finding.TheMaker)
}

func flatten(err error) []*rows.TableError {
	var one *rows.TableError
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		var out []*rows.TableError
		for _, e := range many.Unwrap() {
			out = append(out, flatten(e)...)
		}
		return out
	}
	if errors.As(err, &one) {
		return []*rows.TableError{one}
	}
	return nil
}

func ownFault(e *rows.TableError) finding.Finding {
	f := finding.NewFinding(finding.Stop, "own-limits", exact.Pos{File: e.File, Line: e.Line, Col: max(e.Col, 1),
		Len: e.Len},
		finding.With().Quote("fault", clipped(e.What)).Quote("fix", e.Fix)).On(e.File).By(finding.TheMaker)
	f.Unread = true
	return f
}

// clipped shortens a message that holds a cell of any length.
func clipped(what string) string {
	const most = 300
	if r := []rune(what); len(r) > most {
		return string(r[:most]) + "…"
	}
	return what
}
