package workshop

import "gallipot/ingredients/exact"

// Newest returns the latest day that a paper or an assessment of the workshop is
// dated, and where it stands; no date where nothing is dated. Both are of the
// past, so where a clock shows an earlier day, one of the two is wrong.
func (w *Workshop) Newest() (day exact.Date, pos exact.Pos) {
	see := func(d exact.Date, at exact.Pos) {
		if day.Before(d) {
			day, pos = d, at
		}
	}
	for _, id := range w.SheetIDs() {
		for _, d := range w.Sheets[id].Documents {
			see(d.Dated, d.Pos)
		}
	}
	for _, p := range w.Products {
		for _, a := range p.Assessments {
			see(a.Dated, a.Pos)
		}
	}
	return day, pos
}
