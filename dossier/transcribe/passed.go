package transcribe

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
)

// passedOver lists every row with a CAS number that no value was read from, and asks
// where a declaration, a certificate or a composition gave no row at all. In a safety
// data sheet substances stand in many sections; there section 3 is read row by row.
func (s *reading) passedOver() {
	if s.is("sds") {
		return
	}
	seen := s.numbersRead()
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
	for _, l := range s.allLabels() { // the number of the whole material
		if l.key == "cas" || l.key == "casec" {
			cas, _, _, _ := numbers(l.value)
			add(cas)
		}
	}
	return out
}
