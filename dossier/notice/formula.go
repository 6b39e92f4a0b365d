package notice

import (
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/duties"
	"gallipot/calc/law/tox"
	"gallipot/calc/limits"
	"gallipot/calc/listing"
	"gallipot/calc/standards"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// formula lists the ingredients of a variant by falling content, with their
// contents as the papers give them and the band.
//
// Basis: % w/w of the whole product, scents as one. A range that reaches over
// the bound of a band takes the band of its highest content, and says so.
func (n *notice) formula(x *formula.Variant) *document.Table {
	r := n.result(x)
	t := &document.Table{ID: n.id() + "-formula-" + show.AnchorOf(x), SheetName: "Formula " + string(n.Portal),
		Columns: []document.Column{
			{Head: "Variant", Weight: 0.7}, {Head: "Ingredient", Fixed: true, Weight: 1.6}, {Head: "CAS",
				Weight: 0.7}, {Head: "Content", Unit: "% w/w", Kind: document.KindRange}, {Head: "Band",
				Weight: 1}, {Head: "Remark", Weight: 1.2, Kind: document.KindText}}}
	entries := slices.DeleteFunc(slices.Clone(r.List.Entries),
		func(e listing.ListEntry) bool { return e.Kind == listing.EntryAllergen })
	slices.SortStableFunc(entries, func(a, b listing.ListEntry) int { return b.Pct.Typ.Cmp(a.Pct.Typ) })
	for _, e := range entries {
		band, remark := n.band(e.Pct)
		switch e.Kind {
		case listing.EntryUndeclared:
			remark = words.Joined("; ", "no name yet: ask the supplier", remark)
		case listing.EntryScent:
			remark = words.Joined("; ", "name, code and supplier: "+n.scents(r), remark)
		default:
			remark = words.Joined("; ", remark, mostInPortion(r, strings.TrimSuffix(e.Name, " (nano)"), e.Pct))
		}
		t.Add(document.TextCell(shortVariant(x)), document.TextCell(e.Name), casCell(r, e.Name),
			document.RangeCell(e.Pct), document.TextCell(band.Wording[0]).MarkedIf(band.FromMemory(), show.MemoryMark).
				From("label-rules.csv, rows N8a-1 to N8a-8: "+band.Source), document.TextCell(remark))
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
func mostInPortion(r *calc.Result, inci string, whole exact.Range) string {
	most, in := whole, ""
	for _, c := range r.Compositions[1:] {
		if s := c.Find(inci); s != nil && most.Max.Less(s.Total.Max) {
			most, in = s.Total, c.Mixture.Name
		}
	}
	if in == "" {
		return ""
	}
	return "in portion " + in + ": " + document.RangeCell(most).String() + " %"
}

// shortVariant names a variant in a table of several.
func shortVariant(x *formula.Variant) string {
	if x.ID == "" {
		return "–"
	}
	return x.ID
}

// band returns the band of a content, and says where its range could lie in
// another.
func (n *notice) band(pct exact.Range) (*duties.LabelRule, string) {
	tables := n.V.A.Options.Law
	top := law.LabelBand(tables, duties.NotificationBand, pct.Max)
	if top == nil {
		top = law.LabelRules(tables,
			// over 100 by the ranges of the papers
			duties.NotificationBand)[len(law.LabelRules(tables, duties.NotificationBand))-1]
	}
	if low := law.LabelBand(tables, duties.NotificationBand, pct.Min); low != nil && low != top {
		return top, "by its lowest content: " + low.Wording[0]
	}
	return top, ""
}

// casCell is the CAS number of an ingredient, blank where it has none of its own.
func casCell(r *calc.Result, name string) document.Cell {
	if s := r.Whole().Find(strings.TrimSuffix(name, " (nano)")); s != nil && s.CAS != "" {
		return document.TextCell(s.CAS)
	}
	return document.BlankCell()
}

// scents names the fragrances and aromas of a variant with code and supplier.
func (n *notice) scents(r *calc.Result) string {
	var names []string
	for _, s := range n.sheets(r) {
		if s.IsScent() {
			names = words.AddOnce(names, words.Joined(", ", s.Name, s.Supplier.Code, s.Supplier.Name))
		}
	}
	return strings.Join(names, "; ")
}

// sheets are the materials of a variant.
func (n *notice) sheets(r *calc.Result) []*ingredients.Sheet {
	var out []*ingredients.Sheet
	for _, share := range r.Recipe.Whole.Shares {
		if s := n.V.A.Workshop.Sheets[share.Ingredient]; s != nil && !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}

// concern lists the ingredients whose exact content poison treatment asks for:
// those of rule N8b-1, and essential oils. Contents count by all routes.
func (n *notice) concern(x *formula.Variant) *document.Table {
	r := n.result(x)
	rule := law.LabelRule(n.V.A.Options.Law, "N8b-1")
	t := &document.Table{ID: n.id() + "-concern-" + show.AnchorOf(x), Title: "Of concern in poison treatment: " +
		show.VariantName(x), SheetName: "Concern " + string(n.Portal), Columns: []document.Column{
		{Head: "Variant", Weight: 0.7}, {Head: "Ingredient", Fixed: true, Weight: 1.8}, {Head: "Content",
			Unit: "% w/w", Kind: document.KindRange}, {Head: "Why", Weight: 1.6}}}
	oils := n.essentialOils(r)
	for _, s := range r.Whole().Substances {
		why := ""
		switch {
		case slices.ContainsFunc(rule.Wording,
			func(name string) bool { return ingredients.NameKey(name) == ingredients.NameKey(s.INCI) }):
			why = "named in rule N8b-1"
		case oils[ingredients.NameKey(s.INCI)]:
			why = "essential oil or extract used for its scent"
		default:
			continue
		}
		why = words.Joined("; ", why, mostInPortion(r, s.INCI, s.Total))
		t.Add(document.TextCell(shortVariant(x)), document.TextCell(s.INCI), document.RangeCell(s.Total),
			document.TextCell(why).MarkedIf(rule.FromMemory(), show.MemoryMark).From(rule.Source))
	}
	t.Notes = []string{"The form says for each category what it asks for; the list is not whole."}
	return t
}

// essentialOils are the constituents of scented materials that enter the list
// under their own names.
func (n *notice) essentialOils(r *calc.Result) map[string]bool {
	oils := map[string]bool{}
	for _, s := range n.sheets(r) {
		scented := s.Allergens != nil ||
			slices.ContainsFunc(r.Fragrances, func(f standards.FragranceUse) bool { return f.Ingredient == s.ID })
		if s.IsScent() || !scented {
			continue
		}
		for _, c := range s.Composition.Constituents {
			oils[ingredients.NameKey(n.V.A.Options.Law.Dictionary().Canonical(c.INCI))] = true
		}
	}
	return oils
}

// nanoCell names the nanomaterials of any variant. What the notice asks of them
// beside the name nobody has entered.
func (n *notice) nanoCell() document.Cell {
	var names []string
	for _, x := range n.V.Variants {
		for _, s := range n.result(x).Whole().Substances {
			if s.Nano {
				names = words.AddOnce(names, s.INCI)
			}
		}
	}
	if len(names) == 0 {
		return document.TextCell("no: no sheet marks a constituent as nano")
	}
	return document.MissingCell("yes: " + words.JoinNames(names) +
		"\nIUPAC name, other descriptors and conditions of exposure are to be supplied; six months' notice may be needed beforehand (row X1)")
}

// cmrCell says what the tables can and cannot tell of substances that are
// carcinogenic, mutagenic or toxic to reproduction.
func (n *notice) cmrCell() document.Cell {
	var banned, carried, first, second []string
	classes := tox.Builtin()
	for _, x := range n.V.Variants {
		r := n.result(x)
		for _, s := range r.Whole().Substances {
			switch class := classes.ClassOf(s.CAS); {
			case class == nil:
			case class.IsFirstCMR():
				first = words.AddOnce(first, s.INCI)
			case class.IsCMR():
				second = words.AddOnce(second, s.INCI)
			}
		}
		for _, l := range r.Limits {
			if l.Verdict == limits.LimitNotApplicable {
				continue
			}
			for _, s := range l.Substances {
				switch {
				case l.Row.Annex == "II":
					banned = words.AddOnce(banned, s)
				case l.Row.CMR:
					carried = words.AddOnce(carried, s)
				}
			}
		}
	}
	phrases := "the tables do not list all of these substances: section 2 and 3 of each safety data sheet does (H340, H350, H360 with their letters)"
	if len(first) > 0 {
		phrases += "\nof category 1A or 1B by the table of hazard classes: " + words.JoinNames(first)
	}
	if len(second) > 0 {
		phrases += "\nof category 2 by that table, which is not asked for here: " + words.JoinNames(second)
	}
	if len(banned) > 0 {
		phrases += "\nprohibited substances that are in it, look there first: " + words.JoinNames(banned)
	}
	if len(carried) > 0 {
		phrases += "\nruled by regulations that carry such classifications, category 2 among them, check: " +
			words.JoinNames(carried)
	}
	return document.MissingCell(phrases)
}
