package incoming

import (
	"slices"
	"strconv"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/transcribe/filing"
	"gallipot/dossier/transcribe/reading"
)

// material is one of several that a paper speaks of.
type material struct {
	N    int
	Name string
	Here bool // its values are shown
	Done bool // it is filed
}

// answered is what was said about a material that is not shown just now.
type answered struct {
	Sheet   string                   `json:"sheet,omitempty"`
	Answers map[string]filing.Answer `json:"answers,omitempty"`
}

// readings are what was read of each material of a paper, the first first.
func (s *seen) readings() []*reading.Reading {
	return append([]*reading.Reading{s.reading}, s.reading.More...)
}

// turnTo shows another material of the paper; what was answered about this one is kept.
func (n *notes) turnTo(i int) {
	if n.Others == nil {
		n.Others = map[string]answered{}
	}
	n.Others[strconv.Itoa(n.Material)] = answered{n.Sheet, n.Answers}
	next := n.Others[strconv.Itoa(i)]
	delete(n.Others, strconv.Itoa(i))
	n.Material, n.Sheet, n.Answers = i, next.Sheet, next.Answers
}

// filedFor is the file under which the paper is on record for a material: a paper of several
// is filed once for each.
func (w *waiting) filedFor(v *frame.Visit, f *filing.Filing) string {
	if len(w.reading.More) == 0 || f.Filed == "" {
		return f.Filed
	}
	sheet := v.Workshop().Sheets[f.Sheet]
	if sheet == nil {
		return ""
	}
	for _, d := range sheet.Documents {
		if d.File == f.Filed {
			return f.Filed
		}
	}
	return ""
}

// materials are those of a paper that speaks of several; none of a paper of one.
func (w *waiting) materials(v *frame.Visit) (list []material) {
	all := w.readings()
	if len(all) < 2 {
		return nil
	}
	for i, r := range all {
		m := material{N: i, Name: "material " + strconv.Itoa(i+1), Here: i == w.notes.Material}
		if n := r.Document.TradeName; n != nil && n.Value != "" {
			m.Name = n.Value
		}
		sheet := w.notes.Sheet
		if !m.Here {
			sheet = w.notes.Others[strconv.Itoa(i)].Sheet
		}
		f := w.filing
		if !m.Here {
			f = filing.Of(v.Workshop(), r.Clone(), w.Name, w.data, sheet)
		}
		m.Done = w.filedFor(v, f) != ""
		list = append(list, m)
	}
	return list
}

// open says whether a material of the paper is not filed yet.
func (w *waiting) open(v *frame.Visit) bool {
	if list := w.materials(v); list != nil {
		return slices.ContainsFunc(list, func(m material) bool { return !m.Done })
	}
	return w.filing.Filed == ""
}

// turn shows another material of a paper.
func (d *desk) turn(v *frame.Visit) error {
	w, err := d.of(v)
	if err != nil {
		return err
	}
	i, bad := strconv.Atoi(v.Field("material"))
	if bad != nil || i < 0 || i >= len(w.readings()) {
		return unknown()
	}
	if i != w.notes.Material {
		w.notes.turnTo(i)
	}
	if err := w.keep(v); err != nil {
		return err
	}
	return v.Go("/incoming/" + w.Key)
}
