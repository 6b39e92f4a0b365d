package rows

import "strings"

// splitPlain reads every record of a table with the line it starts on, as encoding/csv
// does, without a copy of each cell. It leaves to it (ok is false) what is faulty or has a
// carriage return in the midst of a line.
func splitPlain(text string) (lines []int, records [][]string, ok bool) {
	if text = strings.ReplaceAll(text, "\r\n", "\n"); strings.IndexByte(text, '\r') >= 0 {
		return nil, nil, false
	}
	n := strings.Count(text, "\n") + 1
	lines, records = make([]int, 0, n), make([][]string, 0, n)
	cells := make([]string, 0, strings.Count(text, ",")+n)
	for line := 1; text != ""; {
		if text[0] == '\n' {
			text, line = text[1:], line+1
			continue
		}
		first, at := len(cells), line
		for more := true; more; {
			var cell string
			var breaks int
			if cell, text, breaks, ok = nextCell(text); !ok {
				return nil, nil, false
			}
			cells, line = append(cells, cell), line+breaks
			more = text != "" && text[0] == ','
			if more {
				text = text[1:]
			}
		}
		if text != "" { // a line break
			text, line = text[1:], line+1
		}
		lines, records = append(lines, at), append(records, cells[first:len(cells):len(cells)])
	}
	return lines, records, true
}

// nextCell reads one cell up to the comma, the line break or the end behind it. breaks are
// the line breaks inside.
func nextCell(text string) (cell, rest string, breaks int, ok bool) {
	if text == "" || text[0] != '"' {
		end, ok := 0, true
		for ; end < len(text) && text[end] != ',' && text[end] != '\n'; end++ {
			ok = ok && text[end] != '"'
		}
		return text[:end], text[end:], 0, ok
	}
	for from := 1; ; {
		end := strings.IndexByte(text[from:], '"')
		if end < 0 {
			return "", "", 0, false
		}
		end += from
		if end+1 < len(text) && text[end+1] == '"' {
			from = end + 2
			continue
		}
		cell, rest = text[1:end], text[end+1:]
		if strings.IndexByte(cell, '"') >= 0 {
			cell = strings.ReplaceAll(cell, `""`, `"`)
		}
		return cell, rest, strings.Count(text[1:end], "\n"), rest == "" || rest[0] == ',' || rest[0] == '\n'
	}
}
