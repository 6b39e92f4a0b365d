package sections_test

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/dossier/sections"
)

// What the pages say of Annex II is what the tables hold: no number is left out up to the
// last. Source: for the EU Regulation (EC) 1223/2009, consolidated 2026-05-01, with
// Regulation (EU) 2026/909, entry 1766; for GB the annex as retained, up to 1644, before SI
// 2022/659 regulation 3(2) gave it an entry 1645 of its own.
func TestProhibitedHeld(t *testing.T) {
	assert.Contains(t, sections.ProhibitedHeld, "whole for each market")
	assert.NotContains(t, sections.ProhibitedHeld, "do not hold")
	missing := map[rows.Market][]int{}
	for m, last := range map[rows.Market]int{rows.EU: 1766, rows.GB: 1644} {
		held := map[string]bool{}
		for _, p := range table.Builtin().Prohibitions() {
			held[p.Entry] = held[p.Entry] || p.For(m)
		}
		for n := 1; n <= last; n++ {
			if !held[strconv.Itoa(n)] {
				missing[m] = append(missing[m], n)
			}
		}
	}
	assert.Empty(t, missing)
}
