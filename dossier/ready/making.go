package ready

import (
	"fmt"
	"slices"

	"gallipot/calc/law"
	"gallipot/dossier/evidence"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// makingRules judge rows G1 to G5: how the product is made, batch by batch. A
// batch that is only planned asks for nothing yet.
var makingRules = map[string]func(*evidence.Filing) evidence.Answer{
	"G1": goodManufacturing,
	"G2": perBatch("every mass and the decision filled in", func(b *workshop.Batch) bool {
		_, _, complete := b.Made()
		return complete && b.Release.Decision != ""
	}),
	"G3": perBatch("a batch number", func(b *workshop.Batch) bool { return b.Code != "" }),
	"G4": perBatch("a sample kept", func(b *workshop.Batch) bool {
		return b.Release.Decision != "released" || b.Retained.Units != nil || b.Retained.G != nil
	}),
	"G5": perBatch("lots of all materials, and where released units went", func(b *workshop.Batch) bool {
		for _, l := range b.Lines {
			if len(l.Lots) == 0 && l.WeighedG != nil {
				return false
			}
		}
		return b.Release.Decision != "released" || len(b.Sent) > 0
	}),
}

func goodManufacturing(f *evidence.Filing) evidence.Answer {
	if paper, ok := f.Document("gmp"); ok {
		return evidence.Present("a statement of good manufacturing practice").At(paper)
	}
	return evidence.Lacking("no statement of good manufacturing practice").By(words.MakerWord)
}

// batches are the product's batches that are in the making or done.
func batches(f *evidence.Filing) []*workshop.Batch {
	var list []*workshop.Batch
	for _, b := range f.W.BatchRecords {
		if b.Product == f.P.ID && b.State() != "planned" {
			list = append(list, b)
		}
	}
	return list
}

// noBatch answers where none is made: what is only planned asks for nothing yet, and of what
// nobody has recorded nothing is known.
func noBatch(f *evidence.Filing) evidence.Answer {
	if slices.ContainsFunc(f.W.BatchRecords, func(b *workshop.Batch) bool { return b.Product == f.P.ID }) {
		return evidence.NotNeeded("a batch is planned and none is made yet")
	}
	return evidence.Unstated("no batch is on record")
}

// perBatch wants the same of every batch.
func perBatch(what string, has func(*workshop.Batch) bool) func(*evidence.Filing) evidence.Answer {
	return func(f *evidence.Filing) evidence.Answer {
		batches := batches(f)
		if len(batches) == 0 {
			return noBatch(f)
		}
		var without []string
		var x evidence.Answer
		for _, b := range batches {
			x = x.At(b.Source.Name)
			if !has(b) {
				without = append(without, b.Code)
			}
		}
		switch len(without) {
		case 0:
			x.State, x.Words = evidence.ReadyPresent, what+": "+words.Count(len(batches), "batch", "batches")
			return x
		case len(batches):
			x.State = evidence.ReadyMissing
		default:
			x.State = evidence.ReadyPartly
		}
		x.Words = what + ": not for " + words.JoinNames(without)
		return x.By(words.MakerWord)
	}
}

// keptUntil judges how long the file has to be kept, from the day on which the
// last batch went out, as far as the batch records tell it.
func keptUntil(f *evidence.Filing) evidence.Answer {
	var last exact.Date
	var x evidence.Answer
	for _, b := range batches(f) {
		x = x.At(b.Source.Name)
		days := []exact.Date{}
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
	years := int(law.Fact(f.Law, "file-retention").Float())
	switch {
	case len(x.Places) == 0:
		return noBatch(f).Also(fmt.Sprintf("; %d years run from the day the last one is placed on the market", years),
			fmt.Sprintf("; %d years from the last one sold", years))
	case last.IsZero():
		return evidence.NotNeeded("no batch is released; %d years run from the day the last one is placed on the market", years).
			InShort("no batch is released; %d years from the last one sold", years).At(x.Places...)
	}
	x.State, x.Words = evidence.ReadyPresent,
		"last batch out on "+last.String()+": keep the file until "+last.AddYears(years).String()
	return x
}
