package sheet

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/dossier/document"
)

// An upright page of A4 holds 842 points less two margins of 0.75 inches, 734 points, and 95
// of a hundred of them are filled: 46 rows of 15 points.
func TestBreaks(t *testing.T) {
	sheetOf := func(rows ...int) *xlsxSheet {
		s := &xlsxSheet{widths: []float64{50}}
		at := firstTableRow
		for _, n := range rows {
			p := &XLSXTable{T: &document.Table{}, Sheet: s, caption: at, head: at + 1}
			at += 2
			for range n {
				p.Rows = append(p.Rows, at)
				at++
			}
			at += 2
			s.tables = append(s.tables, p)
		}
		s.lastRow = at - 3
		return s
	}
	for name, c := range map[string]struct {
		rows []int
		want []int
	}{
		"all of it on one page":                          {[]int{5, 5}, nil},
		"a head that would stand alone":                  {[]int{36, 20}, []int{45}},     // rows 5 to 42, then 45 and 46
		"a table whole on the next, most of this filled": {[]int{30, 20}, []int{39}},     // from row 39 it needs 22
		"most of this page would stay empty":             {[]int{10, 40}, []int{47}},     // parted behind row 46
		"a table longer than a page goes over":           {[]int{10, 90}, []int{47, 92}}, // 22 points and 45 rows a page
		"counted anew behind a break":                    {[]int{30, 24, 30}, []int{39, 67}},
	} {
		t.Run(name, func(t *testing.T) { assert.Equal(t, c.want, sheetOf(c.rows...).breaks(false)) })
	}
}
