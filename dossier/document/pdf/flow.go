package pdf

// piece is one thing in the flow of the document. need is the height that must
// be left on the page to begin it.
type piece struct {
	need  float64
	draw  func()
	keep  bool // stays with what follows: a heading
	fresh bool // begins a page
	lines int  // of a paragraph: a short one below a heading stays with what follows as well
}

// flow draws the pieces in turn. A heading is never left alone at the foot of a
// page: it needs its own height and what the next piece needs to begin.
func (w *Writer) flow(pieces []piece) {
	for i, p := range pieces {
		need := p.need
		for j := i; pieces[j].keep && j+1 < len(pieces) && !pieces[j+1].fresh; j++ {
			need += pieces[j+1].need
		}
		if p.fresh {
			w.broken = true
		}
		if p.draw == nil {
			continue
		}
		w.ensure(min(need, bodyBottom-bodyTop))
		p.draw()
	}
}
