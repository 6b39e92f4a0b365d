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
	Second                       second
	Lots                         []lot
	Next                         string
	Prev                         int
	Steps                        []progress
	Method                       method
	Base                         string
	Wrong, Over                  string
	Elsewhere                    bool
	More                         bool // the record names more than two lots
	Done                         bool
}

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
	s.Method = methodAt(w.Product(b.Product), b, i)
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
	s.Grams, _ = f.Text(at.Then("weighed_g"))
	s.onFile(f, at, l)
	s.Reason, _ = f.Text(at.Then("reason"))
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
	s.Lot, s.Until, s.Grams, s.Reason = v.Field("lot"), v.Field("until"), point(v.Field("grams")), v.Field("reason")
	s.Second = second{Lot: v.Field("lot2"), Until: v.Field("until2"), G: point(v.Field("grams2"))}
	edits, wrong, over := judge(v, b, i, s, f)
	for _, typed := range []string{v.Field("grams"), v.Field("grams2")} {
		if wrong == "" && exact.TwoWays(typed) {
			wrong = typed + " can be read in two ways. Write the mass with a decimal point, or without a comma."
		}
	}
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
	grams, err := exact.ParseNum(s.Grams)
	switch {
	case err != nil || grams.Sign() < 0:
		return nil, "The mass is a figure in grams, as the scale shows it.", ""
	case s.Lot == "":
		return nil, "Which lot it is from is not stated. Type the code from its label.", ""
	}
	if wrong := s.unfit(v, b, i, s.Lot, &s.Until); wrong != "" {
		return nil, wrong, ""
	}
	if wrong := s.unfitSecond(v, b, i, grams); wrong != "" {
		return nil, wrong, ""
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
			over = fmt.Sprintf("%s g is %s g %s than planned; %s to %s is within.", s.Grams, off.Decimal(), side,
				s.Low, s.High)
			return nil, "", over
		}
	}
	at := edit.Path{"lines"}.At(i)
	set := func(key, value string) {
		if old, _ := f.Text(at.Then(key)); old != value && value != "" {
			edits = append(edits, edit.Set(at.Then(key), edit.Typed(value)))
		}
	}
	set("weighed_g", s.Grams)
	edits = append(edits, s.lotEdits(f, at, grams)...)
	if s.Reason != "" {
		if old, _ := f.Text(at.Then("reason")); old != s.Reason {
			edits = append(edits, edit.Set(at.Then("reason"), edit.Text(s.Reason)))
		}
	}
	return edits, "", ""
}

// point is a figure as it was typed, with a decimal point.
func point(typed string) string { return strings.ReplaceAll(typed, ",", ".") }

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
