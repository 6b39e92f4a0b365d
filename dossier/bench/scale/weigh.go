package scale

import (
	"fmt"
	"net/url"
	"strconv"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/masses"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit"
	"gallipot/dossier/edit/history"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// station is the page of one line.
type station struct {
	Code, Product, Variant, Size string
	N, Of                        int
	Index                        int
	Phase, Name, Supplier        string
	Cautions                     []string
	Target, Low, High            string
	Lot, Until, Grams, Reason    string
	Second                       part // of a line from two lots; Lot, Until and Grams are the first
	Lots                         []lot
	Next                         string
	Prev                         int
	Steps                        []progress
	Base                         string
	Wrong, Over                  string
	Elsewhere                    bool
	Done                         bool
}

// part is what a line takes of its second lot.
type part struct{ Lot, Until, Grams string }

// Used says whether anything of a second lot was entered.
func (p part) Used() bool { return p.Lot+p.Grams != "" }

// progress is how far a phase is weighed.
type progress struct {
	Phase       string
	Done, Of    int
	Here        bool
	Width, Fill int // of 100
}

// show is one line at a time: the first that is not weighed, or the one asked for.
func (d *desk) show(v *frame.Visit) error {
	b, form, err := of(v)
	if err != nil {
		return err
	}
	s, err := stationOf(v, b, form, lineAsked(v, b))
	if err != nil {
		return err
	}
	s.Elsewhere = !d.mine(v, b.Code, false)
	return v.Show(frame.Page{Title: b.Code, Place: "batches", Plain: true, Template: "station", Data: s})
}

// lineAsked is the line of the address, else the first without a mass, else behind the last.
func lineAsked(v *frame.Visit, b *workshop.Batch) int {
	if i, err := strconv.Atoi(v.Field("line")); err == nil && i >= 0 && i < len(b.Lines) {
		return i
	}
	for i, l := range b.Lines {
		if l.WeighedG == nil {
			return i
		}
	}
	return len(b.Lines)
}

func stationOf(v *frame.Visit, b *workshop.Batch, form frame.Form, i int) (*station, error) {
	f, err := v.OpenFile(form)
	if err != nil {
		return nil, err
	}
	w := v.Workshop()
	names := frame.NamesOf(w)
	s := &station{Code: b.Code, Product: b.Product, Variant: b.Variant, Of: len(b.Lines), N: i + 1, Index: i,
		Base: f.Hash, Prev: i - 1}
	if p := w.Product(b.Product); p != nil {
		s.Product = p.Name
		for _, x := range p.Variants {
			if x.ID == b.Variant && x.ID != "" {
				s.Variant = frame.VariantShort(p, x)
			}
		}
	}
	if b.BatchG != nil {
		s.Size = b.BatchG.Decimal() + " g"
	}
	s.Steps = progressOf(b, i)
	if i >= len(b.Lines) {
		s.Done = true
		return s, nil
	}
	l := b.Lines[i]
	s.Name, s.Phase = names.Name(l.Ingredient), l.Phase
	switch {
	case l.Portion != "":
		s.Phase += ", " + l.Portion
	case l.Added:
		s.Phase = "after the base"
	}
	if sheet := w.Sheets[l.Ingredient]; sheet != nil {
		s.Supplier = strings.TrimSpace(sheet.Supplier.Name + " " + sheet.Supplier.Code)
		s.Cautions = sheet.Handling
	}
	s.Lots = lots(w, l.Ingredient, b.Date)
	at := edit.Path{"lines"}.At(i)
	s.Lot, _ = f.Text(at.Then("lot"))
	s.Until, _ = f.Text(at.Then("best_before"))
	s.Grams, _ = f.Text(at.Then("weighed_g"))
	s.Reason, _ = f.Text(at.Then("reason"))
	if lots := at.Then("lots"); f.Len(lots) == 2 {
		read := func(n int) (p part) {
			p.Lot, _ = f.Text(lots.At(n).Then("lot"))
			p.Until, _ = f.Text(lots.At(n).Then("best_before"))
			p.Grams, _ = f.Text(lots.At(n).Then("g"))
			return p
		}
		first := read(0)
		s.Lot, s.Until, s.Grams, s.Second = first.Lot, first.Until, first.Grams, read(1)
	}
	if l.PlannedG != nil {
		allowed := allowedG(v, b, i)
		s.Target = l.PlannedG.Decimal()
		step := division(b) // what the scale can show inside the tolerance
		s.Low = masses.RoundUpToStep(l.PlannedG.Sub(allowed), step).Decimal()
		s.High = l.PlannedG.Add(allowed).Quo(step).Floor().Mul(step).Decimal()
	}
	if i+1 < len(b.Lines) {
		s.Next = "Next: " + names.Name(b.Lines[i+1].Ingredient)
		if g := b.Lines[i+1].PlannedG; g != nil {
			s.Next += ", " + g.Decimal() + " g"
		}
	} else {
		s.Next = "Last line weighed"
	}
	return s, nil
}

// allowedG is how far a line may be off its plan, either way.
func allowedG(v *frame.Visit, b *workshop.Batch, i int) exact.Num {
	l := b.Lines[i]
	division := division(b)
	made := []masses.MadeLine{{Ingredient: l.Ingredient, Phase: l.Phase, Portion: l.Portion, Added: l.Added,
		PlannedG: l.PlannedG, G: *l.PlannedG}}
	tables := v.Shot.Options.Law
	materials := formula.PrepareAll(v.Workshop().Sheets, tables.Dictionary())
	for _, d := range masses.Deviations(made, materials, division, tables) {
		return d.AllowedG
	}
	return division
}

// division is the smallest step of the balance that the batch is weighed on.
func division(b *workshop.Batch) exact.Num {
	if b.DivisionG != nil {
		return *b.DivisionG
	}
	return exact.Frac(1, 10)
}

func progressOf(b *workshop.Batch, here int) []progress {
	var list []progress
	for i, l := range b.Lines {
		phase := l.Phase
		if l.Added {
			phase = "+"
		}
		if n := len(list); n == 0 || list[n-1].Phase != phase {
			list = append(list, progress{Phase: phase})
		}
		p := &list[len(list)-1]
		p.Of++
		if l.WeighedG != nil {
			p.Done++
		}
		p.Here = p.Here || i == here
	}
	for i := range list {
		list[i].Width = 100 * list[i].Of / max(len(b.Lines), 1)
		list[i].Fill = 100 * list[i].Done / list[i].Of
	}
	return list
}

// weigh saves one line and goes to the next.
func (d *desk) weigh(v *frame.Visit) error {
	b, form, err := of(v)
	if err != nil {
		return err
	}
	i, err := strconv.Atoi(v.Field("index"))
	if err != nil || i < 0 || i >= len(b.Lines) {
		return frame.Wrong("That line is not there.", "Load the page anew.")
	}
	if !d.mine(v, b.Code, true) {
		return v.Go("/scale/" + url.PathEscape(b.Code))
	}
	f, err := v.Base(form)
	if err != nil {
		return err
	}
	s, err := stationOf(v, b, form, i)
	if err != nil {
		return err
	}
	s.Lot, s.Until, s.Grams, s.Reason = v.Field("lot"), v.Field("until"), strings.ReplaceAll(v.Field("grams"),
		",", "."), v.Field("reason")
	s.Second = part{v.Field("lot2"), v.Field("until2"), strings.ReplaceAll(v.Field("grams2"), ",", ".")}
	edits, wrong, over := judge(v, b, i, s, f)
	if wrong != "" || over != "" {
		s.Wrong, s.Over = wrong, over
		return v.Show(frame.Page{Title: b.Code, Place: "batches", Plain: true, Template: "station", Data: s})
	}
	form.Back = "/scale/" + url.PathEscape(b.Code)
	return v.SaveEdits(form, f, history.Label{Thing: s.Name, New: s.Grams + " g"}, edits, nil)
}

// judge reads what was entered for a line. wrong is what is no value or no lot to weigh
// from; over is a mass outside its tolerance that has no reason yet.
func judge(v *frame.Visit, b *workshop.Batch, i int, s *station,
	f *frame.Opened) (edits []edit.Edit, wrong, over string) {
	first := part{s.Lot, s.Until, s.Grams}
	grams, wrong := judgeLot(v, b, i, s, &first)
	if s.Until = first.Until; wrong != "" {
		return nil, wrong, ""
	}
	if s.Second.Used() {
		more, wrong := judgeLot(v, b, i, s, &s.Second)
		switch {
		case wrong != "":
			return nil, "Of the second lot: " + wrong, ""
		case s.Second.Lot == s.Lot:
			return nil, "Both are lot " + s.Lot + ". Type the code of the other, or its mass into the first.", ""
		}
		grams = grams.Add(more)
	}
	if l := b.Lines[i]; l.PlannedG != nil && s.Reason == "" {
		off := grams.Sub(*l.PlannedG)
		if off.Sign() < 0 {
			off = off.Neg()
		}
		if allowedG(v, b, i).Less(off) {
			side := "more"
			if grams.Less(*l.PlannedG) {
				side = "less"
			}
			over = fmt.Sprintf("%s g is %s g %s than planned; %s to %s is within.", grams.Decimal(), off.Decimal(),
				side, s.Low, s.High)
			return nil, "", over
		}
	}
	return entered(s, f, edit.Path{"lines"}.At(i), grams.Decimal()), "", ""
}

// judgeLot reads the mass and the lot of a line or of a part of it.
func judgeLot(v *frame.Visit, b *workshop.Batch, i int, s *station, p *part) (grams exact.Num, wrong string) {
	grams, err := exact.ParseNum(p.Grams)
	switch {
	case err != nil || grams.Sign() < 0:
		return grams, "The mass is a figure in grams, as the scale shows it."
	case p.Lot == "":
		return grams, "Which lot it is from is not stated. Type the code from its label."
	}
	for _, l := range s.Lots {
		if l.Lot == p.Lot && p.Until == "" {
			p.Until = l.Until
		}
	}
	if why := barred(v.Workshop(), b.Lines[i].Ingredient, p.Lot, b.Date); why != "" {
		return grams, why
	}
	if other := otherMaterial(v.Workshop(), b.Lines[i].Ingredient, p.Lot); other != "" {
		return grams, fmt.Sprintf("Lot %s is on record as %s, not as %s. Look at the label once more.", p.Lot, other,
			s.Name)
	}
	if p.Until != "" {
		until, err := exact.ParseDate(p.Until)
		if err != nil {
			return grams, "The expiry date is written like 2027-11-30."
		}
		if until < b.Date {
			return grams, fmt.Sprintf("Lot %s expired on %s, before the day of this batch. Take another lot.", p.Lot,
				frame.Day(until))
		}
	}
	return grams, ""
}

// entered are the edits that write a line: its mass with one lot, or with the part of each.
func entered(s *station, f *frame.Opened, at edit.Path, grams string) (edits []edit.Edit) {
	set := func(key, value string) {
		if old, _ := f.Text(at.Then(key)); old != value && value != "" {
			edits = append(edits, edit.Set(at.Then(key), edit.Typed(value)))
		}
	}
	remove := func(key string) {
		if f.Has(at.Then(key)) {
			edits = append(edits, edit.Remove(at.Then(key)))
		}
	}
	if s.Second.Used() {
		set("weighed_g", grams)
		var list []edit.Value
		for _, p := range []part{{s.Lot, s.Until, s.Grams}, s.Second} {
			x := edit.Group().With("lot", edit.Text(p.Lot)).With("g", edit.Typed(p.Grams))
			if p.Until != "" {
				x = x.With("best_before", edit.Typed(p.Until))
			}
			list = append(list, x)
		}
		remove("lot")
		remove("best_before")
		edits = append(edits, edit.Set(at.Then("lots"), edit.List(list...)))
	} else {
		set("weighed_g", s.Grams)
		remove("lots")
		if old, _ := f.Text(at.Then("lot")); old != s.Lot {
			edits = append(edits, edit.Set(at.Then("lot"), edit.Text(s.Lot)))
		}
		set("best_before", s.Until)
	}
	if old, _ := f.Text(at.Then("reason")); s.Reason != "" && old != s.Reason {
		edits = append(edits, edit.Set(at.Then("reason"), edit.Text(s.Reason)))
	}
	return edits
}

// otherMaterial names the material that a lot code belongs to in other records.
func otherMaterial(w *workshop.Workshop, ingredient, code string) string {
	for _, b := range w.BatchRecords {
		for _, l := range b.Lines {
			for _, x := range l.Lots {
				if x.Lot == code && l.Ingredient != ingredient {
					return frame.NamesOf(w).Name(l.Ingredient)
				}
			}
		}
	}
	return ""
}
