package grid

import (
	"strings"

	"gallipot/calc"
	"gallipot/calc/headroom"
	"gallipot/dossier/assess"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// room is how far a line may go, in the unit in which it is written.
type room struct {
	AtMost  exact.Num
	None    bool // the others break the rule without it
	Below   bool
	Rule    string
	Variant string
	Trace   []string // prohibited, and in it as a trace alone: no rule that leaves a content
	Rest    *room    // what the other rules leave where that is so
}

// judge gives each line its headroom and its mark.
func (q *ask) judge(v *view, a *assess.Assessment) {
	rooms := q.rooms(v, a.Results)
	for _, r := range v.all() {
		if x, ok := rooms[r.Key]; ok {
			r.Up, r.Why = x.text(), q.names.Short(x.why())
		}
		q.mark(r, a)
		if r.Rest {
			r.Why = "fills up to 100"
		}
	}
}

// why is the rule in words.
func (x room) why() string {
	if len(x.Trace) == 0 {
		return x.Rule
	}
	return words.Term("room-trace", finding.With().Names("substances", x.Trace), words.Bench)
}

func (x room) text() frame.HTML {
	switch {
	case len(x.Trace) > 0:
		return frame.Figure("0", 2)
	case x.None:
		return frame.Escape("none")
	case x.Below:
		return frame.Escape("below ") + frame.Figure(cutDown(x.AtMost), 2)
	}
	return frame.Figure(cutDown(x.AtMost), 2)
}

// cutDown prints a highest value with two decimals, or three significant figures below 1,
// never more than it is.
func cutDown(n exact.Num) string {
	step := exact.Frac(1, 100)
	for low := exact.Frac(1, 10); n.Sign() > 0 && n.Less(low) &&
		step.Cmp(exact.Frac(1, 1000000)) > 0; low = low.Quo(exact.Int(10)) {
		step = step.Quo(exact.Int(10))
	}
	return n.Quo(step).Floor().Mul(step).Decimal()
}

// rooms returns the tightest room of each line over all variants and markets, by row.
//
// A line w comes to the content u = k · w of a mixture, the same k for all its values while
// the q.s. line gives way. With the highest content U of the material, of which the other
// lines bring o:
//
//	w_max = (U − o) / k,  k = u / w
//
// In a formula in grams a line changes the whole, so nothing is said there.
func (q *ask) rooms(v *view, results []*calc.Result) map[string]room {
	tight := map[string]room{}
	if v.Grams {
		return tight
	}
	for _, r := range results {
		name := frame.VariantShort(q.p, r.Input.Variant)
		for _, h := range q.headrooms(r) {
			for _, row := range v.all() {
				if row.Rest || row.line.AmountPos.Line == 0 || !matches(row, h) {
					continue
				}
				x, ok := lineRoom(row, h, r)
				if !ok {
					continue
				}
				x.Variant = name
				if old, known := tight[row.Key]; !known || x.tighter(old) {
					tight[row.Key] = x
				}
			}
		}
	}
	return tight
}

// headrooms computes those of a result once a request.
func (q *ask) headrooms(r *calc.Result) []headroom.Headroom {
	if q.heads == nil {
		q.heads = map[*calc.Result][]headroom.Headroom{}
	}
	if _, known := q.heads[r]; !known {
		q.heads[r] = headroom.Headrooms(r)
	}
	return q.heads[r]
}

func matches(r *row, h headroom.Headroom) bool {
	return r.Slot != "" && r.Slot == h.Slot || r.Slot == "" && r.ID == h.Ingredient && h.Slot == ""
}

func (x room) tighter(than room) bool {
	switch {
	case x.None || than.None:
		return x.None && !than.None
	}
	return x.AtMost.Less(than.AtMost)
}

// lineRoom turns the room of a material in a mixture into that of a line. Where a trace of what is
// prohibited leaves none, what the other rules leave stands beside it.
func lineRoom(r *row, h headroom.Headroom, result *calc.Result) (room, bool) {
	if len(h.Rules) == 0 {
		return room{}, false
	}
	x, ok := ruleRoom(r, h.Rules[0], result)
	if len(x.Trace) == 0 {
		return x, ok
	}
	for _, rule := range h.Rules[1:] {
		if len(rule.Trace) > 0 {
			continue
		}
		if rest, ok := ruleRoom(r, rule, result); ok {
			x.Rest = &rest
		}
		break
	}
	return x, true
}

func ruleRoom(r *row, rule headroom.RuleRoom, result *calc.Result) (room, bool) {
	x := room{Rule: rule.Rule, Below: rule.Below, Trace: rule.Trace}
	if rule.Kind == headroom.RuleTotal {
		return x, false // that the whole is 100 needs no saying
	}
	if rule.AtMostPct == nil {
		x.None = true
		return x, true
	}
	w := r.line.Amount
	if w.Sign() <= 0 || rule.UsePct.Sign() <= 0 {
		return x, false
	}
	own := exact.Num{}
	for _, m := range result.Recipe.Mixtures() {
		if m.Name != rule.Portion {
			continue
		}
		for _, s := range m.Shares {
			if s.Pos == r.line.Pos {
				own = own.Add(s.Pct)
			}
		}
	}
	if own.Sign() <= 0 {
		return x, false
	}
	k := own.Quo(w)
	x.AtMost = rule.AtMostPct.Sub(rule.UsePct.Sub(own)).Quo(k)
	if x.AtMost.Sign() < 0 {
		x.None = true
	}
	return x, true
}

// Most letters of a reason in its narrow column; the mark beside it reads the whole.
const mostReason = 48

// shortened cuts a reason between two words.
func shortened(s string) string {
	if len([]rune(s)) <= mostReason {
		return s
	}
	s = string([]rune(s)[:mostReason])
	if i := strings.LastIndex(s, " "); i > 0 {
		s = s[:i]
	}
	return strings.TrimRight(s, ",;: ") + "…"
}

// mark gives a row the gravest state of what is open about its line or its material.
func (q *ask) mark(r *row, a *assess.Assessment) {
	var gravest *finding.Finding
	n := 0
	src := q.v.Workshop().SheetSource(r.ID)
	for i := range a.Findings {
		f := &a.Findings[i]
		here := f.Pos.File == a.Product.Source.Name && f.Pos.Line == r.line.Pos.Line && f.Pos.Line > 0
		if !here && (src == nil || f.Pos.File != src.Name) || f.Severity == finding.Note {
			continue
		}
		n++
		if gravest == nil || f.Severity < gravest.Severity {
			gravest = f
		}
	}
	if gravest == nil {
		return
	}
	r.Mark = frame.Sign(frame.KindOf(*gravest), strings.TrimSuffix(q.names.Message(*gravest), "."))
	if r.Why == "" {
		r.Why = q.names.Short(gravest.Subject)
		// its name stands there already
		if gravest.About.ID == r.ID || gravest.Subject == "" || strings.Contains(r.Why, r.Name) {
			r.Why = shortened(q.names.Short(frame.Said(gravest).Message))
		}
	}
}
