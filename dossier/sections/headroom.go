package sections

import (
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/headroom"
	"gallipot/calc/law/rows"
	"gallipot/dossier/document"
	"gallipot/dossier/parallel"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// roomIn is the headroom of a material or slot in the variant and market that
// leave least.
type roomIn struct {
	headroom.Headroom
	variant string
	market  rows.Market
	rules   []ruleIn
	changes []changeIn
}

type ruleIn struct {
	headroom.RuleRoom
	variant string
	market  rows.Market
}

type changeIn struct {
	headroom.LabelChange
	variant string
	market  rows.Market
}

func (h *roomIn) name() string {
	if h.Slot != "" {
		return "slot " + h.Slot
	}
	return h.Ingredient
}

// ratio is how many times the present use there is room for; -1 where none is
// left even without it.
func (h *roomIn) ratio() exact.Num {
	if h.AtMostPct == nil {
		return exact.Int(-1)
	}
	return h.AtMostPct.Quo(h.UsePct)
}

// rooms joins the headrooms of all shown variants and markets, the tightest
// first.
func rooms(v *show.View) []*roomIn {
	var list []*roomIn
	at := map[string]*roomIn{}
	var results []*calc.Result
	for _, x := range v.Variants {
		results = append(results, v.A.ByVariant(x.ID)...)
	}
	found := make([][]headroom.Headroom, len(results))
	parallel.Each(len(results), func(i int) { found[i] = headroom.Headrooms(results[i]) })
	for i, r := range results {
		for _, h := range found[i] {
			in := &roomIn{Headroom: h, variant: show.ShortName(r.Input.Variant), market: r.Input.Market}
			known := at[in.name()]
			if known == nil {
				at[in.name()] = in
				list = append(list, in)
				known = in
			} else if in.ratio().Less(known.ratio()) {
				known.Headroom, known.variant, known.market = in.Headroom, in.variant, in.market
			}
			known.take(in)
		}
	}
	slices.SortStableFunc(list, func(a, b *roomIn) int { return a.ratio().Cmp(b.ratio()) })
	return list
}

// take adds the rules and label changes of another variant or market, each rule
// once where it leaves least.
func (h *roomIn) take(other *roomIn) {
	for _, rule := range other.Headroom.Rules {
		i := slices.IndexFunc(h.rules, func(k ruleIn) bool { return k.Rule == rule.Rule })
		in := ruleIn{rule, other.variant, other.market}
		switch {
		case i < 0:
			h.rules = append(h.rules, in)
		case tighterRule(rule, h.rules[i].RuleRoom):
			h.rules[i] = in
		}
	}
	for _, c := range other.Headroom.Changes {
		if !slices.ContainsFunc(h.changes, func(k changeIn) bool {
			return k.What == c.What && k.Portion == c.Portion && k.AtPct.Equal(c.AtPct) && k.UsePct.Equal(c.UsePct)
		}) {
			h.changes = append(h.changes, changeIn{c, other.variant, other.market})
		}
	}
}

func tighterRule(a, b headroom.RuleRoom) bool {
	switch {
	case b.AtMostPct == nil:
		return false
	case a.AtMostPct == nil:
		return true
	}
	return a.AtMostPct.Quo(a.UsePct).Less(b.AtMostPct.Quo(b.UsePct))
}

// HeadroomSection shows how far each raw material and slot can go, which rule
// binds, and where the label changes.
func HeadroomSection(v *show.View) *document.Section {
	s := &document.Section{ID: "headroom", Title: "Headroom",
		Intro: "The most of each raw material and slot at which every rule above still holds, in the variant and market that leave least, and the rule that binds. The material grows at the cost of the q.s. line or, without one, of all others. Other things the assessor looks at, such as irritation, are not rules here."}
	rooms := rooms(v)
	t := &document.Table{ID: "headroom-all", SheetName: "Headroom",
		Columns: []document.Column{{Head: "Raw material or slot", Fixed: true, Weight: 1.3}, {Head: "Where"},
			{Head: "Use now", Unit: "% w/w", Kind: document.KindNumber},
			{Head: "At most", Unit: "% w/w", Kind: document.KindNumber}, {Head: "At most ÷ use",
				Kind: document.KindNumber}, {Head: "What binds", Weight: 2}}}
	rules := &document.Table{ID: "headroom-rules", Title: "Room by rule", SheetName: "Headroom by rule",
		InWorkbook: v.IsRange(), Empty: "No rule but the total of 100 touches any material.",
		Columns: []document.Column{{Head: "Raw material or slot", Fixed: true, Weight: 1.3},
			{Head: "Rule", Weight: 2.2}, {Head: "Use now", Unit: "% w/w", Kind: document.KindNumber}, {Head: "At most",
				Unit: "% w/w", Kind: document.KindNumber}, {Head: "Where"}}}
	changes := &document.Table{ID: "headroom-label",
		Title:     "Where the label changes, between a third and three times the present use",
		SheetName: "Label changes", InWorkbook: len(v.Variants) > 1, Empty: "No amount within reach changes the label.",
		Columns: []document.Column{{Head: "Raw material or slot", Fixed: true, Weight: 1.3},
			{Head: "Use now", Unit: "% w/w", Kind: document.KindNumber}, {Head: "At", Unit: "% w/w",
				Kind: document.KindNumber}, {Head: "What changes", Weight: 2.5}, {Head: "Where"}},
		Notes: []string{"Both are % of the portion named, or of the whole product. An allergen is declared when one portion alone is above its threshold; a name that another material or portion brings onto the label anyway is not listed."}}
	chart := &document.HBarLog{ID: "chart-headroom", Title: "Use against the most allowed", Unit: "% w/w",
		Caption: "One bar for each material and rule, the tightest of each; rules that leave more than a hundred times the use are left out."}
	for _, h := range rooms {
		where := h.where(h.variant, h.market, h.Portion)
		t.Add(document.TextCell(h.name()), document.TextCell(where), document.PctCell(h.UsePct),
			h.mostCell(h.AtMostPct, h.Below), h.ratioCell(), document.TextCell(binding(h.Binding, h.Trace)))
		for _, rule := range h.rules {
			if rule.Kind == headroom.RuleTotal || rule.AtMostPct != nil && chartReach.Less(*rule.AtMostPct) {
				continue // more than the whole product: it never binds
			}
			rules.Add(document.TextCell(h.name()), document.TextCell(rule.Rule), document.PctCell(rule.UsePct),
				h.mostCell(rule.AtMostPct, rule.Below), document.TextCell(h.where(rule.variant, rule.market,
					rule.Portion)))
			h.bar(chart, rule)
		}
		slices.SortStableFunc(h.changes, func(a, b changeIn) int { return a.AtPct.Cmp(b.AtPct) })
		for _, c := range h.changes {
			if !nearUse(c.AtPct, c.UsePct) {
				continue
			}
			changes.Add(document.TextCell(h.name()), document.PctCell(c.UsePct), document.PctCell(c.AtPct),
				document.TextCell(c.What), document.TextCell(h.where(c.variant, c.market, c.Portion)))
		}
	}
	if v.A.Product.Saponify != nil {
		t.Notes = append(t.Notes,
			"Fats and lye that react are not listed: another amount of one of them is another reaction. Change the formula and compute it anew.")
	}
	s.Add(t)
	if len(chart.Rows) > mostBars {
		chart.Rows = chart.Rows[:mostBars]
		chart.Caption += " The " + words.Itoa(mostBars) + " tightest are drawn."
	}
	if len(chart.Rows) > 0 {
		s.Add(chart)
	}
	return s.Add(rules, changes)
}

func (h *roomIn) where(variant string, market rows.Market, portion string) string {
	text := variant + ", " + string(market)
	if portion != "" {
		text += ", " + portion
	}
	return text
}

// binding is a rule in words, with why nothing is what is left where it prohibits a mere trace.
func binding(rule string, trace []string) string {
	if len(trace) == 0 {
		return rule
	}
	entry, _, _ := strings.Cut(rule, ",") // the substance is named behind it
	return entry + ": " + words.Term("room-trace", finding.With().Names("substances", trace), words.Assessor)
}

func (h *roomIn) mostCell(n *exact.Num, below bool) document.Cell {
	switch {
	case n == nil:
		return document.VerdictCell(document.VerdictFail, "none: the others break the rule")
	case below:
		return document.PctCell(*n).In("(less than)")
	}
	return document.PctCell(*n)
}

func (h *roomIn) ratioCell() document.Cell {
	if h.AtMostPct == nil {
		return document.BlankCell()
	}
	return document.NumCell(h.ratio(), document.RuleSig(3))
}

// mostBars is how many bars a page of the picture holds.
const mostBars = 30

// nearUse says whether a content lies between a third and three times the use:
// what a maker may reach when changing a formula.
func nearUse(at, use exact.Num) bool {
	three := exact.Int(3)
	return !at.Mul(three).Less(use) && !use.Mul(three).Less(at)
}

// chartReach is how far beyond the use a rule may be to stand in the picture.
//
// The same number is 100 %: a rule that allows more never binds.
var chartReach = exact.Int(100)

func (h *roomIn) bar(chart *document.HBarLog, rule ruleIn) {
	if rule.AtMostPct == nil || rule.AtMostPct.Sign() <= 0 || chartReach.Less(rule.AtMostPct.Quo(rule.UsePct)) {
		return
	}
	state := document.VerdictMet
	if rule.AtMostPct.Less(rule.UsePct) {
		state = document.VerdictFail
	}
	chart.Rows = append(chart.Rows, document.HBar{Label: h.name() + ": " + string(rule.Kind),
		Value: rule.UsePct.Float(), Limit: rule.AtMostPct.Float(),
		Used: document.PctCell(rule.UsePct), Bound: document.PctCell(*rule.AtMostPct), State: state})
}
