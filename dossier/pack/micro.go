package pack

import (
	"slices"
	"strconv"
	"strings"

	"gallipot/calc/ageing"
	"gallipot/calc/law"
	"gallipot/calc/law/safety"
	"gallipot/dossier/document"
	"gallipot/dossier/sections"
	"gallipot/dossier/show"
	"gallipot/dossier/stability"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
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
	s.Blocks = kept
	for i := range v.A.Product.Microbiology {
		if m := &v.A.Product.Microbiology[i]; len(m.Counts) > 0 {
			s.Add(challengeMatrix(v, i+1, m))
		}
	}
	return s
}

// organism is what one challenge test says of one organism.
type organism struct {
	name      string
	reduction map[int]document.Cell
	wanted    []string // by the stricter set
	verdict   map[string]document.Cell
	why       []string
}

func challengeMatrix(v *show.View, number int, m *workshop.MicroTest) *document.Table {
	r := ageing.EvaluateChallenge(m.Counts, v.A.Options.Law)
	t := &document.Table{ID: "challenge-matrix-" + words.Itoa(number),
		Title:   "Challenge test of " + words.OrWord(m.Dated.String(), "no date"),
		Remark:  "evaluated " + r.Verdict() + ", stated " + words.OrWord(m.Verdict, "nothing") + "; reduction in log10",
		Columns: []document.Column{{Head: "Organism", Fixed: true, Weight: 1.4}}}
	var days []int
	var sets []string
	var all []*organism
	for _, l := range r.Lines {
		i := slices.IndexFunc(all, func(o *organism) bool { return o.name == l.Organism })
		if i < 0 {
			i = len(all)
			all = append(all, &organism{name: l.Organism, reduction: map[int]document.Cell{},
				verdict: map[string]document.Cell{}})
		}
		o, set := all[i], l.Criterion.Set
		if !slices.Contains(days, l.Criterion.Day) {
			days = append(days, l.Criterion.Day)
		}
		sets = words.AddOnce(sets, set)
		o.reduction[l.Criterion.Day] = document.MissingCell("no count")
		if l.Known {
			figure := document.FormatFloat(l.Reduction, 2)
			if l.Bound {
				figure = "≥ " + figure
			}
			o.reduction[l.Criterion.Day] = document.TextCell(figure)
		}
		if set == sets[0] {
			o.wanted = append(o.wanted, "day "+strconv.Itoa(l.Criterion.Day)+": "+
				strings.ReplaceAll(l.Criterion.Row.Value, ">=", "≥\u00a0"))
		}
		o.take(set, stability.MicroCell(l.Verdict), l.Why)
	}
	slices.Sort(days)
	for _, d := range days {
		t.Columns = append(t.Columns, document.Column{Head: "Day " + words.Itoa(d), Align: document.AlignRight,
			Kind: document.KindText})
	}
	if len(sets) > 0 {
		t.Columns = append(t.Columns, document.Column{Head: "Wanted by criteria " + sets[0], Weight: 2.5})
	}
	for _, set := range sets {
		t.Columns = append(t.Columns, document.Column{Head: set})
	}
	var why []string
	for _, o := range all {
		row := []document.Cell{document.TextCell(o.name)}
		for _, d := range days {
			row = append(row, cellOr(o.reduction, d, "–"))
		}
		row = append(row, document.TextCell(strings.Join(o.wanted, "; ")))
		for _, set := range sets {
			row = append(row, cellOr(o.verdict, set, "–"))
		}
		t.Add(row...)
		for _, w := range o.why {
			why = append(why, o.name+": "+w)
		}
	}
	if len(r.Missing) > 0 {
		t.Note("□ no counts are entered for " + words.JoinNames(r.Missing) + ".")
	}
	if len(why) > 0 {
		t.Note(strings.Join(why, "; ") + ".")
	}
	return t.Note("Reduction: log10 of the start less log10 of the day. Within " +
		document.FormatFloat(r.Scatter, 1) +
		" below a criterion a value is a query, not a pass. Each criterion by itself: spreadsheet, sheet Tests.")
}

// take keeps the gravest verdict of a set.
func (o *organism) take(set string, cell document.Cell, why string) {
	if have, there := o.verdict[set]; !there || have.Verdict < cell.Verdict {
		o.verdict[set] = cell
	}
	if why != "" {
		o.why = words.AddOnce(o.why, set+", "+why)
	}
}

// cellOr is the cell of a map, or words where it has none.
func cellOr[K comparable](cells map[K]document.Cell, key K, otherwise string) document.Cell {
	if c, there := cells[key]; there {
		return c
	}
	return document.MissingCell(otherwise)
}
