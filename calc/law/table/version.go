package table

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"sync"

	"gallipot/calc/law/rows"
	"gallipot/ingredients/pattern"
)

var (
	sourceDate = pattern.New(`\b(?:19\d\d|20[0-4]\d)(?:-\d\d-\d\d)?\b`)
	// recordID is the number of a record in a data set, which may look like a year.
	recordID = pattern.New(`\bID \d+`)
)

// tablesState is the row that says of which day the tables are; it means nothing
// for any product.
const tablesState = "tables-state"

func (i *TableInfo) count(r *rows.Row) {
	i.Rows++
	i.Meaning = "" // of fewer rows
	if r.Key != tablesState {
		i.rows = append(i.rows, r)
	}
	if r.FromMemory() {
		i.Memory++
	} else {
		i.Seen++
	}
}

// newest settles Newest from the sources of a table's rows.
func (i *TableInfo) newest(rows []*rows.Row) {
	for _, r := range rows {
		for _, text := range sourceDate.FindAllString(recordID.ReplaceAllString(r.Source, ""), -1) {
			if i.Newest < text {
				i.Newest, i.NewestSource = text, r.Source
			}
		}
	}
}

// sum settles what the rows mean.
func (i *TableInfo) sum() {
	if i.Meaning != "" {
		return // worked out before
	}
	tableRows := rows.Meanings(i.rows)
	slices.SortFunc(tableRows, func(a, b rows.Digest) int { return bytes.Compare(a[:], b[:]) })
	h := sha256.New()
	for _, d := range tableRows {
		h.Write(d[:])
	}
	i.Meaning = hex.EncodeToString(h.Sum(nil))
}

// Version returns what each table holds, sorted by name; the fingerprint and
// the last page of the pack rest on it.
func (t *Tables) Version() []TableInfo { return slices.Clone(t.versions()) }

func (t *Tables) sumUp() []TableInfo {
	out := slices.Clone(t.meanings())
	for i := range out {
		if out[i].SHA256 == "" {
			whole := sha256.Sum256([]byte(out[i].text))
			out[i].SHA256 = hex.EncodeToString(whole[:])
		}
		tableRows := t.rows[out[i].Name]
		if out[i].late != nil { // not counted yet
			meaning := out[i].Meaning
			tableRows = out[i].late()
			for _, r := range tableRows {
				out[i].count(r)
			}
			out[i].Meaning, out[i].late = meaning, nil
		}
		out[i].newest(tableRows)
	}
	return out
}

// Meanings returns name and Meaning of each table, sorted by name, and nothing else of it:
// fingerprints wait for no more.
func (t *Tables) Meanings() []TableInfo {
	out := slices.Clone(t.meanings())
	for i := range out {
		out[i] = TableInfo{Name: out[i].Name, Meaning: out[i].Meaning}
	}
	return out
}

// sumMeanings settles the meaning of every table, side by side.
func (t *Tables) sumMeanings() []TableInfo {
	out := slices.Clone(t.info)
	var all sync.WaitGroup
	for i := range out {
		all.Go(out[i].sum)
	}
	all.Wait()
	slices.SortFunc(out, func(a, b TableInfo) int { return cmp.Compare(a.Name, b.Name) })
	return out
}
