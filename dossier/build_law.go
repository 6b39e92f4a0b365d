package dossier

import (
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/law"
	"gallipot/ingredients"
	"gallipot/ingredients/inventory"
	"gallipot/ingredients/names"
)

// LawTables builds the list of law tables.
func LawTables(t *law.Tables, day ingredients.Date) *Document {
	d := &Document{Title: "Law and guidance tables", NoContents: true, Date: day, Caution: CautionLine}
	s := d.AddSection("tables", "Tables")
	table := &Table{ID: "law-tables", SheetName: "Tables", Columns: []Column{
		{Head: "Table", Fixed: true}, {Head: "Rows", Kind: KindNumber}, {Head: "Read in the source", Kind: KindNumber}, {Head: "From memory", Kind: KindNumber}, {Head: "Newest date", Kind: KindText}, {Head: "Newest source", Weight: 2.5}}}
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

// LawOf builds all that the tables and the inventory say about one substance,
// named as a supplier prints it, or by its CAS or EC number. found is false where
// no list knows it.
func LawOf(t *law.Tables, name string, day ingredients.Date) (doc *Document, found bool) {
	sub := lookUp(t, name)
	d := &Document{Title: sub.INCI, NoContents: true, Date: day, Caution: CautionLine, Marks: marks}
	d.AddSection("identity", "Identity").Add(List(sub.identity()...))
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
	return d, found || sub.known
}

// lookedUp is a substance as the lists have it.
type lookedUp struct {
	ingredients.Substance
	asked  string
	known  bool
	entry  *inventory.Entry // nil: not in the inventory
	also   []string         // other names
	others []string         // further substances that the name or number fits
	words  []string         // official functions
	trade  *names.CustomaryName
}

// lookUp finds a substance by name or number; an unknown one stands for itself.
func lookUp(t *law.Tables, asked string) lookedUp {
	dict := t.Dictionary()
	resolver := dict.Names()
	name, sub := asked, lookedUp{asked: asked}
	if byNumber := numbered(t, asked); len(byNumber) > 0 {
		name, sub.others = byNumber[0], byNumber[1:]
	}
	reading := dict.Resolve(name, "", "")
	first := reading.First()
	rest := append(slices.Clone(reading.Names[1:]), reading.Within...)
	if !first.Known() && len(rest) > 0 { // a name of several substances, or known in part
		first, rest = rest[0], rest[1:]
	}
	for _, n := range rest {
		sub.others = append(sub.others, n.Name)
	}
	sub.INCI, sub.known, sub.also, sub.trade = first.Name, first.Known(), first.Also, resolver.Customary(name)
	if s := dict.Lookup(first.Name); s != nil {
		sub.CAS, sub.EC = s.CAS, s.EC
	}
	if e, ok := resolver.Inventory().Entry(first.Official); ok {
		sub.entry = &e
		sub.CAS, sub.EC = union(sub.CAS, e.CAS), union(sub.EC, e.EC)
		for _, f := range e.Functions {
			sub.words = append(sub.words, resolver.Inventory().FunctionWord(f))
		}
	}
	if len(sub.CAS) == 0 && ingredients.CheckCAS(asked) == nil {
		sub.CAS = []string{asked}
	}
	return sub
}

// numbered returns the names that a CAS or EC number stands for, those of the law
// first.
func numbered(t *law.Tables, number string) []string {
	dict := t.Dictionary()
	inv := dict.Names().Inventory()
	var list []string
	for _, n := range slices.Concat(dict.Numbered(number, ""), dict.Numbered("", number), inv.ByCAS(number), inv.ByEC(number)) {
		list = addOnce(list, dict.Canonical(n))
	}
	return list
}

func union(a, b []string) []string {
	out := slices.Clone(a)
	for _, s := range b {
		out = addOnce(out, s)
	}
	return out
}

// identity words what a substance is called and what numbers it has.
func (s lookedUp) identity() []string {
	lines := []string{"CAS: " + orNone(s.CAS), "EC: " + orNone(s.EC)}
	if s.entry != nil {
		lines = append(lines, "official name: "+s.entry.Name+" (inventory of ingredient names, edition "+s.entry.Edition+")")
		if s.entry.Superseded() {
			lines = append(lines, "the name is old or no longer in use: look for the present one before a label is printed")
		}
	}
	if len(s.words) > 0 {
		lines = append(lines, "functions that makers have notified: "+strings.Join(s.words, ", "))
	}
	if s.entry != nil && len(s.entry.Annex) > 0 {
		lines = append(lines, "annex entries that the inventory points to (state of spring 2024): "+strings.Join(s.entry.Annex, ", "))
	}
	if s.trade != nil {
		lines = append(lines, "customary name: "+s.trade.Name+" ("+s.trade.Source+")")
	}
	var other []string
	for _, n := range s.also {
		if !strings.EqualFold(n, s.INCI) {
			other = append(other, n)
		}
	}
	if len(other) > 0 {
		lines = append(lines, "other names: "+strings.Join(other, "; "))
	}
	if len(s.others) > 0 {
		lines = append(lines, s.asked+" also stands for: "+strings.Join(s.others, "; "))
	}
	return lines
}

// ProductTypes builds the list of product types.
func ProductTypes(t *law.Tables, day ingredients.Date) *Document {
	d := &Document{Title: "Product types", NoContents: true, Date: day, Caution: CautionLine}
	table := &Table{ID: "product-types", Columns: []Column{{Head: "Write", Fixed: true}, {Head: "Product", Weight: 2}, {Head: "Stays on or is washed off"}}}
	for _, p := range t.ProductTypes() {
		stays := "leave-on"
		if p.RinseOff {
			stays = "rinse-off"
		}
		table.Add(TextCell(p.Key), TextCell(p.Name), TextCell(stays))
	}
	d.AddSection("types", "product_type").Add(table)
	return d
}

// FunctionWords builds the list of function words.
func FunctionWords(t *law.Tables, day ingredients.Date) *Document {
	d := &Document{Title: "Function words", NoContents: true, Date: day, Caution: CautionLine}
	table := &Table{ID: "function-words", Columns: []Column{{Head: "Write", Fixed: true}, {Head: "Official function", Weight: 1.5}, {Head: "What turns on it", Weight: 1.5}}}
	list := t.Dictionary().Names().Functions()
	slices.SortFunc(list, func(a, b *names.Function) int {
		return strings.Compare(strings.ToLower(a.Word), strings.ToLower(b.Word))
	})
	for _, f := range list {
		table.Add(TextCell(f.Word), TextCell(strings.Join(f.Official, ", ")), TextCell(strings.Join(f.Turn("limits"), ", ")))
	}
	d.AddSection("functions", "functions").Add(table)
	return d
}

func orNone(list []string) string {
	if len(list) == 0 {
		return "none in the lists"
	}
	return strings.Join(list, ", ")
}

func limitsOf(t *law.Tables, sub lookedUp) *Table {
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

func allergensOf(t *law.Tables, sub lookedUp) *Table {
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

func toxOf(t *law.Tables, sub lookedUp) *Table {
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

func standardsOf(t *law.Tables, sub lookedUp) *Table {
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
