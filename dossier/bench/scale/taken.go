package scale

import (
	"fmt"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// second is the other of two lots that a line was weighed from.
type second struct {
	Lot, Until string
	G          string // g of it; what is left of the whole mass came from the first
}

// onFile fills the lots that the record names for a line already.
func (s *station) onFile(f *frame.Opened, at edit.Path, l workshop.BatchLine) {
	list := at.Then("lots")
	if f.Len(list) == 0 {
		s.Lot, _ = f.Text(at.Then("lot"))
		s.Until, _ = f.Text(at.Then("best_before"))
		return
	}
	read := func(i int) second {
		var x second
		x.Lot, _ = f.Text(list.At(i).Then("lot"))
		x.Until, _ = f.Text(list.At(i).Then("best_before"))
		x.G, _ = f.Text(list.At(i).Then("g"))
		return x
	}
	first := read(0)
	s.Lot, s.Until = first.Lot, first.Until
	if f.Len(list) > 1 {
		s.Second = read(1)
	}
	if s.Grams == "" && l.WeighedG != nil { // the sum of the lots
		s.Grams = l.WeighedG.Decimal()
	}
	s.More = f.Len(list) > 2
}

// unfit says why a lot may not be used for a line; empty where it may. The last day of use is
// that of the books where none was typed.
func (s *station) unfit(v *frame.Visit, b *workshop.Batch, i int, code string, until *string) string {
	for _, l := range s.Lots {
		if l.Lot == code && *until == "" {
			*until = l.Until
		}
	}
	if why := barred(v.Workshop(), b.Lines[i].Ingredient, code, b.Date); why != "" {
		return why
	}
	if other := otherMaterial(v.Workshop(), b.Lines[i].Ingredient, code); other != "" {
		return fmt.Sprintf("Lot %s is on record as %s, not as %s. Look at the label once more.", code, other, s.Name)
	}
	if *until == "" {
		return ""
	}
	*until = frame.WrittenDay(*until)
	day, err := exact.ParseDate(*until)
	switch {
	case err != nil:
		return "Write the expiry date as a day, such as 2027-11-30; of a month alone, its last day."
	case day < b.Date:
		return fmt.Sprintf("Lot %s expired on %s, before the day of this batch. Take another lot.", code,
			frame.Day(day))
	}
	return ""
}

// unfitSecond says what is wrong with the second of two lots; empty where there is none. The
// whole mass has to be more than what came from it.
func (s *station) unfitSecond(v *frame.Visit, b *workshop.Batch, i int, grams exact.Num) string {
	x := &s.Second
	switch {
	case s.More:
		return "The record names more than two lots for this line. Open its file and change them there."
	case x.Lot == "" && x.G == "" && x.Until == "":
		return ""
	case x.Lot == "":
		return "Which the second lot is, is not stated. Type the code from its label."
	case x.Lot == s.Lot:
		return "Both lots have the code " + x.Lot + ". Look at the labels once more."
	}
	g, err := exact.ParseNum(x.G)
	switch {
	case err != nil || g.Sign() <= 0:
		return "How much came from the second lot is a figure in grams."
	case !g.Less(grams):
		return fmt.Sprintf("%s g from the second lot leave nothing for the first: %s g were weighed in all.", x.G,
			s.Grams)
	}
	return s.unfit(v, b, i, x.Lot, &x.Until)
}

// lotEdits writes the lots of a line: one beside its mass, two as a list with the mass of each.
func (s *station) lotEdits(f *frame.Opened, at edit.Path, grams exact.Num) (edits []edit.Edit) {
	list := at.Then("lots")
	numbers := suppliersNumbers(f, at)
	set := func(key string, value edit.Value, text string) {
		if old, there := f.Text(at.Then(key)); text != "" && old != text {
			edits = append(edits, edit.Set(at.Then(key), value))
		} else if text == "" && there {
			edits = append(edits, edit.Remove(at.Then(key)))
		}
	}
	if s.Second.Lot == "" {
		set("lot", edit.Text(s.Lot), s.Lot)
		if s.Until != "" {
			set("best_before", edit.Typed(s.Until), s.Until)
		}
		set("supplier_lot", edit.Text(numbers[s.Lot]), numbers[s.Lot])
		if f.Has(list) {
			edits = append(edits, edit.Remove(list))
		}
		return edits
	}
	for _, key := range []string{"lot", "supplier_lot", "best_before"} {
		set(key, edit.Value{}, "")
	}
	g, err := exact.ParseNum(s.Second.G)
	if err != nil {
		return nil // refused before
	}
	one := func(x second) edit.Value {
		entry := edit.Group().With("lot", edit.Text(x.Lot)).With("g", edit.Typed(x.G))
		if n := numbers[x.Lot]; n != "" {
			entry = entry.With("supplier_lot", edit.Text(n))
		}
		if x.Until != "" {
			entry = entry.With("best_before", edit.Typed(x.Until))
		}
		return entry
	}
	first := second{Lot: s.Lot, Until: s.Until, G: grams.Sub(g).Decimal()}
	return append(edits, edit.Set(list, edit.List(one(first), one(s.Second))))
}

// suppliersNumbers are the suppliers' numbers that the record of a line has, by lot: they stay
// with their lots.
func suppliersNumbers(f *frame.Opened, at edit.Path) map[string]string {
	m := map[string]string{}
	note := func(at edit.Path) {
		lot, _ := f.Text(at.Then("lot"))
		if n, _ := f.Text(at.Then("supplier_lot")); n != "" {
			m[lot] = n
		}
	}
	note(at)
	for i := range f.Len(at.Then("lots")) {
		note(at.Then("lots").At(i))
	}
	return m
}
