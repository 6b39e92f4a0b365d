package recalc

import (
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law/rows"
	"gallipot/calc/listing"
	"gallipot/dossier/document"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// allergenGroup is a label name whose total is made of the same substances in
// one or several markets.
type allergenGroup struct {
	name    string
	entry   string
	rows    map[rows.Market]string // keys of the rows of each market's list
	members map[*modelColumn][]*formula.Substance
}

// marketLists is what the lists of one market make of the mixtures.
type marketLists struct {
	members map[*modelColumn]map[string][]*formula.Substance
	silent  map[string]map[string][]string // by variant and row
}

func (m *model) marketLists(market rows.Market) marketLists {
	l := marketLists{members: map[*modelColumn]map[string][]*formula.Substance{},
		silent: map[string]map[string][]string{}}
	for _, c := range m.columns {
		if r := m.v.A.Result(c.variant.ID, market); r != nil {
			l.members[c] = listing.AllergenMembers(r.Input, r.Compositions[c.mix])
			if c.mix == 0 {
				l.silent[c.variant.ID] = listing.SilentMaterials(r.Input, r.Compositions)
			}
		}
	}
	return l
}

// allergenGroups joins the markets that count the same substances under a name.
func (m *model) allergenGroups(lists map[rows.Market]marketLists) []*allergenGroup {
	var groups []*allergenGroup
	at := map[string]*allergenGroup{}
	for _, market := range m.v.A.Markets {
		seen := map[string]bool{}
		for _, x := range m.v.Variants {
			r := m.v.A.Result(x.ID, market)
			if r == nil {
				continue
			}
			for _, t := range r.Allergens {
				if seen[t.Row.Key] || t.Worst.IsZero() {
					continue
				}
				seen[t.Row.Key] = true
				g := &allergenGroup{name: t.LabelName, entry: "III/" + t.Row.Entry, rows: map[rows.Market]string{},
					members: map[*modelColumn][]*formula.Substance{}}
				signature := t.LabelName
				for _, c := range m.columns {
					g.members[c] = lists[market].members[c][t.Row.Key]
					signature += "\x00" + c.key
					for _, s := range g.members[c] {
						signature += "\x01" + s.Key()
					}
				}
				if at[signature] == nil {
					at[signature] = g
					groups = append(groups, g)
				}
				at[signature].rows[market] = t.Row.Key
			}
		}
	}
	slices.SortStableFunc(groups, func(a, b *allergenGroup) int {
		return strings.Compare(strings.ToLower(a.name), strings.ToLower(b.name))
	})
	return groups
}

// markets names the markets of a group in the order of the product.
func (g *allergenGroup) markets(m *model) []string {
	var names []string
	for _, market := range m.v.A.Markets {
		if g.rows[market] != "" {
			names = append(names, string(market))
		}
	}
	return names
}

// total is the content under a name in a mixture, and whether any of it is there.
func (g *allergenGroup) total(c *modelColumn) (sum exact.Range, there bool) {
	for _, s := range g.members[c] {
		sum = sum.Add(c.contents[s.Key()].Total)
	}
	return sum, len(g.members[c]) > 0
}

// allergenSections build the totals and the verdicts on them.
func (m *model) allergenSections() []*document.Section {
	lists := map[rows.Market]marketLists{}
	for _, market := range m.v.A.Markets {
		lists[market] = m.marketLists(market)
	}
	groups := m.allergenGroups(lists)
	if len(groups) == 0 {
		return nil
	}
	totals := &document.Section{ID: "recalc-allergens", Title: "Recalculation: totals of allergens"}
	for _, b := range bounds {
		totals.Add(m.allergenTotals(b, groups))
	}
	declare := &document.Section{ID: "recalc-declare-section", Title: "Recalculation: allergens to declare"}
	d := &declareBuilder{m: m, groups: groups, lists: lists}
	declare.Add(d.thresholds(), d.table())
	return []*document.Section{totals, declare}
}

func totalsTable(b bound) string { return "recalc-allergens-" + b.key }

// allergenTotals adds up one bound of the substances under each name.
func (m *model) allergenTotals(b bound, groups []*allergenGroup) *document.Table {
	title := strings.Replace(b.title, "content of each substance", "total of each label name", 1)
	t := &document.Table{ID: totalsTable(b), Title: title, SheetName: allergenSheet,
		Columns: append([]document.Column{
			{Head: "Label name", Fixed: true, Weight: 1.4}, {Head: "Markets"}, {Key: "worst", Head: "Highest",
				Kind: document.KindNumber}, {Key: "where", Head: "Highest in"}}, m.mixtureColumns()...)}
	for i, g := range groups {
		var worst exact.Num
		where := ""
		for _, c := range m.columns {
			if r, there := g.total(c); there && (where == "" || worst.Less(b.of(r))) {
				worst, where = b.of(r), c.head
			}
		}
		name := document.TextCell(g.name)
		most := document.PctCell(worst).Computed("MAX({" + m.span() + "})")
		if b.key == "max" {
			name = name.At("recalc-allergen-" + words.Itoa(i))
			most = most.Named(m.names.of("Allergen", g.name))
		}
		row := []document.Cell{name, document.TextCell(words.JoinNames(g.markets(m))), most,
			document.TextCell(where).Computed("INDEX({" + m.span() + "@head},1,MATCH({worst},{" + m.span() + "},0))")}
		t.Add(m.fill(row, func(c *modelColumn) document.Cell {
			r, there := g.total(c)
			if !there {
				return document.BlankCell()
			}
			var terms []string
			for _, s := range g.members[c] {
				terms = append(terms, cellAt(b.table, c.key, m.subAt[s.Key()].row))
			}
			return document.PctCell(b.of(r)).Computed(strings.Join(terms, "+"))
		})...)
	}
	if b.key == "max" {
		t.Note("A name adds up all substances and isomers that the list puts under it. The contents declared for each raw material are inputs on sheet " + contentsOfSheet + ".")
	}
	return t
}
