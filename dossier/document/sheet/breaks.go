package sheet

// What a page of A4 holds between its margins, in points at full size, and the height of a
// row that has none of its own.
const (
	uprightHeight = 842 - 2*0.75*72
	acrossHeight  = 595 - 2*0.75*72
	rowHeight     = 15.0
)

// fewRows stand with the head of their table on one page.
const fewRows = 4

// breaks are the rows before which a page begins, so that no head stands at the foot of a
// page without rows and no table is parted that has room on the next page while most of
// this one is full. Where a long table goes over is set too: a program that has other letters
// than those measured would go over elsewhere, and leave the next head at the foot of a page.
func (s *xlsxSheet) breaks(across bool) (rows []int) {
	wide, high := uprightPage, float64(uprightHeight)
	if across {
		wide, high = acrossPage, acrossHeight
	}
	const sure = 0.95                                       // programs measure letters and rows a little differently
	room := sure * high * max(1, s.total(s.printed())/wide) // in points before scaling
	used, next := 0.0, 1
	take := func(to int) {
		for ; next < to; next++ {
			h := s.height(next)
			if used += h; used > room {
				used = titleHeight + h // the first row is printed on each page
				rows = append(rows, next)
			}
		}
	}
	for i, p := range s.tables {
		take(p.caption)
		if i == 0 || p.follows {
			continue
		}
		end := p.Rows[len(p.Rows)-1]
		if i+1 < len(s.tables) {
			end = max(end, s.tables[i+1].caption-2) // the lines below stand with it
		}
		head, whole := 0.0, 0.0
		for row := p.caption; row <= end; row++ {
			whole += s.height(row)
			if row <= p.Rows[min(fewRows, len(p.Rows))-1] {
				head = whole
			}
		}
		const most = 0.55 // of the page is printed before a table is taken to the next
		if used+head > room || used+whole > room && titleHeight+whole <= room && used > most*room {
			rows = append(rows, p.caption)
			used = titleHeight
		}
	}
	take(s.lastRow + 1)
	return rows
}

// height is that of a row in points.
func (s *xlsxSheet) height(row int) float64 {
	if h, own := s.rows.heights[row]; own {
		return h
	}
	return rowHeight
}
