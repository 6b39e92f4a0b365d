package recalc

import (
	"math/big"
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/dossier/document"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// boundRule is a rule that bounds what some substances add up to.
type boundRule struct {
	name  string
	limit exact.Num // % w/w, after the factor
	ref   string    // the formula of that bound
	basis string    // the cell of the factor; "" where there is none
	counted
}

// roomRules are the rules that a raw material can run into.
func (m *model) roomRules(bounding []*liveLimit, published []*liveStandard, margins []*marginRow) []boundRule {
	var rules []boundRule
	for i, l := range bounding {
		rules = append(rules, boundRule{entryOf(l) + ", " + words.JoinNames(l.check.Substances),
			*l.check.LimitPct, cellAt(TableLimits, "limit", i), cellAt(TableLimits, "factor", i), l.counted})
	}
	for i, l := range published {
		rules = append(rules, boundRule{"Standard " + l.check.Standard, *l.check.LimitPct,
			cellAt(tableStandards, "limit", i), "", l.counted})
	}
	for _, r := range margins {
		if !r.all || r.HighestPct == nil || r.MoS == 0 {
			continue
		}
		if limit := exactOf(*r.HighestPct); limit.Less(formula.Hundred) {
			rules = append(rules, boundRule{"margin of " + r.name, limit, cellAt(TableMargins, "most", r.row), "",
				counted{subs: []*modelSubstance{r.sub}, factor: exact.Int(1)}})
		}
	}
	return rules
}

// togetherRules are the margins of all products together.
func (m *model) togetherRules(margins []*marginRow, t *document.Table) (rules []boundRule) {
	if t == nil {
		return nil
	}
	for i, row := range t.Rows {
		k := slices.IndexFunc(margins, func(r *marginRow) bool { return r.name == row.Cells[0].Text })
		mos, target := figureIn(t, i, "mos"), figureIn(t, i, "target")
		if k < 0 || !margins[k].all || mos == 0 || target == 0 {
			continue
		}
		limit := exactOf(figureIn(t, i, "content") * mos / target)
		if !limit.Less(formula.Hundred) {
			continue
		}
		at := func(key string) string { return cellAt(tableAggregate, key, i) }
		rules = append(rules, boundRule{"margin of " + margins[k].name + ", all products together", limit,
			"IF(ISNUMBER(" + at("mos") + ")," + at("content") + "*" + at("mos") + "/" + at("target") + `,"` + noBound +
				`")`, "", counted{subs: []*modelSubstance{margins[k].sub}, factor: exact.Int(1)}})
	}
	return rules
}

// exactOf returns a float as the fraction it is; 100 where it is none.
func exactOf(f float64) exact.Num {
	if r := new(big.Rat).SetFloat64(f); r != nil {
		return exact.FromRat(r)
	}
	return formula.Hundred
}

// rest is the raw material that takes what the others leave; nil: all others give way.
func (m *model) rest(c *modelColumn) *modelMaterial {
	for _, s := range c.comp.Mixture.Shares {
		for _, x := range m.materials {
			if s.Rest && x.key == c.keys[s.Ingredient] {
				return x
			}
		}
	}
	return nil
}

// inMaterial is what counts in a raw material, % of it, and the formula for it.
func (k *counted) inMaterial(mat *modelMaterial) (exact.Num, string) {
	var sum exact.Num
	var terms []string
	for _, s := range k.subs {
		n := len(s.rows)
		if k.own && s.ownRow >= 0 {
			n = s.own
		}
		key := "in"
		for _, r := range s.rows[:n] {
			if len(r.listed) > 0 {
				key = "counted"
			}
		}
		for _, r := range s.rows[:n] {
			if r.material == mat {
				sum = sum.Add(r.counted.Max)
				terms = append(terms, cellAt(tableContents, key+".max", r.row))
			}
		}
	}
	if len(terms) == 0 {
		return sum, "0"
	}
	return sum, "SUM(" + strings.Join(terms, ",") + ")"
}

// What the room table says where a rule bounds nothing, and a ratio above any other.
const noBound, boundless = "no bound", "999999999"

// roomTable is the most of each raw material at which a rule is just kept: it grows at the
// cost of the q.s. line or, without one, of all others in proportion.
func (m *model) roomTable(rules []boundRule) *document.Table {
	t := &document.Table{ID: tableRoom, Title: "Headroom: the most of a raw material in each mixture, % w/w",
		SheetName: limitSheet, Empty: "No rule with a figure touches a raw material that does not react.",
		Columns: append([]document.Column{{Head: "Raw material", Fixed: true, Weight: 1.4},
			{Head: "Rule", Weight: 1.6}, numbers("bound", "At most in the product", "% w/w"),
			numbers("ratio", "At most ÷ use", ""), verdicts[0], verdicts[1], verdicts[2]},
			m.mixtureColumns()...)}
	for _, rule := range rules {
		for _, mat := range m.materials {
			if n, _ := rule.inMaterial(mat); n.Sign() > 0 && !mat.made { // more of a fat is another reaction
				m.roomRow(t, &rule, mat)
			}
		}
	}
	return t.Note("Computed at the highest contents. At most = use + (bound − content) ÷ (content of the raw material − what gives way). Certificates bound the scent itself: table above. What fills a slot together, the sum over several scents and the places where the label changes: sheet Headroom.")
}

// roomRow adds the row of one raw material under one rule; none where no mixture bounds it.
func (m *model) roomRow(t *document.Table, rule *boundRule, mat *modelMaterial) {
	cells, ratios := []document.Cell(nil), []string(nil)
	least, bounded, binds := exact.Num{}, false, false
	for _, c := range m.columns {
		cell, most, ok := m.roomCell(rule, mat, c)
		cells = append(cells, cell)
		if !ok {
			continue
		}
		binds = binds || most.Less(formula.Hundred)
		ratio := most.Quo(c.uses[mat.key])
		if !bounded || ratio.Less(least) {
			least, bounded = ratio, true
		}
		use := cellAt(tableUse, c.key, mat.row)
		ratios = append(ratios, "IF(ISNUMBER({"+c.key+"}),IF("+use+">0,{"+c.key+"}/"+use+","+boundless+"),"+
			boundless+")")
	}
	if !binds { // more than the whole product is allowed
		return
	}
	over := least.Less(exact.Int(1))
	head := []document.Cell{document.TextCell(mat.name), document.TextCell(rule.name),
		document.PctCell(rule.limit).Computed(rule.ref),
		document.FloatCell(least.Float(), document.RatioDigits).Computed("MIN(" + strings.Join(ratios, ",") + ")"),
		overCell(over).Computed("IF({ratio}<1-" + tiny + `,"` + verdictText(overCell(true)) + `","` +
			verdictText(overCell(false)) + `")`), overCell(over), sameCell()}
	t.Add(append(head, cells...)...)
}

// roomCell is the most of a raw material in one mixture.
func (m *model) roomCell(rule *boundRule, mat *modelMaterial, c *modelColumn) (document.Cell, exact.Num, bool) {
	use, there := c.uses[mat.key]
	rest := m.rest(c)
	if !there || use.Sign() <= 0 || !use.Less(formula.Hundred) || rest == mat || !m.isBase(c) {
		return document.BlankCell(), exact.Num{}, false
	}
	of := func(s *formula.Substance) exact.Num { return s.Total.Max }
	if rule.own {
		of = func(s *formula.Substance) exact.Num { return s.Pct.Max }
	}
	content := c.sum(rule.subs, of)
	inside, formulaInside := rule.inMaterial(mat)
	u, all := cellAt(tableUse, c.key, mat.row), rule.inMixture(c)
	gives, slope := exact.Num{}, "" // by the slope the bound less the content is divided
	if rest != nil {
		var what string
		gives, what = rule.inMaterial(rest)
		gives, slope = gives.Quo(formula.Hundred), "100/SUM("+formulaInside+",-"+what+")"
	} else { // in % less what gives way: inside − (all − inside × use)/(100 − use)
		gives = content.Sub(inside.Pct(use)).Quo(formula.Hundred.Sub(use))
		slope = "SUM(100,-" + u + ")/SUM(" + formulaInside + ",-" + all + ")"
	}
	rate := inside.Quo(formula.Hundred).Sub(gives)
	if rate.Sign() <= 0 {
		return document.BlankCell(), exact.Num{}, false
	}
	most := use.Add(rule.limit.Quo(rule.factor).Sub(content).Quo(rate))
	bound := "{bound}"
	if rule.basis != "" {
		bound += "/" + rule.basis
	}
	_, grows, _ := strings.Cut(slope, "/")
	most = most.Max(exact.Num{}).Min(formula.Hundred)
	return document.PctCell(most).Computed("IF(ISNUMBER({bound}),IF(0<" + grows + ",MIN(100,MAX(0,SUM(" +
		u + ",SUM(" + bound + ",-" + all + ")*" + slope + `))),"` + noBound + `"),"` + noBound + `")`), most, true
}
