package dossier

import (
	"strings"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// costText says in a line what the materials cost; each material stands in the
// workbook.
func (s *WeighSheet) costText() string {
	switch {
	case !s.priced():
		return "not known: no sheet has a price"
	case s.Cost.Batch == nil:
		return "not known: prices are missing. No price is given for " + joinNames(s.Cost.Missing) + "; the lines with a price make " + FormatNum(s.Cost.Priced, RuleFixed(2))
	}
	text := FormatNum(*s.Cost.Batch, RuleFixed(2)) + " for the batch"
	if s.Cost.PerUnit != nil {
		text += ", " + FormatNum(*s.Cost.PerUnit, RuleFixed(2)) + " for each pack filled"
	}
	return text + "; without packs and work"
}

// priced says whether any material has a price.
func (s *WeighSheet) priced() bool { return len(s.Cost.Missing) < len(s.materials()) }

// materials lists what is weighed, each once.
func (s *WeighSheet) materials() (ids []string) {
	for _, l := range s.Plan.Lines {
		ids = addOnce(ids, l.Ingredient)
	}
	return ids
}

func (s *WeighSheet) costTable() *Table {
	t := &Table{ID: "weigh-cost", SheetName: "Cost", Columns: []Column{{Head: "Raw material", Fixed: true, Weight: 1.6}, {Head: "Mass", Unit: "g", Kind: KindNumber, Key: "g"},
		{Head: "Price", Unit: "per kg", Kind: KindNumber, Key: "price"}, {Head: "Cost", Kind: KindNumber, Key: "cost"}}}
	masses := map[string]ingredients.Num{}
	for _, l := range s.Plan.Lines {
		masses[l.Ingredient] = masses[l.Ingredient].Add(l.G)
	}
	for _, id := range s.materials() {
		g := masses[id]
		price := s.price(id)
		if price == nil {
			t.Add(TextCell(id), NumCell(g, RuleExact), MissingCell("no price"), MissingCell("not known"))
			continue
		}
		cost := price.Mul(g).Quo(ingredients.Int(1000))
		t.Add(TextCell(id), NumCell(g, RuleExact), NumCell(*price, RuleExact), NumCell(cost, RuleFixed(2)).Computed("{price}*{g}/1000"))
	}
	batch, each := MissingCell("prices are missing"), MissingCell("prices are missing")
	if s.Cost.Batch != nil {
		batch = NumCell(*s.Cost.Batch, RuleFixed(2)).Computed("SUM({weigh-cost!cost})")
		if each = MissingCell("packs not known"); s.Cost.PerUnit != nil {
			each = NumCell(*s.Cost.PerUnit, RuleFixed(2))
		}
	}
	t.Total(TextCell("Batch"), NumCell(s.Plan.TotalG, RuleExact), BlankCell(), batch)
	t.Total(TextCell("Each pack filled"), BlankCell(), BlankCell(), each)
	return t
}

// cautionSection gives what holds in any room, and the sources of the cautions
// that stand at the stages.
func (s *WeighSheet) cautionSection() *Section {
	sec := &Section{ID: "cautions", Title: "In any room, and where the cautions come from"}
	small := func(spans ...Span) { sec.Add(&Paragraph{Spans: spans, Small: true}) }
	for _, c := range append(s.law.Cautions("workplace"), s.law.Caution("T18")) {
		small(Span{Text: upperFirst(c.Hazard) + ": ", Strong: true}, Span{Text: c.Text + " (" + sourceOf(c) + ")"})
	}
	var sources []string
	for _, c := range s.cautions {
		sources = append(sources, sourceOf(c))
	}
	if len(sources) > 0 {
		small(Span{Text: "Sources of the cautions above: " + strings.Join(sources, "; ")})
	}
	small(Span{Text: marks[0].Symbol + " " + marks[0].Text})
	return sec
}

// sourceOf names a caution with its source, and marks what was not read there.
func sourceOf(c *law.Caution) string {
	text := c.Key + ", " + c.Source
	if c.FromMemory() {
		text += " " + marks[0].Symbol
	}
	return text
}
