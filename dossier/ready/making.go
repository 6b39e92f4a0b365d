package ready

import (
	"slices"

	"gallipot/calc/law"
	"gallipot/dossier/evidence"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// makingRules judge rows G1 to G5: how the product is made, batch by batch. A
// batch that is only planned asks for nothing yet.
var makingRules = map[string]func(*evidence.Filing) evidence.Answer{
	"G1": goodManufacturing,
	"G2": perBatch("batch-filled-in", func(b *workshop.Batch) bool {
		_, _, complete := b.Made()
		return complete && b.Release.Decision != ""
	}),
	"G3": perBatch("batch-number", func(b *workshop.Batch) bool { return b.Code != "" }),
	"G4": perBatch("batch-sample", func(b *workshop.Batch) bool {
		return b.Release.Decision != "released" || b.Retained.Units != nil || b.Retained.G != nil
	}),
	"G5": perBatch("batch-traced", func(b *workshop.Batch) bool {
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
		return evidence.Present("gmp-stated", nil).At(paper)
	}
	return evidence.Lacking("gmp-not-stated", nil).By(words.MakerWord)
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
		return evidence.NotNeeded("batch-planned", nil)
	}
	return evidence.Unstated("no-batch", nil)
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
		wanted := finding.With().Term("what", what, nil)
		switch len(without) {
		case 0:
			return evidence.Present("each-batch", wanted.Count("batches", len(batches))).At(x.Places...)
		case len(batches):
			x.State = evidence.ReadyMissing
		default:
			x.State = evidence.ReadyPartly
		}
		return x.Also("not-each-batch", wanted.Names("without", without)).By(words.MakerWord)
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
	keep := int(law.Fact(f.Law, "file-retention").Float())
	years := finding.With().Count("years", keep)
	switch {
	case len(x.Places) == 0:
		return noBatch(f).Also("years-to-come", years)
	case last.IsZero():
		return evidence.NotNeeded("none-released", nil).Also("years-to-come", years).At(x.Places...)
	}
	return evidence.Present("kept-until", finding.With().Day("last", last).Day("until", last.AddYears(keep))).
		At(x.Places...)
}
