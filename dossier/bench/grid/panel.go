package grid

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/law/rows"
	"gallipot/calc/limits"
	"gallipot/calc/listing"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/document"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// panel is what the formula comes to, beside the grid.
type panel struct {
	Variant   string
	Market    rows.Market
	Total     string
	Exact     bool // the total is 100
	Typing    bool
	Counts    finding.Counts
	Stops     []frame.Told
	Cost      string
	Names     frame.Namer
	List      []entry
	Open      []listing.OpenPair
	Allergens []allergen
	MoreBelow int
	Threshold string
	Limits    []limit
	MoreKept  int
	Margins   []margin
	None, Of  int // substances without a value, of all in the variant
	Focus     *focus
}

type entry struct {
	Name string
	Open bool
}

type allergen struct {
	Name, Range, Verdict, Where string
	Strong                      bool
	Lane                        frame.HTML
}

type limit struct {
	Name, Of, Verdict, Where string
	Over                     bool
	Lane                     frame.HTML
}

type margin struct {
	Name, MoS string
	Below     bool
	Target    string
}

// focus is the line that is being worked on.
type focus struct {
	Name, Field       string
	Up                room
	UpText, Unit      string
	Lane              frame.HTML
	Rules             []string
	Changes           []string
	Over, Known, None bool
	Trace, Ask        string // why nothing is left where a trace of it is prohibited, and whom to ask
	Rest              bool   // another rule leaves a content, which is what Up then is
}

// Say words the panel for the status line.
func (p *panel) Say() string {
	if len(p.Stops) > 0 {
		return fmt.Sprintf("%d stop%s", len(p.Stops), map[bool]string{true: "", false: "s"}[len(p.Stops) == 1])
	}
	return "Total " + p.Total + " %"
}

func (q *ask) panel(p *workshop.Product, results []*calc.Result, focused string) *panel {
	r := q.result(results)
	x := &panel{Variant: frame.VariantShort(p, q.variant), Market: q.market, Names: q.names,
		Total: document.FormatPct(r.Recipe.TotalPct), Exact: r.Recipe.TotalPct.Equal(exact.Int(100)), Open: r.List.Open}
	for _, e := range r.List.Entries {
		open := slices.ContainsFunc(r.List.Open, func(o listing.OpenPair) bool {
			return o.First == e.Name ||
				o.Second == e.Name
		})
		x.List = append(x.List, entry{e.Name, open})
	}
	x.allergens(r)
	x.limits(r, q.names)
	x.margins(r)
	x.Cost = q.cost(r)
	x.Focus = q.focus(p, results, focused)
	return x
}

// cost is what a kilogram of the raw materials costs.
func (q *ask) cost(r *calc.Result) string {
	sum := exact.Num{}
	for _, s := range r.Recipe.Whole.Shares {
		sheet := q.v.Workshop().Sheets[s.Ingredient]
		if sheet == nil || sheet.PricePerKg == nil {
			return ""
		}
		sum = sum.Add(s.Pct.Pct(*sheet.PricePerKg))
	}
	return sum.Fixed(2)
}

// Most rows of a list in the panel; the rest is counted.
const mostRows = 6

func (p *panel) allergens(r *calc.Result) {
	list := slices.Clone(r.Allergens)
	list = slices.DeleteFunc(list, func(a listing.AllergenTotal) bool { return a.Worst.Max.IsZero() })
	slices.SortStableFunc(list, func(a, b listing.AllergenTotal) int { return b.Worst.Max.Cmp(a.Worst.Max) })
	for _, a := range list {
		p.Threshold = document.FormatPct(a.ThresholdPct)
		if !a.OnLabel() && len(p.Allergens) >= mostRows {
			p.MoreBelow++
			continue
		}
		p.Allergens = append(p.Allergens, allergen{Name: a.LabelName, Range: span(a.Worst),
			Verdict: string(a.Verdict), Where: a.WorstIn,
			Strong: a.OnLabel(), Lane: frame.LogLane(a.Worst.Min, a.Worst.Max, a.ThresholdPct, a.OnLabel())})
	}
}

// span prints a range with three figures.
func span(r exact.Range) string {
	low, high := document.FormatNum(r.Min, document.RuleSig(3)), document.FormatNum(r.Max, document.RuleSig(3))
	if low == high {
		return high
	}
	return low + "–" + high
}

func (p *panel) limits(r *calc.Result, names frame.Namer) {
	type ranked struct {
		limit
		ratio exact.Num
	}
	var list []ranked
	add := func(name string, content, most exact.Num, verdict, where, portion string) {
		if most.Sign() <= 0 || content.IsZero() {
			return
		}
		if portion != "" {
			where += ", " + portion
		}
		over := most.Less(content)
		list = append(list, ranked{limit{name, document.FormatNum(content, document.RulePctBeside(most)) + " of " +
			document.FormatPct(most), verdict, where, over,
			frame.LimitLane(content, most)}, content.Quo(most)})
	}
	for _, c := range r.Limits {
		if c.LimitPct != nil && (c.Verdict == limits.LimitKept || c.Verdict == limits.LimitExceeded ||
			c.Verdict == limits.LimitUndecided) {
			add(strings.Join(c.Substances, ", "), c.Content.Max, *c.LimitPct, string(c.Verdict),
				c.Row.Annex+"/"+c.Row.Entry, c.WorstIn)
		}
	}
	for _, u := range r.Fragrances {
		if u.LimitPct != nil {
			add(names.Name(u.Ingredient), u.UsePct, *u.LimitPct, string(u.Status), "certificate, category "+u.Category,
				u.Portion)
		}
	}
	slices.SortStableFunc(list, func(a, b ranked) int { return b.ratio.Cmp(a.ratio) })
	for _, x := range list {
		if len(p.Limits) >= mostRows && !x.Over {
			p.MoreKept++
			continue
		}
		p.Limits = append(p.Limits, x.limit)
	}
}

// mostMargins is how many of the lowest margins stand there, as many as in the pack.
const mostMargins = 5

func (p *panel) margins(r *calc.Result) {
	p.Of = len(r.Margins)
	for _, m := range r.Margins { // by margin over target, as in the pack
		if m.Open() {
			p.None++
		}
		if m.None == "" && len(p.Margins) < mostMargins {
			p.Margins = append(p.Margins, margin{m.INCI, document.FormatFloat(m.MoS, 3),
				m.Verdict == exposure.MarginBelow, document.FormatFloat(m.Target.Value, 3)})
		}
	}
}

// focus tells how far the line in focus may go, and what happens on the way.
func (q *ask) focus(p *workshop.Product, results []*calc.Result, key string) *focus {
	v := &view{Grams: p.Formula.Basis == formula.Grams}
	var found *row
	for i, ph := range p.Formula.Phases {
		for j, line := range ph.Lines {
			if fmt.Sprintf("%d-%d", i, j) == key {
				v.Phases = []phase{{Lines: []row{{Key: key, ID: line.Ingredient, Slot: line.Slot, Rest: line.Rest,
					line: line}}}}
				found = &v.Phases[0].Lines[0]
			}
		}
	}
	if found == nil || found.Rest {
		return nil
	}
	f := &focus{Name: q.names.Name(found.ID), Field: "amount-" + key, Unit: "%"}
	if found.Slot != "" {
		f.Name = found.Slot
	}
	tight, ok := q.rooms(v, results)[key]
	if !ok {
		return f
	}
	up := tight
	f.Known, f.Up, f.UpText, f.None = true, up, cutDown(up.AtMost), up.None
	if len(up.Trace) > 0 {
		f.Trace = frame.Sentence(q.names.Short(up.why()))
		f.Ask = frame.Sentence(words.Term("room-trace-ask", finding.With().Name("supplier", q.supplier(found)), words.Bench))
		up = room{}
		if tight.Rest != nil {
			up = *tight.Rest
		}
		f.Up, f.UpText, f.None, f.Rest = up, cutDown(up.AtMost), up.None, tight.Rest != nil
	}
	f.Over = up.None || up.AtMost.Less(found.line.Amount)
	f.Up.Rule = q.names.Short(up.Rule)
	f.Lane = frame.RoomLane(found.line.Amount, up.AtMost)
	f.Changes = q.changes(found, results)
	return f
}

// supplier is whom to ask about the material of a line.
func (q *ask) supplier(r *row) string {
	if sheet := q.v.Workshop().Sheets[r.ID]; sheet != nil {
		return formula.SupplierName(sheet)
	}
	return formula.SupplierName(&ingredients.Sheet{})
}

// changes lists the values of the line at which the label changes, nearest first.
func (q *ask) changes(r *row, results []*calc.Result) []string {
	type change struct {
		at   exact.Num
		text string
	}
	var list []change
	for _, result := range results {
		if result.Input.Variant.ID != q.variant.ID || result.Input.Market != q.market {
			continue
		}
		for _, h := range q.headrooms(result) {
			if !matches(r, h) {
				continue
			}
			for _, c := range h.Changes {
				if c.UsePct.Sign() <= 0 {
					continue
				}
				at := r.line.Amount.Mul(c.AtPct).Quo(c.UsePct)
				list = append(list, change{at, fmt.Sprintf("from %s: %s", document.FormatNum(at, document.RuleSig(3)),
					q.names.Short(c.What))})
			}
		}
	}
	w := r.line.Amount
	slices.SortStableFunc(list,
		func(a, b change) int { return cmp.Compare(distance(a.at, w), distance(b.at, w)) })
	var texts []string
	for _, c := range list[:min(len(list), 3)] {
		texts = append(texts, c.text)
	}
	return texts
}

func distance(a, b exact.Num) float64 {
	d := a.Sub(b).Float()
	if d < 0 {
		return -d
	}
	return d
}
