package pack

import (
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/calc/limits"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// LawTables builds the list of law tables.
func LawTables(t *table.Tables, day exact.Date) *document.Document {
	d := &document.Document{Title: "Law and guidance tables", NoContents: true, Date: day, Caution: show.CautionLine}
	s := d.AddSection("tables", "Tables")
	table := &document.Table{ID: "law-tables", SheetName: "Tables", Columns: []document.Column{
		{Head: "Table", Fixed: true}, {Head: "Rows", Kind: document.KindNumber}, {Head: "Read in the source", Kind: document.KindNumber}, {Head: "From memory", Kind: document.KindNumber}, {Head: "Newest date", Kind: document.KindText}, {Head: "Newest source", Weight: 2.5}}}
	for _, info := range t.Version() {
		date := document.TextCell(info.Newest)
		if info.Newest == "" {
			date = document.MissingCell("none stated")
		}
		table.Add(document.TextCell(info.Name), document.IntCell(info.Rows), document.IntCell(info.Seen), document.IntCell(info.Memory), date, document.TextCell(info.NewestSource))
	}
	table.Note("Lists change and markets differ: the law in force in the place of sale prevails over any table. A miss in the limit tables is no proof that a substance is allowed.")
	s.Add(table)
	return d
}

// LawOf builds all that the tables say about one substance, named by INCI name,
// CAS or EC number. found is false where no table knows it.
func LawOf(t *table.Tables, name string, day exact.Date) (doc *document.Document, found bool) {
	sub := lookUp(t, name)
	d := &document.Document{Title: sub.INCI, NoContents: true, Date: day, Caution: show.CautionLine, Marks: show.Marks}
	facts := d.AddSection("identity", "Identity")
	facts.Add(document.List("CAS: "+orNone(sub.CAS), "EC: "+orNone(sub.EC)))
	limits := limitsOf(t, sub)
	allergens := allergensOf(t, sub)
	tox := toxOf(t, sub)
	standards := standardsOf(t, sub)
	for _, part := range []struct {
		id, title string
		table     *document.Table
	}{{"limits", "Limits", limits}, {"allergens", "Declarable allergen", allergens}, {"standards", "Fragrance standards", standards}, {"toxicology", "Toxicological values", tox}} {
		d.AddSection(part.id, part.title).Add(part.table)
		found = found || len(part.table.Rows) > 0
	}
	return d, found || t.Dictionary().Lookup(sub.INCI) != nil
}

// lookUp finds a substance by name or number; an unknown one stands for itself.
func lookUp(t *table.Tables, name string) ingredients.Substance {
	dict := t.Dictionary()
	if s := dict.Lookup(name); s != nil {
		return *s
	}
	for _, list := range [][]*ingredients.Substance{dict.ByCAS(name), dict.ByEC(name)} {
		if len(list) > 0 {
			return *list[0]
		}
	}
	sub := ingredients.Substance{INCI: name}
	if exact.CheckCAS(name) == nil {
		sub.CAS = []string{name}
	}
	return sub
}

func orNone(list []string) string {
	if len(list) == 0 {
		return "none in the tables"
	}
	return strings.Join(list, ", ")
}

func limitsOf(t *table.Tables, sub ingredients.Substance) *document.Table {
	table := &document.Table{ID: "law-limits", Empty: "No row of the limit tables names it.", Columns: []document.Column{
		{Head: "Row", Fixed: true}, {Head: "Markets"}, {Head: "When", Weight: 1.5}, {Head: "Limit", Unit: "% w/w", Kind: document.KindNumber}, {Head: "Counted", Weight: 1.2}, {Head: "From"}, {Head: "Until"}, {Head: "Wording", Weight: 1.5}, {Head: "Source", Weight: 1.5}}}
	for _, m := range law.LimitsOf(t, sub.INCI, sub.CAS, sub.EC) {
		l := m.Limit
		limit := document.MissingCell("no figure")
		if l.MaxPct != nil {
			limit = document.PctCell(*l.MaxPct)
		}
		if l.Prohibited() {
			limit = document.TextCell("not permitted")
		}
		table.Add(document.TextCell(l.Key), document.TextCell(marketsText(l.Markets)), document.TextCell(limits.ConditionWords(l.Condition)), limit.MarkedIf(l.FromMemory(), show.MemoryMark),
			document.TextCell(l.Basis.Text), dayCell(l.From, "in force for long"), dayCell(l.Until, "open"), document.TextCell(l.LabelText), document.TextCell(l.Source))
	}
	return table
}

func marketsText(ms []table.Market) string {
	var names []string
	for _, m := range ms {
		names = append(names, string(m))
	}
	return strings.Join(names, ", ")
}

// dayCell prints a day, or what its absence means.
func dayCell(d exact.Date, none string) document.Cell {
	if d.IsZero() {
		return document.TextCell(none)
	}
	return document.DateCell(d)
}

func allergensOf(t *table.Tables, sub ingredients.Substance) *document.Table {
	table := &document.Table{ID: "law-allergens", Empty: "It is on no list of declarable allergens in the tables.", Columns: []document.Column{
		{Head: "Label name", Fixed: true}, {Head: "Market"}, {Head: "Entry"}, {Head: "Leave-on above", Unit: "% w/w", Kind: document.KindNumber}, {Head: "Rinse-off above", Unit: "% w/w", Kind: document.KindNumber}, {Head: "From"}, {Head: "Source", Weight: 2}}}
	for _, a := range law.AllergenRows(t) {
		named := ingredients.NameKey(a.LabelName) == ingredients.NameKey(sub.INCI)
		for _, m := range a.Members {
			named = named || t.Dictionary().Canonical(m.Name) == sub.INCI || m.CAS != "" && slices.Contains(sub.CAS, m.CAS)
		}
		if !named {
			continue
		}
		leave, rinse := numOr(a.LeaveOnPct, "prohibited"), numOr(a.RinseOffPct, "prohibited")
		table.Add(document.TextCell(a.LabelName), document.TextCell(string(a.Market)), document.TextCell("III/"+a.Entry), leave.MarkedIf(a.FromMemory(), show.MemoryMark), rinse, document.DateCell(a.From), document.TextCell(a.Source))
	}
	return table
}

func toxOf(t *table.Tables, sub ingredients.Substance) *document.Table {
	table := &document.Table{ID: "law-tox", Empty: "No toxicological value is in the tables.", Columns: []document.Column{
		{Head: "Substance", Fixed: true}, {Head: "Kind"}, {Head: "Value", Unit: "mg/kg bw/d", Kind: document.KindText}, {Head: "Study", Weight: 2}, {Head: "Source", Weight: 1.5}, {Head: "Note", Weight: 2}}}
	for _, x := range law.Tox(t, sub.INCI, sub.CAS...) {
		value := document.MissingCell("none")
		if x.PoD != nil {
			value = document.TextCell(x.PoD.Text)
		}
		table.Add(document.TextCell(x.Substance), document.TextCell(x.PoDType), value.MarkedIf(x.FromMemory(), show.MemoryMark), document.TextCell(x.Study), document.TextCell(x.Source), document.TextCell(x.Note))
	}
	return table
}

func standardsOf(t *table.Tables, sub ingredients.Substance) *document.Table {
	table := &document.Table{ID: "law-standards", Empty: "No fragrance standard for it is in the tables, which hold only some of them.", Columns: []document.Column{
		{Head: "Substance", Fixed: true}, {Head: "Kind"}, {Head: "Category"}, {Head: "Limit", Unit: "% w/w", Kind: document.KindText}, {Head: "Source", Weight: 2}}}
	for _, x := range law.FragranceStandards(t, sub.INCI, sub.CAS...) {
		limit := document.MissingCell("not in the table")
		switch {
		case x.MaxPct != nil:
			limit = document.PctCell(*x.MaxPct)
		case x.Unrestricted:
			limit = document.TextCell("no ceiling")
		}
		table.Add(document.TextCell(x.Substance), document.TextCell(x.Type), document.TextCell(strings.Join(x.Categories, ", ")), limit.MarkedIf(x.FromMemory(), show.MemoryMark), document.TextCell(x.Source))
	}
	return table
}
