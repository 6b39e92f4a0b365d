package sections

import (
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/law/tox"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/inventory"
	"gallipot/ingredients/names"
)

// LawTables builds the list of law tables.
func LawTables(t *table.Tables, day exact.Date) *document.Document {
	d := &document.Document{Title: "Law and guidance tables", NoContents: true, Date: day,
		Caution: show.CautionLine}
	s := d.AddSection("tables", "Tables")
	table := &document.Table{ID: "law-tables", SheetName: "Tables", Columns: []document.Column{
		{Head: "Table", Fixed: true}, {Head: "Rows", Kind: document.KindNumber}, {Head: "Read in the source",
			Kind: document.KindNumber}, {Head: "Unverified", Kind: document.KindNumber}, {Head: "Newest date",
			Kind: document.KindText}, {Head: "Newest source", Weight: 2.5}}}
	for _, info := range t.Version() {
		date := document.TextCell(info.Newest)
		if info.Newest == "" {
			date = document.MissingCell("none stated")
		}
		table.Add(document.TextCell(info.Name), document.IntCell(info.Rows), document.IntCell(info.Seen),
			document.IntCell(info.Memory), date, document.TextCell(info.NewestSource))
	}
	for _, x := range tox.Builtin().States() {
		table.Add(document.TextCell(x.Name), document.IntCell(x.Rows), document.IntCell(x.Rows-x.Unverified),
			document.IntCell(x.Unverified), document.MissingCell("none stated"),
			document.TextCell("toxicology: each row names its own"))
	}
	table.Note("Lists change and markets differ: the law in force in the place of sale prevails over any table. A substance that no table names can still be restricted.")
	s.Add(lawStateTable(t), table, annexIITable(t))
	return d
}

// AnnexII builds what the tables hold of Annex II, the list of prohibited
// substances, by market.
func AnnexII(t *table.Tables, day exact.Date) *document.Document {
	d := &document.Document{Title: "Annex II in the tables", NoContents: true, Date: day,
		Caution: show.CautionLine}
	d.AddSection("annex-ii", "Prohibited substances").Add(annexIITable(t), annexIIKinds(t), lawStateTable(t))
	return d
}

func annexIITable(t *table.Tables) *document.Table {
	table := &document.Table{ID: "law-annex-ii", SheetName: "Annex II", Columns: []document.Column{
		{Head: "Market", Fixed: true}, {Head: "Entries", Kind: document.KindNumber}, {Head: "Numbers without a ban",
			Kind: document.KindNumber}, {Head: "Entries whose number was not read", Kind: document.KindNumber},
		{Head: "Drafts", Kind: document.KindNumber}, {Head: "Rows not checked against their source",
			Kind: document.KindNumber}, {Head: "Newest date"}, {Head: "Newest source", Weight: 2}}}
	for _, m := range []rows.Market{rows.EU, rows.GB} {
		c := t.ProhibitedCoverage(m)
		source := ""
		if c.NewestRow != nil {
			source = c.NewestRow.Source
		}
		table.Add(document.TextCell(string(m)), document.IntCell(c.Entries), document.IntCell(c.Empty),
			document.IntCell(c.Unnumbered), document.IntCell(c.Drafts), document.IntCell(c.Unverified),
			dayCell(c.Newest, "none stated"), document.TextCell(source))
	}
	return table
}

// annexIIKinds counts the entries by the exceptions they make.
func annexIIKinds(t *table.Tables) *document.Table {
	tab := &document.Table{ID: "law-annex-ii-kinds", SheetName: "Annex II kinds",
		Columns: []document.Column{{Head: "Exception or scope", Fixed: true, Weight: 2},
			{Head: "EU", Kind: document.KindNumber}, {Head: "GB", Kind: document.KindNumber}}}
	kinds := []struct {
		words string
		is    func(*annex.Prohibition) bool
	}{
		{"banned in every use", func(p *annex.Prohibition) bool {
			return p.Exception == annex.ExceptNone && p.Use == annex.UseAny && p.Form == annex.FormAny && !p.Group
		}},
		{"class of substances, with examples", func(p *annex.Prohibition) bool { return p.Group }},
		{"banned in hair or eyelash dyes", func(p *annex.Prohibition) bool {
			return p.Use == annex.UseHairDye ||
				p.Use == annex.UseLashDye
		}},
		{"banned as a fragrance ingredient",
			func(p *annex.Prohibition) bool { return p.Use == annex.UseFragrance }},
		{"banned in one form", func(p *annex.Prohibition) bool { return p.Form != annex.FormAny }},
		{"banned unless the grade is pure enough",
			func(p *annex.Prohibition) bool { return p.Exception == annex.ExceptPurity }},
		{"banned but for the content of natural essences",
			func(p *annex.Prohibition) bool { return p.Exception == annex.ExceptNatural }},
		{"banned but for what another entry allows",
			func(p *annex.Prohibition) bool { return p.Exception == annex.ExceptListed }},
		{"banned above a trace", func(p *annex.Prohibition) bool { return p.Exception == annex.ExceptTrace }},
	}
	for _, k := range kinds {
		counts := map[rows.Market]int{}
		for _, p := range t.Prohibitions() {
			for _, m := range []rows.Market{rows.EU, rows.GB} {
				if p.For(m) && p.State == annex.StateLaw && k.is(p) {
					counts[m]++
				}
			}
		}
		tab.Add(document.TextCell(k.words), document.IntCell(counts[rows.EU]), document.IntCell(counts[rows.GB]))
	}
	return tab
}

// lawStateTable says up to which day the annexes of each market are in the tables.
func lawStateTable(t *table.Tables) *document.Table {
	table := &document.Table{ID: "law-state", SheetName: "State of the law", Columns: []document.Column{
		{Head: "Market", Fixed: true}, {Head: "Consolidated to"}, {Head: "Acts",
			Weight: 2}, {Head: "Not wholly read", Weight: 1.4}, {Head: "Not in the tables",
			Weight: 1.8}, {Head: "Drafts", Weight: 1.2}}}
	for _, m := range []rows.Market{rows.EU, rows.GB} {
		s := t.StateOf(m)
		join := func(list []string) document.Cell {
			if len(list) == 0 {
				return document.TextCell("none known")
			}
			return document.TextCell(strings.Join(list, "; "))
		}
		table.Add(document.TextCell(string(m)), document.DateCell(s.ConsolidatedTo), join(s.ActsIn),
			join(s.NotWhollyRead), join(s.NotIn), join(s.Drafts))
	}
	return table.Note("A rule of a later day is in the tables where an act in them says so; what was made after this day is not. The GB text is the regulation as it has effect in Great Britain; an entry that holds in both markets was read in the EU text.")
}

// LawOf builds all that the tables and the inventory say about one substance,
// named as a supplier prints it, or by its CAS or EC number. found is false where
// no list knows it.
func LawOf(t *table.Tables, name string, day exact.Date) (doc *document.Document, found bool) {
	sub := lookUp(t, name)
	d := &document.Document{Title: sub.INCI, NoContents: true, Date: day, Caution: show.CautionLine,
		Marks: show.Marks}
	d.AddSection("identity", "Identity").Add(document.List(sub.identity()...))
	limits := limitsOf(t, sub)
	allergens := allergensOf(t, sub)
	standards := standardsOf(t, sub)
	for _, part := range []struct {
		id, title string
		table     *document.Table
	}{{"limits", "Limits", limits}, {"other", "Other law and opinions",
		otherLawOf(t,
			sub.Substance)}, {"allergens", "Declarable allergen", allergens},
		{"standards", "Fragrance standards", standards}, {"toxicology", "Toxicological values", toxOf(t, sub)},
		{"hazard", "Hazard classes and sensitisation", hazardOf(sub)}} {
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
	saltOf []string         // substances of the law that its name says it is a salt of
	trade  *names.CustomaryName
}

// lookUp finds a substance by name or number; an unknown one stands for itself.
func lookUp(t *table.Tables, asked string) lookedUp {
	dict := t.Dictionary()
	resolver := dict.Names()
	name, sub := asked, lookedUp{asked: asked}
	if byNumber := numbered(t, asked); len(byNumber) > 0 {
		name, sub.others = byNumber[0], byNumber[1:]
	}
	reading := dict.Resolve(name, "", "")
	first := reading.First()
	rest := append(slices.Clone(reading.Names[1:]), reading.Within...)
	if _, unknown := reading.Asked(names.AskUnknown); unknown {
		rest = nil // words among it may be names; it is asked what was meant
	}
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
	for _, b := range resolver.SaltOf(first.Name) {
		sub.saltOf = words.AddOnce(sub.saltOf, b.Name)
	}
	if len(sub.CAS) == 0 && exact.CheckCAS(asked) == nil {
		sub.CAS = []string{asked}
	}
	return sub
}

// numbered returns the names that a CAS or EC number stands for, those of the law
// first.
func numbered(t *table.Tables, number string) []string {
	dict := t.Dictionary()
	inv := dict.Names().Inventory()
	var list []string
	for _, n := range slices.Concat(dict.Numbered(number, ""), dict.Numbered("", number), inv.ByCAS(number),
		inv.ByEC(number)) {
		list = words.AddOnce(list, dict.Canonical(n))
	}
	return list
}

func union(a, b []string) []string {
	out := slices.Clone(a)
	for _, s := range b {
		out = words.AddOnce(out, s)
	}
	return out
}

// identity words what a substance is called and what numbers it has.
func (s lookedUp) identity() []string {
	lines := []string{"CAS: " + orNone(s.CAS), "EC: " + orNone(s.EC)}
	if s.entry != nil {
		lines = append(lines,
			"official name: "+s.entry.Name+" (inventory of ingredient names, edition "+s.entry.Edition+")")
		if s.entry.Superseded() {
			lines = append(lines,
				"the name is old or no longer in use: look for the present one before a label is printed")
		}
	}
	if len(s.words) > 0 {
		lines = append(lines, "functions that makers have notified: "+strings.Join(s.words, ", "))
	}
	if s.entry != nil && len(s.entry.Annex) > 0 {
		lines = append(lines,
			"annex entries that the inventory points to (state of spring 2024): "+strings.Join(s.entry.Annex, ", "))
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
	if len(s.saltOf) > 0 {
		lines = append(lines, "by its name a salt of "+strings.Join(s.saltOf, " or ")+
			", whose entries are looked at too: gallipot law \""+s.saltOf[0]+"\"")
	}
	if len(s.others) > 0 {
		lines = append(lines, s.asked+" also stands for: "+strings.Join(s.others, "; "))
	}
	return lines
}

// ProductTypes builds the list of product types.
func ProductTypes(t *table.Tables, day exact.Date) *document.Document {
	d := &document.Document{Title: "Product types", NoContents: true, Date: day, Caution: show.CautionLine}
	table := &document.Table{ID: "product-types", Columns: []document.Column{{Head: "Write", Fixed: true},
		{Head: "Product", Weight: 2}, {Head: "Stays on or is washed off"}}}
	for _, p := range law.ProductTypes(t) {
		stays := "leave-on"
		if p.RinseOff {
			stays = "rinse-off"
		}
		table.Add(document.TextCell(p.Key), document.TextCell(p.Name), document.TextCell(stays))
	}
	d.AddSection("types", "product_type").Add(table)
	return d
}

// FunctionWords builds the list of function words.
func FunctionWords(t *table.Tables, day exact.Date) *document.Document {
	d := &document.Document{Title: "Function words", NoContents: true, Date: day, Caution: show.CautionLine}
	table := &document.Table{ID: "function-words", Columns: []document.Column{{Head: "Write", Fixed: true},
		{Head: "Official function", Weight: 1.5}, {Head: "What turns on it", Weight: 1.5}}}
	list := t.Dictionary().Names().Functions()
	slices.SortFunc(list, func(a, b *names.Function) int {
		return strings.Compare(strings.ToLower(a.Word), strings.ToLower(b.Word))
	})
	for _, f := range list {
		table.Add(document.TextCell(f.Word), document.TextCell(strings.Join(f.Official, ", ")),
			document.TextCell(strings.Join(f.Turn("limits"), ", ")))
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

func limitsOf(t *table.Tables, sub lookedUp) *document.Table {
	table := &document.Table{ID: "law-limits", Empty: "No row of the limit tables names it.",
		Columns: []document.Column{
			{Head: "Row", Fixed: true}, {Head: "Markets"}, {Head: "When", Weight: 1.5}, {Head: "Limit", Unit: "% w/w",
				Kind: document.KindNumber}, {Head: "Counted",
				Weight: 1.2}, {Head: "From"}, {Head: "Until"}, {Head: "Wording",
				Weight: 1.5}, {Head: "Source", Weight: 1.5}}}
	for _, m := range law.LimitsOf(t, sub.INCI, sub.CAS, sub.EC) {
		l := m.Limit
		limit := document.MissingCell("no figure")
		if l.MaxPct != nil {
			limit = document.PctCell(*l.MaxPct)
		}
		if l.Prohibited() {
			limit = document.TextCell("not permitted")
		}
		table.Add(document.TextCell(l.Key), document.TextCell(MarketsText(l.Markets)),
			document.TextCell(l.Condition.Words()), limit.MarkedIf(l.FromMemory(), show.MemoryMark),
			document.TextCell(l.Basis.Text), dayCell(l.From, "in force for long"), untilCell(l), document.TextCell(l.LabelText),
			document.TextCell(strings.Join(l.SourcesIn(l.Markets), "; ")))
	}
	return table
}

// untilCell is the last day of a row, by market where they differ.
func untilCell(l *annex.Limit) document.Cell {
	var parts []string
	for _, m := range l.Markets {
		day := "open"
		if d := l.UntilIn(m); !d.IsZero() {
			day = d.String()
		}
		parts = append(parts, string(m)+" "+day)
	}
	if len(parts) < 2 || l.UntilIn(l.Markets[0]) == l.UntilIn(l.Markets[1]) {
		return dayCell(l.UntilIn(l.Markets[0]), "open")
	}
	return document.TextCell(strings.Join(parts, ", "))
}

// otherLawOf lists the rules outside the annexes that name a substance.
func otherLawOf(t *table.Tables, sub ingredients.Substance) *document.Table {
	table := &document.Table{ID: "law-other", Empty: "No rule outside the annexes in the tables names it.",
		Columns: []document.Column{
			{Head: "Row", Fixed: true}, {Head: "Kind"}, {Head: "Markets"}, {Head: "When",
				Weight: 1.5}, {Head: "Figure"}, {Head: "From"}, {Head: "Source", Weight: 2}}}
	for _, o := range t.OtherRulesOf(sub.INCI, sub.CAS) {
		figure := document.MissingCell("no figure")
		if o.LimitPct != nil {
			figure = document.TextCell(strings.TrimSpace(o.Limit + " " + o.Unit + " " + o.Basis))
		}
		table.Add(document.TextCell(o.Key), document.TextCell(o.Kind), document.TextCell(MarketsText(o.Markets)),
			document.TextCell(o.Condition.Words()), figure.MarkedIf(o.FromMemory() ||
				o.LimitPct != nil && !o.FigureSeen, show.MemoryMark),
			dayCell(o.From, "no date"), document.TextCell(o.Source))
	}
	return table
}

func MarketsText(ms []rows.Market) string {
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

func allergensOf(t *table.Tables, sub lookedUp) *document.Table {
	table := &document.Table{ID: "law-allergens",
		Empty: "It is on no list of declarable allergens in the tables.", Columns: []document.Column{
			{Head: "Label name", Fixed: true}, {Head: "Market"}, {Head: "Entry"}, {Head: "Leave-on above",
				Unit: "% w/w", Kind: document.KindNumber}, {Head: "Rinse-off above", Unit: "% w/w",
				Kind: document.KindNumber}, {Head: "From"}, {Head: "Source", Weight: 2}}}
	for _, a := range law.AllergenRows(t) {
		named := ingredients.NameKey(a.LabelName) == ingredients.NameKey(sub.INCI)
		for _, m := range a.Members {
			named = named || t.Dictionary().Canonical(m.Name) == sub.INCI || m.CAS != "" &&
				slices.Contains(sub.CAS, m.CAS)
		}
		if !named {
			continue
		}
		leave, rinse := NumOr(a.LeaveOnPct, "prohibited"), NumOr(a.RinseOffPct, "prohibited")
		table.Add(document.TextCell(a.LabelName), document.TextCell(string(a.Market)),
			document.TextCell("III/"+a.Entry), leave.MarkedIf(a.FromMemory(),
				show.MemoryMark), rinse, document.DateCell(a.From), document.TextCell(a.Source))
	}
	return table
}

func toxOf(t *table.Tables, sub lookedUp) *document.Table {
	table := &document.Table{ID: "law-tox", Empty: "No toxicological value is in the tables.",
		Columns: []document.Column{
			{Head: "Substance", Fixed: true}, {Head: "Kind"}, {Head: "Value", Unit: "mg/kg bw/d",
				Kind: document.KindText}, {Head: "Study", Weight: 2}, {Head: "Source",
				Weight: 1.5}, {Head: "Note", Weight: 2}}}
	for _, x := range law.Tox(t, sub.INCI, sub.CAS...) {
		value := document.MissingCell("none")
		if x.PoD != nil {
			value = document.TextCell(x.PoD.Text)
		}
		table.Add(document.TextCell(x.Substance), document.TextCell(x.PoDType),
			value.MarkedIf(x.FromMemory(),
				show.MemoryMark), document.TextCell(x.Study), document.TextCell(x.Source), document.TextCell(x.Note))
	}
	return table
}

// hazardOf is the hazard class of a substance and the published dose per area of skin
// without sensitisation.
func hazardOf(sub lookedUp) *document.Table {
	t := &document.Table{ID: "law-hazard",
		Empty: "Neither a class nor a dose is in the tables: that is no sign that there is none.",
		Columns: []document.Column{{Head: "What", Fixed: true}, {Head: "As published", Weight: 2},
			{Head: "Source", Weight: 1.5}}}
	tables := tox.Builtin()
	for _, cas := range sub.CAS {
		c := tables.ClassOf(cas)
		if c == nil {
			continue
		}
		text := "not classified"
		if !c.NotClassified {
			text = strings.Join(c.Classes, ", ") + " (" + strings.Join(c.HPhrases, ", ") + ")"
		}
		if c.Question {
			text += "; a question: see the note of the entry"
		}
		list := "class, common among suppliers"
		if c.List == tox.EUList {
			list = "class, EU list"
		}
		t.Add(document.TextCell(list), document.TextCell(text).MarkedIf(c.FromMemory(), show.MemoryMark),
			document.TextCell(c.Source))
		for _, l := range tables.LimitsOf(c) {
			t.Add(document.TextCell("specific limit, % of a mixture"),
				document.TextCell(l.Class+" "+l.Words()).MarkedIf(l.FromMemory(), show.MemoryMark),
				document.TextCell(l.Source))
		}
	}
	if d := tables.DoseOf(sub.CAS...); d != nil {
		kind := "by weight of evidence"
		if !d.Weighted {
			kind = "in one human study, no weight of evidence"
		}
		t.Add(document.TextCell("no sensitisation up to, µg/cm²"), document.TextCell(d.UgCM2.Text+", "+kind).
			MarkedIf(d.FromMemory(), show.MemoryMark), document.TextCell(d.Source))
	}
	return t
}

func standardsOf(t *table.Tables, sub lookedUp) *document.Table {
	table := &document.Table{ID: "law-standards",
		Empty: "No fragrance standard for it is in the tables, which hold only some of them.",
		Columns: []document.Column{
			{Head: "Substance", Fixed: true}, {Head: "Kind"}, {Head: "Category"}, {Head: "Limit", Unit: "% w/w",
				Kind: document.KindText}, {Head: "Source", Weight: 2}}}
	for _, x := range law.StandardsFor(t, sub.INCI, sub.CAS, sub.EC) {
		limit := document.MissingCell("not in the table")
		switch {
		case x.MaxPct != nil:
			limit = document.PctCell(*x.MaxPct)
		case x.Unrestricted:
			limit = document.TextCell("no ceiling")
		}
		table.Add(document.TextCell(x.Substance), document.TextCell(x.Type),
			document.TextCell(strings.Join(x.Categories, ", ")), limit.MarkedIf(x.FromMemory(),
				show.MemoryMark), document.TextCell(x.Source))
	}
	return table
}
