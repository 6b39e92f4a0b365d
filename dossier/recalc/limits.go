package recalc

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/calc/limits"
	"gallipot/calc/standards"
	"gallipot/dossier/document"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// The tables of limits and certificates, by their IDs, and their sheet.
const (
	limitSheet        = "Recalc limits"
	tableLimits       = "recalc-limits"
	tableCertificates = "recalc-certificates"
)

// liveLimit is a limit of the annexes that a sheet can follow: its content is the contents
// of some substances added up, times one factor of the basis.
type liveLimit struct {
	check   limits.LimitCheck
	markets []string
	subs    []*modelSubstance
	own     bool      // what comes in as a constituent alone is counted
	factor  exact.Num // from the substances as they are to the basis of the entry
}

// limitsSection holds the limits and certificates that follow the formula.
func (m *model) limitsSection() *document.Section {
	s := &document.Section{ID: "recalc-limits-section", Title: "Recalculation: limits and certificates"}
	return s.Add(m.limitsTable(), m.certificatesTable())
}

// liveLimits joins the limits with a figure over variants and markets, the highest content
// of each. those are the others, by name: their content is no plain sum.
func (m *model) liveLimits() (list []*liveLimit, others []string) {
	at := map[string]*liveLimit{}
	var order []*liveLimit
	for _, r := range m.v.A.Results {
		for _, c := range r.Limits {
			if c.LimitPct == nil || c.Verdict == limits.LimitNotApplicable || c.Content.Max.IsZero() {
				continue
			}
			key := c.Row.Key + "\x00" + strings.Join(c.Substances, "\x00")
			l := at[key]
			if l == nil {
				l = &liveLimit{check: c}
				at[key], order = l, append(order, l)
			} else if l.check.Content.Max.Less(c.Content.Max) {
				l.check = c
			}
			l.markets = words.AddOnce(l.markets, string(r.Input.Market))
		}
	}
	for _, l := range order {
		if m.follow(l) {
			list = append(list, l)
		} else {
			others = words.AddOnce(others, entryOf(l))
		}
	}
	slices.SortStableFunc(list, func(a, b *liveLimit) int {
		return cmp.Or(cmp.Compare(a.check.Row.Annex, b.check.Row.Annex),
			cmp.Compare(a.check.Row.Entry, b.check.Row.Entry))
	})
	return list, others
}

func entryOf(l *liveLimit) string {
	return "Annex " + l.check.Row.Annex + " entry " + l.check.Row.Entry
}

// follow finds the substances of a limit and the factor of its basis, and says whether the
// content in the pack comes out of them: exactly where the basis needs no factor.
func (m *model) follow(l *liveLimit) bool {
	for _, name := range l.check.Substances {
		i := slices.IndexFunc(m.subs, func(s *modelSubstance) bool { return s.like.INCI == name || s.name == name })
		if i < 0 {
			return false
		}
		l.subs = append(l.subs, m.subs[i])
	}
	whole, own := exact.Num{}, exact.Num{}
	for _, c := range m.columns {
		w, o := exact.Num{}, exact.Num{}
		for _, s := range l.subs {
			if x := c.contents[s.key]; x != nil {
				w, o = w.Add(x.Total.Max), o.Add(x.Pct.Max)
			}
		}
		whole, own = whole.Max(w), own.Max(o)
	}
	one := exact.Int(1)
	switch {
	case len(l.subs) == 0 || whole.IsZero():
		return false
	case l.check.Content.Max.Cmp(whole) == 0:
		l.factor = one
	case l.check.Content.Max.Cmp(own) == 0:
		l.factor, l.own = one, true
	case len(l.subs) == 1 && len(l.check.Basis) > 0 && !own.IsZero():
		l.factor, l.own = l.check.Content.Max.Quo(own), true
	default:
		return false
	}
	return true
}

// row is the row of a substance in the tables of contents that a limit counts.
func (l *liveLimit) row(s *modelSubstance) int {
	if l.own && s.ownRow >= 0 {
		return s.ownRow
	}
	return s.row
}

func (m *model) limitsTable() *document.Table {
	t := &document.Table{ID: tableLimits, Title: "Limits of the annexes", SheetName: limitSheet,
		Empty: "No limit with a figure applies.", Columns: []document.Column{
			{Head: "Entry", Fixed: true}, {Head: "Substances", Weight: 1.6}, {Head: "Markets"}, {Key: "factor",
				Head: "Basis factor", Kind: document.KindNumber}, {Key: "content", Head: "Highest content", Unit: "% w/w", Kind: document.KindNumber},
			{Key: "limit", Head: "Limit", Unit: "% w/w", Kind: document.KindNumber}, {Key: "now",
				Head: "Verdict now"}, {Key: "pack", Head: "In the pack"}, {Head: "Same?"}}}
	list, others := m.liveLimits()
	for _, l := range list {
		var sums []string
		for _, c := range m.columns {
			var terms []string
			for _, s := range l.subs {
				terms = append(terms, cellAt(tableMost, c.key, l.row(s)))
			}
			sums = append(sums, "SUM("+strings.Join(terms, ",")+")")
		}
		over := l.check.LimitPct.Less(l.check.Content.Max)
		t.Add(document.TextCell(entryOf(l)), document.TextCell(strings.Join(l.check.Substances, ", ")),
			document.TextCell(strings.Join(l.markets, ", ")),
			document.NumCell(l.factor, document.RuleSig(6)), document.PctCell(l.check.Content.Max).
				Computed("MAX("+strings.Join(sums, ",")+")*{factor}"),
			document.PctCell(*l.check.LimitPct).
				Open(document.PctInput("Limit, % w/w", l.check.Row.Source)), overCell(over).
				Computed(overFormula("content")), overCell(over),
			document.TextCell("same").Computed(`IF({now}={pack},"same","differs")`))
	}
	if len(others) > 0 {
		t.Note("Not followed here, since their content is no plain sum: " + words.JoinNames(others) +
			". Their verdict stands on sheet Limits and is that of the pack.")
	}
	return t.Note("Conditions beside the figure (use, age, wording) are judged in the pack alone.")
}

// overCell is the verdict on a content against a figure.
func overCell(over bool) document.Cell {
	if over {
		return document.VerdictCell(document.VerdictFail, "exceeded")
	}
	return document.VerdictCell(document.VerdictMet, "kept")
}

// overFormula compares a content with the limit beside it; what differs by rounding alone
// is equal.
func overFormula(content string) string {
	return "IF({" + content + "}>{limit}*(1+" + tiny + `),"` + verdictText(overCell(true)) + `","` +
		verdictText(overCell(false)) + `")`
}

// liveUse is one scent against its certificate.
type liveUse struct {
	use standards.FragranceUse
	mat *modelMaterial
}

func (m *model) certificatesTable() *document.Table {
	t := &document.Table{ID: tableCertificates, Title: "Scents against their certificates",
		SheetName: limitSheet, Empty: "No scent with a certificate is in it.", Columns: []document.Column{
			{Head: "Scent", Fixed: true, Weight: 1.6}, {Head: "Category"}, {Key: "use", Head: "Highest use",
				Unit: "% w/w", Kind: document.KindNumber}, {Key: "limit", Head: "Certificate", Unit: "% w/w", Kind: document.KindNumber},
			{Key: "ratio", Head: "Use ÷ limit", Kind: document.KindNumber}, {Key: "now",
				Head: "Verdict now"}, {Key: "pack", Head: "In the pack"}, {Head: "Same?"}}}
	for _, x := range m.liveUses() {
		var refs []string
		for _, c := range m.columns {
			refs = append(refs, cellAt(tableUse, c.key, x.mat.row))
		}
		over := x.use.LimitPct.Less(x.use.UsePct)
		t.Add(document.TextCell(x.mat.name), document.TextCell(x.use.Category), document.PctCell(x.use.UsePct).
			Computed("MAX("+strings.Join(refs, ",")+")"),
			document.PctCell(*x.use.LimitPct).
				Open(document.PctInput("Certificate, % w/w", "the certificate of the supplier")),
			document.NumCell(x.use.UsePct.Quo(*x.use.LimitPct), document.RuleSig(3)).
				Computed("{use}/{limit}"), overCell(over).Computed(overFormula("use")), overCell(over),
			document.TextCell("same").Computed(`IF({now}={pack},"same","differs")`))
	}
	return t
}

// liveUses are the scents with a figure on their certificate, each at its highest use.
func (m *model) liveUses() (list []liveUse) {
	at := map[string]int{}
	for _, r := range m.v.A.Results {
		for _, u := range r.Fragrances {
			i := slices.IndexFunc(m.materials, func(x *modelMaterial) bool { return x.id == u.Ingredient })
			if i < 0 || u.LimitPct == nil || u.LimitPct.Sign() <= 0 {
				continue
			}
			key := u.Ingredient + "\x00" + u.Category
			k, known := at[key]
			if !known {
				at[key] = len(list)
				list = append(list, liveUse{u, m.materials[i]})
			} else if list[k].use.UsePct.Less(u.UsePct) {
				list[k].use = u
			}
		}
	}
	return list
}
