package pack

import (
	"strings"

	"gallipot/calc/ageing"
	"gallipot/calc/law"
	"gallipot/calc/law/safety"
	"gallipot/dossier/document"
	"gallipot/dossier/sections"
	"gallipot/dossier/show"
	"gallipot/dossier/stability"
	"gallipot/ingredients/exact"
)

// microPages show preservatives and tests with the counts that this product has to keep;
// the whole table of counts is in the workbook.
func microPages(v *show.View, c *cited) *document.Section {
	s := sections.MicrobiologySection(v)
	for i, b := range s.Blocks {
		if t, ok := b.(*document.Table); ok && t.ID == "micro-limits" {
			s.Blocks[i] = acceptedCounts(v, c)
		}
	}
	return s
}

// absentKeys are the rows of the organisms that have to be absent, whatever the class.
//
// Source: ISO 17516 as in stability-micro.csv.
var absentKeys = [...]string{"L3", "L4", "L5", "L6"}

// acceptedCounts are the counts that the class of the product may have.
func acceptedCounts(v *show.View, c *cited) *document.Table {
	t := &document.Table{ID: "micro-accepted", Title: "Counts accepted for the finished product",
		Empty: "The class of the product is not known.", Columns: []document.Column{
			{Head: "What is counted", Fixed: true, Weight: 2}, {Head: "At most"}, {Head: "Unit"}, {Head: "Source"}}}
	kind, known := law.ProductType(v.A.Options.Law, v.A.Product.Type)
	if !known {
		return t
	}
	class := ageing.MicroClass(v.A.Product.Product, kind)
	list := []*safety.StabilityItem{ageing.CheckCount(class, exact.Num{}, v.A.Options.Law).Limit}
	for _, key := range absentKeys {
		list = append(list, law.StabilityRow(v.A.Options.Law, key))
	}
	for _, row := range list {
		t.Add(document.TextCell(row.Item), document.TextCell(row.Value).MarkedIf(row.FromMemory(), show.MemoryMark),
			document.TextCell(row.Unit), document.TextCell(c.source(row.Source)))
	}
	return t
}

// challengePages show each challenge test as it is read: an organism a line, its reduction
// on each day, and whether both sets of criteria are kept.
func challengePages(v *show.View) *document.Section {
	s := stability.ChallengeSection(v)
	kept := s.Blocks[:0]
	for _, b := range s.Blocks {
		if t, ok := b.(*document.Table); !ok || !strings.HasPrefix(t.ID, "challenge-") {
			kept = append(kept, b)
		}
	}
	s.Blocks, s.Intro = kept, "" // the caution stands above
	if len(v.A.Product.Microbiology) == 0 {
		return nil
	}
	for i := range v.A.Product.Microbiology {
		if m := &v.A.Product.Microbiology[i]; len(m.Counts) > 0 {
			s.Add(stability.ChallengeMatrix(v, i+1, m))
		}
	}
	return s
}
