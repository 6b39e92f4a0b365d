package dossier

import (
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/law"
	"gallipot/ingredients"
)

// formula lists the ingredients of a variant by falling content, with their
// contents as the papers give them and the band.
//
// Basis: % w/w of the whole product, scents as one. A range that reaches over
// the bound of a band takes the band of its highest content, and says so.
func (n *notice) formula(x *calc.Variant) *Table {
	r := n.result(x)
	t := &Table{ID: n.id() + "-formula-" + anchorOf(x), SheetName: "Formula " + string(n.portal), Columns: []Column{
		{Head: "Variant", Weight: 0.7}, {Head: "Ingredient", Fixed: true, Weight: 1.6}, {Head: "CAS", Weight: 0.7}, {Head: "Content", Unit: "% w/w", Kind: KindRange}, {Head: "Band", Weight: 1}, {Head: "Remark", Weight: 1.2, Kind: KindText}}}
	entries := slices.DeleteFunc(slices.Clone(r.List.Entries), func(e calc.ListEntry) bool { return e.Kind == calc.EntryAllergen })
	slices.SortStableFunc(entries, func(a, b calc.ListEntry) int { return b.Pct.Typ.Cmp(a.Pct.Typ) })
	for _, e := range entries {
		band, remark := n.band(e.Pct)
		switch e.Kind {
		case calc.EntryUndeclared:
			remark = joined("; ", "no name yet: ask the supplier", remark)
		case calc.EntryScent:
			remark = joined("; ", "name, code and supplier: "+n.scents(r), remark)
		default:
			remark = joined("; ", remark, mostInPortion(r, strings.TrimSuffix(e.Name, " (nano)"), e.Pct))
		}
		t.Add(TextCell(shortVariant(x)), TextCell(e.Name), casCell(r, e.Name), RangeCell(e.Pct), TextCell(band.Wording[0]).MarkedIf(band.FromMemory(), memoryMark).From("label-rules.csv, rows N8a-1 to N8a-8: "+band.Source), TextCell(remark))
	}
	if len(r.Compositions) > 1 {
		t.Notes = append(t.Notes, portionsNotice)
	}
	return t
}

// portionsNotice stands below the contents of a pack in portions.
const portionsNotice = "Contents are those of the whole pack. It holds portions that differ; where one holds more, the remark says so. Whether the notice wants a formula for each of them, as for a product of several components, decides how they are sold and used (unverified): ask the responsible person before it is filed."

// mostInPortion says which portion holds more of a substance than the whole pack;
// "" where none does.
func mostInPortion(r *calc.Result, inci string, whole ingredients.Range) string {
	most, in := whole, ""
	for _, c := range r.Compositions[1:] {
		if s := c.Find(inci); s != nil && most.Max.Less(s.Total.Max) {
			most, in = s.Total, c.Mixture.Name
		}
	}
	if in == "" {
		return ""
	}
	return "in portion " + in + ": " + RangeCell(most).String() + " %"
}

// shortVariant names a variant in a table of several.
func shortVariant(x *calc.Variant) string {
	if x.ID == "" {
		return "–"
	}
	return x.ID
}

// band returns the band of a content, and says where its range could lie in
// another.
func (n *notice) band(pct ingredients.Range) (*law.LabelRule, string) {
	tables := n.v.a.Options.Law
	top := tables.LabelBand(law.NotificationBand, pct.Max)
	if top == nil {
		top = tables.LabelRules(law.NotificationBand)[len(tables.LabelRules(law.NotificationBand))-1] // over 100 by the ranges of the papers
	}
	if low := tables.LabelBand(law.NotificationBand, pct.Min); low != nil && low != top {
		return top, "by its lowest content: " + low.Wording[0]
	}
	return top, ""
}

// casCell is the CAS number of an ingredient, blank where it has none of its own.
func casCell(r *calc.Result, name string) Cell {
	if s := r.Whole().Find(strings.TrimSuffix(name, " (nano)")); s != nil && s.CAS != "" {
		return TextCell(s.CAS)
	}
	return BlankCell()
}

// scents names the fragrances and aromas of a variant with code and supplier.
func (n *notice) scents(r *calc.Result) string {
	var names []string
	for _, s := range n.sheets(r) {
		if s.IsScent() {
			names = addOnce(names, joined(", ", s.Name, s.Supplier.Code, s.Supplier.Name))
		}
	}
	return strings.Join(names, "; ")
}

// sheets are the materials of a variant.
func (n *notice) sheets(r *calc.Result) []*ingredients.Sheet {
	var out []*ingredients.Sheet
	for _, share := range r.Recipe.Whole.Shares {
		if s := n.v.a.Workshop.Sheets[share.Ingredient]; s != nil && !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}

// concern lists the ingredients whose exact content poison treatment asks for:
// those of rule N8b-1, and essential oils. Contents count by all routes.
func (n *notice) concern(x *calc.Variant) *Table {
	r := n.result(x)
	rule := n.v.a.Options.Law.LabelRule("N8b-1")
	t := &Table{ID: n.id() + "-concern-" + anchorOf(x), Title: "Of concern in poison treatment: " + variantName(x), SheetName: "Concern " + string(n.portal), Columns: []Column{
		{Head: "Variant", Weight: 0.7}, {Head: "Ingredient", Fixed: true, Weight: 1.8}, {Head: "Content", Unit: "% w/w", Kind: KindRange}, {Head: "Why", Weight: 1.6}}}
	oils := n.essentialOils(r)
	for _, s := range r.Whole().Substances {
		why := ""
		switch {
		case slices.ContainsFunc(rule.Wording, func(name string) bool { return ingredients.NameKey(name) == ingredients.NameKey(s.INCI) }):
			why = "named in rule N8b-1"
		case oils[ingredients.NameKey(s.INCI)]:
			why = "essential oil or extract used for its scent"
		default:
			continue
		}
		why = joined("; ", why, mostInPortion(r, s.INCI, s.Total))
		t.Add(TextCell(shortVariant(x)), TextCell(s.INCI), RangeCell(s.Total), TextCell(why).MarkedIf(rule.FromMemory(), memoryMark).From(rule.Source))
	}
	t.Notes = []string{"The form says for each category what it asks for; the list is not whole."}
	return t
}

// essentialOils are the constituents of scented materials that enter the list
// under their own names.
func (n *notice) essentialOils(r *calc.Result) map[string]bool {
	oils := map[string]bool{}
	for _, s := range n.sheets(r) {
		scented := s.Allergens != nil || slices.ContainsFunc(r.Fragrances, func(f calc.FragranceUse) bool { return f.Ingredient == s.ID })
		if s.IsScent() || !scented {
			continue
		}
		for _, c := range s.Composition.Constituents {
			oils[ingredients.NameKey(n.v.a.Options.Law.Dictionary().Canonical(c.INCI))] = true
		}
	}
	return oils
}

// nanoCell names the nanomaterials of any variant. What the notice asks of them
// beside the name nobody has entered.
func (n *notice) nanoCell() Cell {
	var names []string
	for _, x := range n.v.variants {
		for _, s := range n.result(x).Whole().Substances {
			if s.Nano {
				names = addOnce(names, s.INCI)
			}
		}
	}
	if len(names) == 0 {
		return TextCell("no: no sheet marks a constituent as nano")
	}
	return MissingCell("yes: " + joinNames(names) + "\nIUPAC name, other descriptors and conditions of exposure are to be supplied; six months' notice may be needed beforehand (row X1)")
}

// cmrCell says what the tables can and cannot tell of substances that are
// carcinogenic, mutagenic or toxic to reproduction.
func (n *notice) cmrCell() Cell {
	var banned, carried []string
	for _, x := range n.v.variants {
		r := n.result(x)
		for _, l := range r.Limits {
			if l.Verdict == calc.LimitNotApplicable {
				continue
			}
			for _, s := range l.Substances {
				switch {
				case l.Row.Annex == "II":
					banned = addOnce(banned, s)
				case l.Row.CMR:
					carried = addOnce(carried, s)
				}
			}
		}
	}
	words := "the tables do not list these substances: section 2 and 3 of each safety data sheet does (H340, H350, H360 with their letters)"
	if len(banned) > 0 {
		words += "\nprohibited substances that are in it, look there first: " + joinNames(banned)
	}
	if len(carried) > 0 {
		words += "\nruled by regulations that carry such classifications, category 2 among them, check: " + joinNames(carried)
	}
	return MissingCell(words)
}
