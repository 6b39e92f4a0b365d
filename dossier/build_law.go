package dossier

import (
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/law"
	"gallipot/ingredients"
)

// LawTables builds the list of law tables.
func LawTables(t *law.Tables, day ingredients.Date) *Document {
	d := &Document{Title: "Law and guidance tables", NoContents: true, Date: day, Caution: CautionLine}
	s := d.AddSection("tables", "Tables")
	table := &Table{ID: "law-tables", SheetName: "Tables", Columns: []Column{
		{Head: "Table", Fixed: true}, {Head: "Rows", Kind: KindNumber}, {Head: "Read in the source", Kind: KindNumber}, {Head: "Unverified", Kind: KindNumber}, {Head: "Newest date", Kind: KindText}, {Head: "Newest source", Weight: 2.5}}}
	for _, info := range t.Version() {
		date := TextCell(info.Newest)
		if info.Newest == "" {
			date = MissingCell("none stated")
		}
		table.Add(TextCell(info.Name), IntCell(info.Rows), IntCell(info.Seen), IntCell(info.Memory), date, TextCell(info.NewestSource))
	}
	table.Note("Lists change and markets differ: the law in force in the place of sale prevails over any table. A miss in the limit tables is no proof that a substance is allowed.")
	s.Add(table)
	return d
}

// LawOf builds all that the tables say about one substance, named by INCI name,
// CAS or EC number. found is false where no table knows it.
func LawOf(t *law.Tables, name string, day ingredients.Date) (doc *Document, found bool) {
	sub := lookUp(t, name)
	d := &Document{Title: sub.INCI, NoContents: true, Date: day, Caution: CautionLine, Marks: marks}
	facts := d.AddSection("identity", "Identity")
	facts.Add(List("CAS: "+orNone(sub.CAS), "EC: "+orNone(sub.EC)))
	limits := limitsOf(t, sub)
	allergens := allergensOf(t, sub)
	tox := toxOf(t, sub)
	standards := standardsOf(t, sub)
	for _, part := range []struct {
		id, title string
		table     *Table
	}{{"limits", "Limits", limits}, {"allergens", "Declarable allergen", allergens}, {"standards", "Fragrance standards", standards}, {"toxicology", "Toxicological values", tox}} {
		d.AddSection(part.id, part.title).Add(part.table)
		found = found || len(part.table.Rows) > 0
	}
	return d, found || t.Dictionary().Lookup(sub.INCI) != nil
}

// lookUp finds a substance by name or number; an unknown one stands for itself.
func lookUp(t *law.Tables, name string) ingredients.Substance {
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
	if ingredients.CheckCAS(name) == nil {
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

func limitsOf(t *law.Tables, sub ingredients.Substance) *Table {
	table := &Table{ID: "law-limits", Empty: "No row of the limit tables names it.", Columns: []Column{
		{Head: "Row", Fixed: true}, {Head: "Markets"}, {Head: "When", Weight: 1.5}, {Head: "Limit", Unit: "% w/w", Kind: KindNumber}, {Head: "Counted", Weight: 1.2}, {Head: "From"}, {Head: "Until"}, {Head: "Wording", Weight: 1.5}, {Head: "Source", Weight: 1.5}}}
	for _, m := range t.LimitsOf(sub.INCI, sub.CAS, sub.EC) {
		l := m.Limit
		limit := MissingCell("no figure")
		if l.MaxPct != nil {
			limit = PctCell(*l.MaxPct)
		}
		if l.Prohibited() {
			limit = TextCell("not permitted")
		}
		table.Add(TextCell(l.Key), TextCell(marketsText(l.Markets)), TextCell(calc.ConditionWords(l.Condition)), limit.MarkedIf(l.FromMemory(), memoryMark),
			TextCell(l.Basis.Text), dayCell(l.From, "in force for long"), dayCell(l.Until, "open"), TextCell(l.LabelText), TextCell(l.Source))
	}
	return table
}

func marketsText(ms []law.Market) string {
	var names []string
	for _, m := range ms {
		names = append(names, string(m))
	}
	return strings.Join(names, ", ")
}

// dayCell prints a day, or what its absence means.
func dayCell(d ingredients.Date, none string) Cell {
	if d.IsZero() {
		return TextCell(none)
	}
	return DateCell(d)
}

func allergensOf(t *law.Tables, sub ingredients.Substance) *Table {
	table := &Table{ID: "law-allergens", Empty: "It is on no list of declarable allergens in the tables.", Columns: []Column{
		{Head: "Label name", Fixed: true}, {Head: "Market"}, {Head: "Entry"}, {Head: "Leave-on above", Unit: "% w/w", Kind: KindNumber}, {Head: "Rinse-off above", Unit: "% w/w", Kind: KindNumber}, {Head: "From"}, {Head: "Source", Weight: 2}}}
	for _, a := range t.AllergenRows() {
		named := ingredients.NameKey(a.LabelName) == ingredients.NameKey(sub.INCI)
		for _, m := range a.Members {
			named = named || t.Dictionary().Canonical(m.Name) == sub.INCI || m.CAS != "" && slices.Contains(sub.CAS, m.CAS)
		}
		if !named {
			continue
		}
		leave, rinse := numOr(a.LeaveOnPct, "prohibited"), numOr(a.RinseOffPct, "prohibited")
		table.Add(TextCell(a.LabelName), TextCell(string(a.Market)), TextCell("III/"+a.Entry), leave.MarkedIf(a.FromMemory(), memoryMark), rinse, DateCell(a.From), TextCell(a.Source))
	}
	return table
}

func toxOf(t *law.Tables, sub ingredients.Substance) *Table {
	table := &Table{ID: "law-tox", Empty: "No toxicological value is in the tables.", Columns: []Column{
		{Head: "Substance", Fixed: true}, {Head: "Kind"}, {Head: "Value", Unit: "mg/kg bw/d", Kind: KindText}, {Head: "Study", Weight: 2}, {Head: "Source", Weight: 1.5}, {Head: "Note", Weight: 2}}}
	for _, x := range t.Tox(sub.INCI, sub.CAS...) {
		value := MissingCell("none")
		if x.PoD != nil {
			value = TextCell(x.PoD.Text)
		}
		table.Add(TextCell(x.Substance), TextCell(x.PoDType), value.MarkedIf(x.FromMemory(), memoryMark), TextCell(x.Study), TextCell(x.Source), TextCell(x.Note))
	}
	return table
}

func standardsOf(t *law.Tables, sub ingredients.Substance) *Table {
	table := &Table{ID: "law-standards", Empty: "No fragrance standard for it is in the tables, which hold only some of them.", Columns: []Column{
		{Head: "Substance", Fixed: true}, {Head: "Kind"}, {Head: "Category"}, {Head: "Limit", Unit: "% w/w", Kind: KindText}, {Head: "Source", Weight: 2}}}
	for _, x := range t.FragranceStandards(sub.INCI, sub.CAS...) {
		limit := MissingCell("not in the table")
		switch {
		case x.MaxPct != nil:
			limit = PctCell(*x.MaxPct)
		case x.Unrestricted:
			limit = TextCell("no ceiling")
		}
		table.Add(TextCell(x.Substance), TextCell(x.Type), TextCell(strings.Join(x.Categories, ", ")), limit.MarkedIf(x.FromMemory(), memoryMark), TextCell(x.Source))
	}
	return table
}
