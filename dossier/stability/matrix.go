package stability

import (
	"slices"
	"strconv"
	"strings"

	"gallipot/calc/ageing"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
)

// organism is what one challenge test says of one organism.
type organism struct {
	name      string
	reduction map[int]document.Cell
	wanted    []string // by the stricter set
	verdict   map[string]document.Cell
	why       []string
}

// ChallengeMatrix shows a challenge test as it is read: an organism a line, its reduction on
// each day, and whether both sets of criteria are kept.
func ChallengeMatrix(v *show.View, number int, m *workshop.MicroTest) *document.Table {
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
		o.take(set, microCell(l.Verdict), l.Why)
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
