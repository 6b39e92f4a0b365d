package dossier

import (
	"gallipot/ingredients"
)

// makingRules judge rows G1 to G5: how the product is made, batch by batch. A
// batch that is only planned asks for nothing yet.
var makingRules = map[string]func(*filing) answer{
	"G1": func(f *filing) answer {
		if paper, ok := f.document("gmp"); ok {
			return present("a statement of good manufacturing practice").at(paper)
		}
		return lacking("no statement of good manufacturing practice").by(makerWord)
	},
	"G2": perBatch("every mass and the decision filled in", func(b *Batch) bool {
		_, _, complete := b.made()
		return complete && b.Release.Decision != ""
	}),
	"G3": perBatch("a batch number", func(b *Batch) bool { return b.Code != "" }),
	"G4": perBatch("a sample kept", func(b *Batch) bool {
		return b.Release.Decision != "released" || b.Retained.Units != nil || b.Retained.G != nil
	}),
	"G5": perBatch("lots of all materials, and where released units went", func(b *Batch) bool {
		for _, l := range b.Lines {
			if len(l.Lots) == 0 && l.WeighedG != nil {
				return false
			}
		}
		return b.Release.Decision != "released" || len(b.Sent) > 0
	}),
}

// batches are the product's batches that are in the making or done.
func (f *filing) batches() []*Batch {
	var list []*Batch
	for _, b := range f.w.BatchRecords {
		if b.Product == f.p.ID && b.State() != "planned" {
			list = append(list, b)
		}
	}
	return list
}

// perBatch wants the same of every batch.
func perBatch(what string, has func(*Batch) bool) func(*filing) answer {
	return func(f *filing) answer {
		batches := f.batches()
		if len(batches) == 0 {
			return notNeeded("no batch is on record")
		}
		var without []string
		var x answer
		for _, b := range batches {
			x = x.at(b.Source.Name)
			if !has(b) {
				without = append(without, b.Code)
			}
		}
		switch len(without) {
		case 0:
			x.state, x.words = ReadyPresent, what+": "+count(len(batches), "batch", "batches")
			return x
		case len(batches):
			x.state = ReadyMissing
		default:
			x.state = ReadyPartly
		}
		x.words = "not for " + joinNames(without) + ": " + what
		return x.by(makerWord)
	}
}

// keptUntil judges how long the file has to be kept, from the day on which the
// last batch went out, as far as the batch records tell it.
func keptUntil(f *filing) answer {
	var last ingredients.Date
	var x answer
	for _, b := range f.batches() {
		x = x.at(b.Source.Name)
		days := []ingredients.Date{}
		if b.Released() {
			days = append(days, b.Release.Date)
		}
		for _, s := range b.Sent {
			days = append(days, s.Date)
		}
		for _, d := range days {
			if last.Before(d) {
				last = d
			}
		}
	}
	years := int(f.law.Fact("file-retention").Float())
	switch {
	case len(x.places) == 0:
		return notNeeded("no batch is on record; %d years run from the day the last one is placed on the market", years)
	case last.IsZero():
		return notNeeded("no batch is released; %d years run from the day the last one is placed on the market", years).at(x.places...)
	}
	x.state, x.words = ReadyPresent, "last batch out on "+last.String()+": keep the file until "+last.AddYears(years).String()
	return x
}
