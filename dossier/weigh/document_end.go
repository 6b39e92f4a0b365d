package weigh

import (
	"strings"

	"gallipot/calc/law"
	"gallipot/calc/law/duties"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// costText says in a line what the materials cost; each material stands in the
// workbook.
func (s *WeighSheet) costText() string {
	switch {
	case !s.priced():
		return "not known: no lot and no sheet has a price"
	case s.Cost.Batch == nil:
		return "not known: prices are missing. No price is given for " + words.JoinNames(s.Cost.Missing) +
			"; the lines with a price make " + document.FormatNum(s.Cost.Priced, document.RuleFixed(2))
	}
	text := document.FormatNum(*s.Cost.Batch, document.RuleFixed(2)) + " for the batch"
	if s.Cost.PerUnit != nil {
		text += ", " + document.FormatNum(*s.Cost.PerUnit, document.RuleFixed(2)) + " for each pack filled"
	}
	return text + "; without packs and work"
}

// priced says whether any material has a price.
func (s *WeighSheet) priced() bool { return len(s.Cost.Missing) < len(s.materials()) }

// materials lists what is weighed, each once.
func (s *WeighSheet) materials() (ids []string) {
	for _, l := range s.Plan.Lines {
		ids = words.AddOnce(ids, l.Ingredient)
	}
	return ids
}

func (s *WeighSheet) costTable() *document.Table {
	t := &document.Table{ID: "weigh-cost", SheetName: "Cost",
		Columns: []document.Column{{Head: "Raw material", Fixed: true, Weight: 1.6},
			{Head: "Mass", Unit: "g", Kind: document.KindNumber, Key: "g"},
			{Head: "Price", Unit: "per kg", Kind: document.KindNumber, Key: "price"}, {Head: "Cost",
				Kind: document.KindNumber, Key: "cost"}}}
	masses := map[string]exact.Num{}
	for _, l := range s.Plan.Lines {
		masses[l.Ingredient] = masses[l.Ingredient].Add(l.G)
	}
	for _, id := range s.materials() {
		g := masses[id]
		price := s.price(id)
		if price == nil {
			t.Add(document.TextCell(s.W.Material(id).Text), document.NumCell(g, document.RuleExact),
				document.MissingCell("no price"),
				document.MissingCell("not known"))
			continue
		}
		cost := price.Mul(g).Quo(exact.Int(1000))
		t.Add(document.TextCell(s.W.Material(id).Text), document.NumCell(g, document.RuleExact),
			document.NumCell(*price, document.RuleExact), document.NumCell(cost, document.RuleFixed(2)).
				Computed("{price}*{g}/1000"))
	}
	batch, each := document.MissingCell("prices are missing"), document.MissingCell("prices are missing")
	if s.Cost.Batch != nil {
		batch = document.NumCell(*s.Cost.Batch, document.RuleFixed(2)).Computed("SUM({weigh-cost!cost})")
		if each = document.MissingCell("packs not known"); s.Cost.PerUnit != nil {
			each = document.NumCell(*s.Cost.PerUnit, document.RuleFixed(2))
		}
	}
	t.Total(document.TextCell("Batch"), document.NumCell(s.Plan.TotalG, document.RuleExact),
		document.BlankCell(), batch)
	t.Total(document.TextCell("Each pack filled"), document.BlankCell(), document.BlankCell(), each)
	return t
}

// cautionSection gives what holds in any room, and the sources of the cautions
// that stand at the stages.
func (s *WeighSheet) cautionSection() *document.Section {
	sec := &document.Section{ID: "cautions", Title: "In any room, and where the cautions come from", Quiet: true}
	all := &document.Paragraph{Small: true}
	add := func(spans ...document.Span) {
		if len(all.Spans) > 0 {
			all.Spans = append(all.Spans, document.Span{Text: "  ·  "})
		}
		all.Spans = append(all.Spans, spans...)
	}
	for _, c := range append(law.Cautions(s.law, "workplace"), law.Caution(s.law, "T18")) {
		add(document.Span{Text: words.UpperFirst(c.Hazard) + ": ", Strong: true},
			document.Span{Text: c.Text + " (" + sourceOf(c) + ")"})
	}
	var sources []string
	for _, c := range s.cautions {
		sources = append(sources, sourceOf(c))
	}
	if len(sources) > 0 {
		add(document.Span{Text: "Sources of the cautions above: " + strings.Join(sources, "; ")})
	}
	add(document.Span{Text: show.Marks[0].Symbol + " " + show.Marks[0].Text})
	return sec.Add(all)
}

// sourceOf names a caution with its source, and marks what was not read there.
func sourceOf(c *duties.Caution) string {
	text := c.Key + ", " + c.Source
	if c.FromMemory() {
		text += " " + show.Marks[0].Symbol
	}
	return text
}
