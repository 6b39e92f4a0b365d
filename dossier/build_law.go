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
		{Head: "Table", Fixed: true}, {Head: "Rows", Kind: KindNumber}, {Head: "Read in the source", Kind: KindNumber}, {Head: "Unverified", Kind: KindNumber}, {Head: "Newest date", Kind: KindText}, {Head: "Newest source", Weight: 2.5}}}
	for _, info := range t.Version() {
		date := TextCell(info.Newest)
		if info.Newest == "" {
			date = MissingCell("none stated")
		}
		table.Add(TextCell(info.Name), IntCell(info.Rows), IntCell(info.Seen), IntCell(info.Memory), date, TextCell(info.NewestSource))
	}
	table.Note("Lists change and markets differ: the law in force in the place of sale prevails over any table. A substance that no table names can still be restricted.")
	s.Add(lawStateTable(t), table, annexIITable(t))
	return d
}

// AnnexII builds what the tables hold of Annex II, the list of prohibited
// substances, by market.
func AnnexII(t *law.Tables, day ingredients.Date) *Document {
	d := &Document{Title: "Annex II in the tables", NoContents: true, Date: day, Caution: CautionLine}
	d.AddSection("annex-ii", "Prohibited substances").Add(annexIITable(t), annexIIKinds(t), lawStateTable(t))
	return d
}

func annexIITable(t *law.Tables) *Table {
	table := &Table{ID: "law-annex-ii", SheetName: "Annex II", Columns: []Column{
		{Head: "Market", Fixed: true}, {Head: "Entries", Kind: KindNumber}, {Head: "Numbers without a ban", Kind: KindNumber}, {Head: "Entries whose number was not read", Kind: KindNumber},
		{Head: "Drafts", Kind: KindNumber}, {Head: "Rows not checked against their source", Kind: KindNumber}, {Head: "Newest date"}, {Head: "Newest source", Weight: 2}}}
	for _, m := range []law.Market{law.EU, law.GB} {
		c := t.ProhibitedCoverage(m)
		source := ""
		if c.NewestRow != nil {
			source = c.NewestRow.Source
		}
		table.Add(TextCell(string(m)), IntCell(c.Entries), IntCell(c.Empty), IntCell(c.Unnumbered), IntCell(c.Drafts), IntCell(c.Unverified), dayCell(c.Newest, "none stated"), TextCell(source))
	}
	return table
}

// annexIIKinds counts the entries by the exceptions they make.
func annexIIKinds(t *law.Tables) *Table {
	table := &Table{ID: "law-annex-ii-kinds", SheetName: "Annex II kinds", Columns: []Column{{Head: "Exception or scope", Fixed: true, Weight: 2}, {Head: "EU", Kind: KindNumber}, {Head: "GB", Kind: KindNumber}}}
	kinds := []struct {
		words string
		is    func(*law.Prohibition) bool
	}{
		{"banned in every use", func(p *law.Prohibition) bool {
			return p.Exception == law.ExceptNone && p.Use == law.UseAny && p.Form == law.FormAny && !p.Group
		}},
		{"class of substances, with examples", func(p *law.Prohibition) bool { return p.Group }},
		{"banned in hair or eyelash dyes", func(p *law.Prohibition) bool { return p.Use == law.UseHairDye || p.Use == law.UseLashDye }},
		{"banned as a fragrance ingredient", func(p *law.Prohibition) bool { return p.Use == law.UseFragrance }},
		{"banned in one form", func(p *law.Prohibition) bool { return p.Form != law.FormAny }},
		{"banned unless the grade is pure enough", func(p *law.Prohibition) bool { return p.Exception == law.ExceptPurity }},
		{"banned but for the content of natural essences", func(p *law.Prohibition) bool { return p.Exception == law.ExceptNatural }},
		{"banned but for what another entry allows", func(p *law.Prohibition) bool { return p.Exception == law.ExceptListed }},
		{"banned above a trace", func(p *law.Prohibition) bool { return p.Exception == law.ExceptTrace }},
	}
	for _, k := range kinds {
		counts := map[law.Market]int{}
		for _, p := range t.Prohibitions() {
			for _, m := range []law.Market{law.EU, law.GB} {
				if p.For(m) && p.State == law.StateLaw && k.is(p) {
					counts[m]++
				}
			}
		}
		table.Add(TextCell(k.words), IntCell(counts[law.EU]), IntCell(counts[law.GB]))
	}
	return table
}

// lawStateTable says up to which day the annexes of each market are in the tables.
func lawStateTable(t *law.Tables) *Table {
	table := &Table{ID: "law-state", SheetName: "State of the law", Columns: []Column{
		{Head: "Market", Fixed: true}, {Head: "Consolidated to"}, {Head: "Acts", Weight: 2}, {Head: "Not wholly read", Weight: 1.4}, {Head: "Not in the tables", Weight: 1.8}, {Head: "Drafts", Weight: 1.2}}}
	for _, m := range []law.Market{law.EU, law.GB} {
		s := t.StateOf(m)
		join := func(list []string) Cell {
			if len(list) == 0 {
				return TextCell("none known")
			}
			return TextCell(strings.Join(list, "; "))
		}
		table.Add(TextCell(string(m)), DateCell(s.ConsolidatedTo), join(s.ActsIn), join(s.NotWhollyRead), join(s.NotIn), join(s.Drafts))
	}
	return table.Note("A rule of a later day is in the tables where an act in them says so; what was made after this day is not.")
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
	}{{"limits", "Limits", limits}, {"other", "Other law and opinions", otherLawOf(t, sub.Substance)}, {"allergens", "Declarable allergen", allergens}, {"standards", "Fragrance standards", standards}, {"toxicology", "Toxicological values", tox}} {
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

// otherLawOf lists the rules outside the annexes that name a substance.
func otherLawOf(t *law.Tables, sub ingredients.Substance) *Table {
	table := &Table{ID: "law-other", Empty: "No rule outside the annexes in the tables names it.", Columns: []Column{
		{Head: "Row", Fixed: true}, {Head: "Kind"}, {Head: "Markets"}, {Head: "When", Weight: 1.5}, {Head: "Figure"}, {Head: "From"}, {Head: "Source", Weight: 2}}}
	for _, o := range t.OtherRulesOf(sub.INCI, sub.CAS) {
		figure := MissingCell("no figure")
		if o.LimitPct != nil {
			figure = TextCell(strings.TrimSpace(o.Limit + " " + o.Unit + " " + o.Basis))
		}
		table.Add(TextCell(o.Key), TextCell(o.Kind), TextCell(marketsText(o.Markets)), TextCell(calc.ConditionWords(o.Condition)), figure.MarkedIf(o.FromMemory() || o.LimitPct != nil && !o.FigureSeen, memoryMark),
			dayCell(o.From, "no date"), TextCell(o.Source))
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
