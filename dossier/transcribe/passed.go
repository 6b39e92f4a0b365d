package transcribe

import (
	"strconv"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
	"gallipot/ingredients/pattern"
)

// passedOver lists every row with a CAS number that no value was read from, and asks
// where a declaration, a certificate or a composition gave no row at all. In a safety
// data sheet substances stand in many sections; there section 3 is read row by row.
func (s *walk) passedOver() {
	if s.Is("sds") {
		return
	}
	seen, used := s.numbersRead(), s.placesRead()
	look := func(row *cells.Row, of []cells.Cell) {
		if len(of) > 0 && s.IsTotal(pieces.OneLine(row.Cells[0].Text)) {
			return // a sum is a check, and no constituent
		}
		var parts []string
		for _, c := range of {
			parts = append(parts, c.Text)
		}
		cas, _, _, _ := pieces.Numbers(strings.Join(parts, " "))
		for _, n := range cas {
			if !seen[n] {
				seen[n] = true
				s.Pass(row.Place, row.Text())
				return
			}
		}
		if (s.hasFigures(of) || row.Quote == 0 && shareText.MatchString(row.Text())) &&
			!used[s.rowKey(s.Place(row.Place, cells.Cell{}))] && !s.usedCell(used, row, of) {
			s.Pass(row.Place, row.Text())
		}
	}
	for _, it := range s.Items {
		if it.Row != nil {
			if !s.Legends[it.Row] {
				look(it.Row, it.Row.Cells)
			}
			continue
		}
		for i := range it.Table.Rows {
			look(&it.Table.Rows[i], it.Table.Rows[i].Cells)
		}
	}
	d := s.Out.Document
	empty := map[string]bool{
		"allergen-declaration": s.Out.Allergens == nil || len(s.Out.Allergens.Rows) == 0,
		"ifra-certificate":     s.Out.IFRA == nil || len(s.Out.IFRA.Rows) == 0,
		"composition":          len(s.Out.Composition) == 0,
	}
	if empty[d.Kind] && len(s.Texts) > 0 {
		s.Ask("no-rows", reading.Place{})
	}
}

// numbersRead are the CAS numbers of all that was read or listed.
func (s *walk) numbersRead() map[string]bool {
	out := map[string]bool{}
	add := func(list []string) {
		for _, n := range list {
			out[n] = true
		}
	}
	for _, c := range s.Out.Composition {
		add(c.CAS)
	}
	if s.Out.Allergens != nil {
		for _, a := range s.Out.Allergens.Rows {
			add(a.CAS)
		}
	}
	for _, a := range s.older {
		add(a.CAS)
	}
	for _, p := range s.Out.Impurities {
		out[p.CAS] = true
	}
	for _, p := range s.Out.NotUnderstood {
		cas, _, _, _ := pieces.Numbers(p.Text)
		add(cas)
	}
	for _, l := range s.Labels { // the number of the whole material
		if l.Key == "cas" || l.Key == "casec" {
			cas, _, _, _ := pieces.Numbers(l.Value)
			add(cas)
		}
	}
	return out
}

// shareText is a share in running text.
var shareText = pattern.New(`\d ?(%|ppm\b|mg/kg\b)`)

// hasFigures says whether a row of several cells holds a content: a figure alone in a
// cell, beside others.
func (s *walk) hasFigures(of []cells.Cell) bool {
	filled, figures := 0, 0
	for _, c := range of {
		text := strings.TrimSpace(c.Text)
		if text == "" {
			continue
		}
		filled++
		if !strings.ContainsAny(text, "0123456789") {
			continue
		}
		if f, ok := s.Figures.Parse(text, lexicon.Unit{}); ok && (f.Low != "" || f.High != "") {
			figures++
		}
	}
	return filled > 1 && figures > 0
}

func (s *walk) usedCell(used map[string]bool, row *cells.Row, of []cells.Cell) bool {
	for _, c := range of {
		if used[s.rowKey(s.Place(row.Place, c))] {
			return true
		}
	}
	return false
}

// rowKey names the row of a place.
func (s *walk) rowKey(p reading.Place) string {
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
func (s *walk) placesRead() map[string]bool {
	out := map[string]bool{}
	add := func(p reading.Place) { out[s.rowKey(p)] = true }
	for _, c := range s.Out.Composition {
		add(c.Place)
	}
	if s.Out.Allergens != nil {
		for _, a := range s.Out.Allergens.Rows {
			add(a.Place)
		}
	}
	for _, a := range s.older {
		add(a.Place)
	}
	if s.Out.IFRA != nil {
		for _, l := range s.Out.IFRA.Rows {
			add(l.Place)
		}
	}
	for _, p := range s.Out.Impurities {
		add(p.Place)
	}
	for _, p := range s.Out.Physical {
		add(p.Place)
	}
	for _, p := range s.Out.NotUnderstood {
		add(p.Place)
	}
	for _, a := range append(append([]reading.Ask{}, s.Out.Asks...), s.Out.Warnings...) {
		add(a.Place)
	}
	for _, l := range s.Labels {
		if l.Sign { // a word of a sentence reads nothing
			add(l.Place)
		}
	}
	return out
}
