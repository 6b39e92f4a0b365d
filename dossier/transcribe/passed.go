package transcribe

import (
	"regexp"
	"strconv"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/lexicon"
)

// passedOver lists every row with a CAS number that no value was read from, and asks
// where a declaration, a certificate or a composition gave no row at all. In a safety
// data sheet substances stand in many sections; there section 3 is read row by row.
func (s *reading) passedOver() {
	if s.is("sds") {
		return
	}
	seen, used := s.numbersRead(), s.placesRead()
	look := func(row *cells.Row, of []cells.Cell) {
		var parts []string
		for _, c := range of {
			parts = append(parts, c.Text)
		}
		cas, _, _, _ := numbers(strings.Join(parts, " "))
		for _, n := range cas {
			if !seen[n] {
				seen[n] = true
				s.pass(row.Place, row.Text())
				return
			}
		}
		if (s.hasFigures(of) || row.Quote == 0 && shareText.MatchString(row.Text())) && !used[s.rowKey(s.place(row.Place, cells.Cell{}))] && !s.usedCell(used, row, of) {
			s.pass(row.Place, row.Text())
		}
	}
	for _, it := range s.items {
		if it.Row != nil {
			look(it.Row, it.Row.Cells)
			continue
		}
		for i := range it.Table.Rows {
			look(&it.Table.Rows[i], it.Table.Rows[i].Cells)
		}
	}
	d := s.out.Document
	empty := map[string]bool{
		"allergen-declaration": s.out.Allergens == nil || len(s.out.Allergens.Rows) == 0,
		"ifra-certificate":     s.out.IFRA == nil || len(s.out.IFRA.Rows) == 0,
		"composition":          len(s.out.Composition) == 0,
	}
	if empty[d.Kind] && len(s.text) > 0 {
		s.ask("no-rows", Place{})
	}
}

// numbersRead are the CAS numbers of all that was read or listed.
func (s *reading) numbersRead() map[string]bool {
	out := map[string]bool{}
	add := func(list []string) {
		for _, n := range list {
			out[n] = true
		}
	}
	for _, c := range s.out.Composition {
		add(c.CAS)
	}
	if s.out.Allergens != nil {
		for _, a := range s.out.Allergens.Rows {
			add(a.CAS)
		}
	}
	for _, a := range s.older {
		add(a.CAS)
	}
	for _, p := range s.out.Impurities {
		out[p.CAS] = true
	}
	for _, p := range s.out.NotUnderstood {
		cas, _, _, _ := numbers(p.Text)
		add(cas)
	}
	for _, l := range s.labels { // the number of the whole material
		if l.key == "cas" || l.key == "casec" {
			cas, _, _, _ := numbers(l.value)
			add(cas)
		}
	}
	return out
}

// shareText is a share in running text.
var shareText = regexp.MustCompile(`\d ?(%|ppm\b|mg/kg\b)`)

// hasFigures says whether a row of several cells holds a content: a figure alone in a
// cell, beside others.
func (s *reading) hasFigures(of []cells.Cell) bool {
	filled, figures := 0, 0
	for _, c := range of {
		text := strings.TrimSpace(c.Text)
		if text == "" {
			continue
		}
		filled++
		if f, ok := s.fig.Parse(text, lexicon.Unit{}); ok && (f.Low != "" || f.High != "") {
			figures++
		}
	}
	return filled > 1 && figures > 0
}

func (s *reading) usedCell(used map[string]bool, row *cells.Row, of []cells.Cell) bool {
	for _, c := range of {
		if used[s.rowKey(s.place(row.Place, c))] {
			return true
		}
	}
	return false
}

// rowKey names the row of a place.
func (s *reading) rowKey(p Place) string {
	if p.Cell != "" {
		sheet, ref, _ := strings.Cut(p.Cell, "!")
		return sheet + "!" + strings.TrimLeft(ref, "ABCDEFGHIJKLMNOPQRSTUVWXYZ")
	}
	if p.Where != "" {
		return p.Where
	}
	return strconv.Itoa(p.Page) + ":" + strconv.Itoa(p.Line)
}

// placesRead are the rows of all that was read, asked about or listed.
func (s *reading) placesRead() map[string]bool {
	out := map[string]bool{}
	add := func(p Place) { out[s.rowKey(p)] = true }
	for _, c := range s.out.Composition {
		add(c.Place)
	}
	if s.out.Allergens != nil {
		for _, a := range s.out.Allergens.Rows {
			add(a.Place)
		}
	}
	for _, a := range s.older {
		add(a.Place)
	}
	if s.out.IFRA != nil {
		for _, l := range s.out.IFRA.Rows {
			add(l.Place)
		}
	}
	for _, p := range s.out.Impurities {
		add(p.Place)
	}
	for _, p := range s.out.Physical {
		add(p.Place)
	}
	for _, p := range s.out.NotUnderstood {
		add(p.Place)
	}
	for _, a := range append(append([]Ask{}, s.out.Asks...), s.out.Warnings...) {
		add(a.Place)
	}
	for _, l := range s.labels {
		add(l.place)
	}
	return out
}
