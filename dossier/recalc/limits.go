package recalc

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law/rows"
	"gallipot/calc/limits"
	"gallipot/calc/standards"
	"gallipot/dossier/document"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// The tables of limits and certificates, by their IDs, and their sheet; % w/w.
const (
	limitSheet        = "Recalc limits"
	TableLimits       = "recalc-limits"
	tableCertificates = "recalc-certificates"
	tableStandards    = "recalc-standards"
	tableThreshold    = "recalc-ttc"
	tableRoom         = "recalc-room"
)

// liveLimit is a limit of the annexes that a sheet can follow: its content is the contents
// of some substances added up, times one factor of the basis.
type liveLimit struct {
	check   limits.LimitCheck
	markets []rows.Market
	counted
}

// counted is what a rule adds up: some substances, and a factor to its basis.
type counted struct {
	subs   []*modelSubstance
	own    bool      // what comes in as a constituent alone is counted
	factor exact.Num // from the substances as they are to the basis of the rule
}

// limitsSection holds what is allowed and follows the formula: limits, certificates,
// Standards, thresholds of concern, and the room they leave.
func (m *model) limitsSection(margins []*marginRow, together *document.Table) *document.Section {
	s := &document.Section{ID: "recalc-limits-section",
		Title: "Recalculation: limits, certificates, Standards, thresholds and room"}
	bounding, others := m.liveLimits()
	published, unlike := m.liveStandards()
	rules := append(m.roomRules(bounding, published, margins), m.togetherRules(margins, together)...)
	return s.Add(m.limitsTable(bounding, others), m.certificatesTable(), m.standardsTable(published, unlike),
		m.thresholdTable(margins), m.roomTable(rules))
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
			if !slices.Contains(l.markets, r.Input.Market) {
				l.markets = append(l.markets, r.Input.Market)
			}
		}
	}
	for _, l := range order {
		var known bool
		l.counted, known = m.follow(l.check.Substances, l.check.Content.Max, len(l.check.Basis()) > 0)
		if known {
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

// follow finds substances by name and the factor to the content that a rule counts, and
// says whether that content comes out of them: exactly where the rule has no basis of its
// own.
func (m *model) follow(names []string, content exact.Num, basis bool) (counted, bool) {
	var k counted
	for _, name := range names {
		i := slices.IndexFunc(m.subs, func(s *modelSubstance) bool { return s.like.INCI == name || s.name == name })
		if i < 0 {
			return counted{}, false
		}
		k.subs = append(k.subs, m.subs[i])
	}
	whole, own := exact.Num{}, exact.Num{}
	for _, c := range m.columns {
		whole = whole.Max(c.sum(k.subs, func(x *formula.Substance) exact.Num { return x.Total.Max }))
		own = own.Max(c.sum(k.subs, func(x *formula.Substance) exact.Num { return x.Pct.Max }))
	}
	switch {
	case len(k.subs) == 0 || whole.IsZero():
		return counted{}, false
	case content.Cmp(whole) == 0:
		k.factor = exact.Int(1)
	case content.Cmp(own) == 0:
		k.factor, k.own = exact.Int(1), true
	case len(k.subs) == 1 && basis && !own.IsZero():
		k.factor, k.own = content.Quo(own), true
	default:
		return counted{}, false
	}
	return k, true
}

// sum adds up one figure of some substances in a mixture.
func (c *modelColumn) sum(subs []*modelSubstance, of func(*formula.Substance) exact.Num) (n exact.Num) {
	for _, s := range subs {
		if x := c.contents[s.key]; x != nil {
			n = n.Add(of(x))
		}
	}
	return n
}

// row is the row of a substance in the tables of contents that a rule counts.
func (k *counted) row(s *modelSubstance) int {
	if k.own && s.ownRow >= 0 {
		return s.ownRow
	}
	return s.row
}

// inMixture is the formula of what counts in a mixture, before the factor.
func (k *counted) inMixture(c *modelColumn) string {
	var terms []string
	for _, s := range k.subs {
		terms = append(terms, cellAt(TableMost, c.key, k.row(s)))
	}
	return "SUM(" + strings.Join(terms, ",") + ")"
}

// most is the formula of what counts in the mixture with most of it.
func (m *model) most(k *counted) string {
	var sums []string
	for _, c := range m.columns {
		sums = append(sums, k.inMixture(c))
	}
	return "MAX(" + strings.Join(sums, ",") + ")"
}

func (m *model) limitsTable(list []*liveLimit, others []string) *document.Table {
	t := &document.Table{ID: TableLimits, Title: "Limits of the annexes", SheetName: limitSheet,
		Empty: "No limit with a figure applies.", Columns: []document.Column{
			{Head: "Entry", Fixed: true}, {Head: "Substances", Weight: 1.6}, {Head: "Markets"},
			numbers("factor", "Basis factor", ""), numbers("content", "Highest content", "% w/w"),
			numbers("limit", "Limit", "% w/w"), verdicts[0], verdicts[1], verdicts[2]}}
	for _, l := range list {
		over := l.check.LimitPct.Less(l.check.Content.Max)
		t.Add(document.TextCell(entryOf(l)), document.TextCell(strings.Join(l.check.Substances, ", ")),
			document.TextCell(strings.Join(formula.MarketNames(l.markets), ", ")), document.NumCell(l.factor, document.RuleSig(6)),
			document.PctCell(l.check.Content.Max).Computed(m.most(&l.counted)+"*{factor}"),
			document.PctCell(*l.check.LimitPct).Open(document.PctInput("Limit, % w/w",
				strings.Join(l.check.Row.SourcesIn(l.markets), "; "))),
			overCell(over).Computed(overFormula("content")), overCell(over), sameCell())
	}
	notFollowed(t, others)
	return t.Note("Conditions beside the figure (use, age, wording) are judged in the pack alone.")
}

// verdicts are the columns in which a verdict stands beside that of the pack.
var verdicts = [3]document.Column{{Key: "now", Head: "Verdict now"}, {Key: "pack", Head: "In the pack"},
	{Key: "same", Head: "Same?"}}

// notFollowed names what a table leaves to the pack.
func notFollowed(t *document.Table, others []string) {
	if len(others) > 0 {
		t.Note("Not followed here, since their content is no plain sum: " + words.JoinNames(others) +
			". Their verdict stands on sheet Limits and is that of the pack.")
	}
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
			{Head: "Scent", Fixed: true, Weight: 1.6}, {Head: "Category"}, numbers("use", "Highest use", "% w/w"),
			numbers("limit", "Certificate", "% w/w"), numbers("ratio", "Use ÷ limit", ""), verdicts[0], verdicts[1], verdicts[2]}}
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
			sameCell())
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
