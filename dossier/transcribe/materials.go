package transcribe

import (
	"strings"

	"gallipot/dossier/transcribe/desk"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/transcribe/reading"
)

// Read reads a paper. It always answers: what cannot be read is said in the reading.
// Of several materials the reading is that of the first, with the others in it.
func (r *Reader) Read(f *paper.File) *reading.Reading {
	all := r.each(f)
	first := all[0]
	if first.More = all[1:]; len(first.More) > 0 {
		var names []string
		for _, one := range first.More {
			if n := one.Document.TradeName; n != nil {
				names = append(names, n.Value)
			}
		}
		first.Asks = append(first.Asks, reading.NewAsk("several-materials", reading.Place{},
			map[string]string{"text": strings.Join(names, ", ")}))
	}
	return first
}

// each reads a paper that may hold several materials one after the other, each under
// its own name: one reading for each. What stands above the first name belongs to all.
func (r *Reader) each(f *paper.File) []*reading.Reading {
	whole := r.open(f)
	starts := whole.Materials()
	if len(starts) < 2 {
		return []*reading.Reading{whole.read()}
	}
	var out []*reading.Reading
	for i := range starts {
		one := r.open(part(f, starts, i)).read()
		if one.Rows() == 0 {
			return []*reading.Reading{whole.read()} // the name of something else
		}
		out = append(out, one)
	}
	for _, one := range out {
		for _, other := range out {
			if one.Document.Supplier == nil && other.Document.Supplier != nil {
				one.Document.Supplier = other.Document.Supplier
				one.Drop("supplier-missing")
			}
			if one.Document.Issued == nil && other.Document.Issued != nil {
				one.Document.Issued = other.Document.Issued
				one.Drop("date-missing")
			}
		}
	}
	return out
}

// part is a paper with the lines of its nth material alone, and those above the first.
func part(f *paper.File, starts []desk.Label, n int) *paper.File {
	before := func(page, line int, l desk.Label) bool {
		at := l.Row.Place
		return page < at.Page || page == at.Page && line < at.Line
	}
	out := *f
	out.Pages = nil
	for _, p := range f.Pages {
		lines := p.Lines
		p.Lines = nil
		for _, l := range lines {
			switch {
			case before(p.Number, l.Number, starts[0]):
			case before(p.Number, l.Number, starts[n]):
				continue
			case n+1 < len(starts) && !before(p.Number, l.Number, starts[n+1]):
				continue
			}
			p.Lines = append(p.Lines, l)
		}
		if len(p.Lines) > 0 {
			out.Pages = append(out.Pages, p)
		}
	}
	return &out
}
