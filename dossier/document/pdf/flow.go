package pdf

// piece is one thing in the flow of the document. need is the height that must
// be left on the page to begin it.
type piece struct {
	need  float64
	whole float64 // height of a table that is not split where that leaves no page a third empty
	draw  func()
	keep  bool // stays with what follows: a heading
	fresh bool // begins a page
	lines int  // of a paragraph: a short one below a heading stays with what follows as well
}

// flow draws the pieces in turn. A heading is never left alone at the foot of a
// page: it needs its own height and what the next piece needs to begin.
func (w *Writer) flow(pieces []piece) {
	settled := -1 // up to this piece a heading has made sure that it follows on its page
	for i, p := range pieces {
		need, j := p.need, i
		for ; pieces[j].keep && j+1 < len(pieces) && !pieces[j+1].fresh; j++ {
			need += pieces[j+1].need
		}
		if all := need - pieces[j].need + pieces[j].whole; i > settled && pieces[j].whole > 0 &&
			w.room() <= (w.bottom-bodyTop)*mostEmpty && all <= w.bottom-bodyTop {
			need = max(need, all)
		}
		if j > i {
			settled = j
		}
		if p.fresh {
			w.broken = true
		}
		if p.draw == nil {
			continue
		}
		w.ensure(min(need, w.bottom-bodyTop))
		p.draw()
	}
}

// mostEmpty is the share of a page that may stay empty so that a table is not split.
const mostEmpty = 0.3
