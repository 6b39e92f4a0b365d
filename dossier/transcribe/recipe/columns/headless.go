package columns

import (
	"gallipot/dossier/transcribe/recipe/raw"
	"gallipot/dossier/transcribe/recipe/terms"
)

// kinds counts what stands in each column of rows without a head.
type kinds struct {
	figures, texts, phases map[int]int
	rows, widest, start    int // rows with a figure and a text; the last column; the first such row
}

// count looks at what stands in each column.
func (d *Finder) count(rows []raw.Row) kinds {
	k := kinds{figures: map[int]int{}, texts: map[int]int{}, phases: map[int]int{}, start: -1}
	for i, r := range rows {
		any := false
		for _, c := range r.Filled() {
			a, ok := d.Amount(c)
			switch {
			case ok && !a.None:
				k.figures[c.Col]++
				any = true
			case terms.IsLetter(c.Text):
				k.phases[c.Col]++
			default:
				k.texts[c.Col]++
			}
			k.widest = max(k.widest, c.Col)
		}
		if any && len(r.Filled()) > 1 {
			k.rows++
			if k.start < 0 {
				k.start = i
			}
		}
	}
	return k
}

// headless gives roles to the columns of rows that have no head: a column of
// figures, and the text before it.
func (d *Finder) headless(s raw.Sheet, rows []raw.Row) *Table {
	k := d.count(rows)
	figures, texts, phases, n, widest, start := k.figures, k.texts, k.phases, k.rows, k.widest, k.start
	if n < 2 {
		return nil
	}
	t := &Table{Sheet: s.Name, hidden: s.Hidden}
	name, amount := -1, -1
	for c := 0; c <= widest; c++ {
		if name < 0 && texts[c] >= n/2 && texts[c] > figures[c] {
			name = c
		}
		if amount < 0 && figures[c]*2 >= n && figures[c] > texts[c] {
			amount = c
		}
	}
	if name < 0 || amount < 0 {
		return nil
	}
	for c := 0; c <= widest; c++ {
		k := Column{Col: c}
		switch {
		case c == name:
			k.Role = IsName
		case c == amount:
			k.Role = IsAmount
		case phases[c] > 0 && phases[c] >= texts[c] && phases[c] >= figures[c] && c < name:
			k.Role = IsPhase
		case figures[c] > texts[c]:
			k.Role = IsAmount
		case texts[c] > 0:
			k.Role = IsNote
		default:
			continue
		}
		t.Cols = append(t.Cols, k)
	}
	for start > 0 && !rows[start].Gap && len(rows[start-1].Filled()) == 1 {
		if _, ok := d.PhaseOf(rows[start-1].Filled()[0].Text); !ok {
			break
		}
		start--
	}
	t.Above, t.Body = rows[:start], rows[start:]
	return t
}
