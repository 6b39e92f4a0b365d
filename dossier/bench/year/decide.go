package year

import (
	"strconv"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/decide"
	"gallipot/dossier/edit/history"
	"gallipot/dossier/stock"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// A lot is of no one product: what is decided about it stands in workshop.yaml.
var decisionsForm = frame.Form{File: "workshop.yaml", Back: "/stock"}

// asked is something to say about a lot.
type asked struct {
	frame.Told
	Decide frame.Deciding
}

// lotsAsked is what there is to say about lots, and what is decided in writing about them.
func lotsAsked(v *frame.Visit, books *stock.Book) ([]asked, *frame.Decisions) {
	var list []asked
	for i, f := range books.Findings() {
		list = append(list, asked{v.Tell(f), onLots(books.Day).Form(f, "/stock/decide", strconv.Itoa(i), false)})
	}
	written := &frame.Decisions{Act: "/stock/decisions", ReadOnly: v.Site.ReadOnly}
	for i, d := range v.Workshop().Decisions {
		if v.Workshop().Lot(d.Subject) != nil {
			written.Add(i, d)
		}
	}
	// as it was counted: one that changed since is refused
	if src := v.Workshop().Sources[decisionsForm.File]; src != nil {
		written.Base = history.Hash(src.Bytes)
	}
	return list, written
}

// onLots makes the decisions of a day on what is asked about lots.
func onLots(day exact.Date) frame.On {
	return func(f *finding.Finding) (workshop.Decision, bool) { return decide.OnLot(f, day), true }
}

// decideLot writes what was decided on something that is asked about a lot.
func decideLot(v *frame.Visit) error {
	books := stock.Of(v.Workshop(), v.Shot.Options.Date)
	d, about, err := v.Decision(books.Findings(), onLots(books.Day))
	if err != nil {
		return err
	}
	src := v.Workshop().Sources[decisionsForm.File]
	data, err := decide.Added(src, d)
	if err != nil {
		return err
	}
	return v.SaveFiles(history.Label{Thing: "decision on lot " + d.Subject,
		New: v.Names().Message(about), Place: "/stock"}, "/stock",
		history.Change{Name: src.Name, Base: history.Hash(src.Bytes), Data: data})
}

// takeBack takes a decision out of the file again.
func takeBack(v *frame.Visit) error { return v.SaveForm(decisionsForm, nil) }
