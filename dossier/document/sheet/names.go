package sheet

import (
	"fmt"
	"strconv"
	"strings"

	"gallipot/dossier/words"
)

// sheetName makes a name that a workbook accepts and that is not taken yet.
func sheetName(name string, taken map[string]bool) string {
	name = strings.Map(func(r rune) rune {
		if strings.ContainsRune(`:\/?*[]`, r) {
			return '-'
		}
		return r
	}, words.Printable(name))
	name = strings.Trim(strings.TrimSpace(name), "'")
	if name == "" || strings.EqualFold(name, "History") { // a name that spreadsheet programs keep for themselves
		name += "_"
	}
	const most = 31
	for n := 1; ; n++ {
		tail := ""
		if n > 1 {
			tail = fmt.Sprintf(" (%d)", n)
		}
		rs := []rune(name)
		try := string(rs[:min(len(rs), most-len(tail))]) + tail
		if !taken[strings.ToLower(try)] {
			taken[strings.ToLower(try)] = true
			return try
		}
	}
}

// sheetRef writes a sheet's name as formulas and links want it.
func sheetRef(name string) string { return "'" + strings.ReplaceAll(name, "'", "''") + "'" }

// CellName names a cell by its place: "AB12".
func CellName(col, row int) string { return columnName(col) + strconv.Itoa(row) }

// appendCellName writes the name of a cell behind b.
func appendCellName(b []byte, col, row int) []byte {
	if col <= 26 {
		b = append(b, byte('A'+col-1))
	} else {
		b = append(b, columnName(col)...)
	}
	return strconv.AppendInt(b, int64(row), 10)
}

// columnName names a column by its number from 1: A to Z, then AA.
func columnName(col int) string {
	name := ""
	for ; col > 0; col = (col - 1) / 26 {
		name = string(rune('A'+(col-1)%26)) + name
	}
	return name
}

var rangeWords = [...]string{"min", "typical", "max"}
