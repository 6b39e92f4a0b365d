package dossier

import (
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/law"
	"gallipot/ingredients"
)

// notice is the sheet for one portal: Great Britain has one, the EU and Northern
// Ireland share another.
type notice struct {
	v       *view
	portal  law.Market // GB or EU
	markets []law.Market
}

// NotificationSheet builds a sheet with everything that the notification of a product
// asks for, field by field, for each portal that its markets need. What is not
// known is shown as missing, with the one who can supply it. It notifies nothing.
//
// Contents come as exact as the papers give them and as bands (label-rules.csv,
// rows N8a-1 to N8a-8).
// Source: dossier-contents.csv, rows N1 to N11; Regulation (EC) 1223/2009
// Article 13.
func NotificationSheet(a *Assessment) *Document {
	v := a.show("")
	d := v.document("Notification sheet")
	d.NoContents = true
	d.Subject = "What the notification of " + a.Product.Name + " asks for"
	for _, portal := range []law.Market{law.GB, law.EU} {
		n := &notice{v: v, portal: portal}
		for _, m := range a.Markets {
			if m.Annexes() == portal {
				n.markets = append(n.markets, m)
			}
		}
		if len(n.markets) > 0 {
			d.Sections = append(d.Sections, n.section(len(d.Sections) > 0))
		}
	}
	return d
}

func (n *notice) title() string {
	if n.portal == law.GB {
		return "Great Britain"
	}
	return "European Union and Northern Ireland"
}

func (n *notice) id() string { return "notification-" + strings.ToLower(string(n.portal)) }

func (n *notice) section(fresh bool) *Section {
	s := &Section{ID: n.id(), Title: n.title(), NewPage: fresh,
		Intro: "Copy it field by field into the form of the portal. The form's own questions and lists prevail; this sheet notifies nothing."}
	if stops := n.v.a.Stops(); stops > 0 {
		s.Add(&Callout{Kind: CalloutStop, Title: "Not to be notified as it stands", Body: []*Paragraph{Para(count(stops, "finding", "findings") + " of kind stop: see gallipot check " + n.v.a.Product.ID + ".")}})
	}
	s.Add(n.fields(), Para("Of the formulas below: where the papers give a range, the typical content is the likely one and the highest the cautious one. Allergens named on the label are inside the scent and not counted again."))
	for _, x := range n.v.variants {
		sub := s.AddSection(n.id()+"-"+anchorOf(x), "Formula: "+variantName(x))
		sub.Add(n.formula(x))
		if t := n.concern(x); len(t.Rows) > 0 {
			sub.Add(t)
		}
	}
	return s
}

// result is the result of a variant for this portal.
func (n *notice) result(x *calc.Variant) *calc.Result { return n.v.a.Result(x.ID, n.markets[0]) }

// row returns a row of the dossier contents, for its source.
func (n *notice) row(id string) *law.DossierItem {
	for _, r := range n.v.a.Options.Law.Dossier() {
		if r.Key == id {
			return r
		}
	}
	panic("dossier-contents.csv has no row " + id) // the tests rule this out
}

// fields is the table of what is typed into the form, a field a row.
func (n *notice) fields() *Table {
	t := &Table{ID: n.id() + "-fields", Title: "Fields", SheetName: "Notification " + string(n.portal),
		Columns: []Column{{Head: "Field", Fixed: true, Weight: 0.8}, {Head: "To enter", Weight: 2.4, Kind: KindText}, {Head: "Who supplies it", Weight: 0.7}, {Head: "Row", Weight: 0.35}}}
	add := func(field string, c Cell, who, id string) {
		r := n.row(id)
		if c.Kind != CellMissing {
			who = ""
		}
		t.Add(TextCell(field), c, TextCell(who), TextCell(id).MarkedIf(r.FromMemory(), memoryMark).From(r.Source))
	}
	p := n.v.a.Product
	add("Product name", textOr(p.Name), makerWord, "N2")
	add("Variants", n.variantsCell(), makerWord, "N2")
	add("Category, in words", TextCell(n.categoryWords()), makerWord, "N2")
	person := n.v.responsibleCell(n.markets[0])
	add("Responsible person", person, makerWord, "N3")
	add("Where the product file is held", n.fileCell(person), makerWord, "N3")
	add("Contact person", n.contactCell(), makerWord, "N5")
	if n.portal == law.EU {
		add("Country of origin, if imported", n.originCell(), makerWord, "N4")
		add("Member State of first placing", n.firstCell(), makerWord, "N4")
	}
	add("Nanomaterials", n.nanoCell(), "suppliers", "N6")
	add("CMR substances, category 1A or 1B", n.cmrCell(), "suppliers", "N7")
	add("How the formula is given", TextCell(n.formulaWords()), makerWord, "N8")
	add("pH", n.phCell(), makerWord, "N8c")
	add("Label", n.paperCell("label"), makerWord, "N9")
	add("Picture of the pack", n.paperCell("photo"), makerWord, "N9")
	add("Notified already", n.notifiedCell(), makerWord, "N1")
	return t
}

// variantsCell lists the names under which the product is sold.
func (n *notice) variantsCell() Cell {
	var names []string
	for _, x := range n.v.variants {
		if x.ID != "" {
			names = append(names, variantName(x))
		}
	}
	if len(names) == 0 {
		return TextCell("none: one product under one name")
	}
	return TextCell(strings.Join(names, "\n"))
}

// categoryWords describes the product so that its entry in the form's own list is
// found.
func (n *notice) categoryWords() string {
	kind := n.v.first(n.v.variants[0]).Input.Type
	words := []string{kind.Name, n.v.rinseText(), "used on " + joinNames(addAll(kind.Areas, n.v.a.Product.BodyAreas)), "for " + strings.ReplaceAll(string(n.v.a.Product.IntendedFor), "-", " ")}
	if f := n.v.a.Product.Function.Text; f != "" {
		words = append([]string{f}, words...)
	}
	return strings.Join(words, "; ") + "\nchoose the nearest entry of the form's own list"
}

func addAll(list, more []string) []string {
	out := slices.Clone(list)
	for _, s := range more {
		out = addOnce(out, s)
	}
	return out
}

// countryNamed is the country of an address in words, or its code where the table
// has none.
func countryNamed(tables *law.Tables, code string) string {
	if c, ok := tables.Country(code); ok {
		return countryWords(c)
	}
	return code
}

// countryWords is a country as forms and addresses have it.
func countryWords(c *law.Country) string { return upperFirst(strings.TrimPrefix(c.Name, "the ")) }

// fileCell: the file is held at the address of the responsible person on the
// label.
func (n *notice) fileCell(person Cell) Cell {
	if person.Kind == CellMissing {
		return person
	}
	return TextCell("at the address of the responsible person, as on the label")
}

// contactCell names whom to reach: the contact of the responsible person.
func (n *notice) contactCell() Cell {
	if words := n.v.a.Workshop.contactFor(n.markets[0]).words(); words != "" {
		return TextCell(words)
	}
	return MissingCell("no contact is named: write contact: {name: …, phone: …, email: …} under the responsible person in workshop.yaml")
}

// originCell names the country of origin of goods from outside the EU.
func (n *notice) originCell() Cell {
	made := n.v.a.Product.madeIn(n.v.a.Workshop)
	country, ok := n.v.a.Options.Law.Country(made)
	switch {
	case made == "":
		return MissingCell("where it is made is not stated: write made_in in the product file")
	case ok && country.Within(law.EU):
		return TextCell("not imported: made in " + country.Name)
	case ok:
		return TextCell(countryWords(country))
	}
	return TextCell(made)
}

func (n *notice) firstCell() Cell {
	code := n.v.a.Product.FirstPlaced
	if code == "" {
		return MissingCell("not stated: write first_placed_in in the product file")
	}
	if c, ok := n.v.a.Options.Law.Country(code); ok {
		return TextCell(countryWords(c))
	}
	return TextCell(code)
}

// formulaWords says in which of the ways of row N8 the formula can be given.
func (n *notice) formulaWords() string {
	words := "exact contents or bands: see the tables below; a preset frame is checked on the form"
	if n.portal == law.GB {
		words += "\na line is typed for each ingredient; no file is attached"
	}
	return words
}

// paperCell names a paper of the product, if its file is there.
func (n *notice) paperCell(kind string) Cell {
	for _, d := range n.v.a.Product.Documents {
		if d.Kind != kind || d.File == "" {
			continue
		}
		if slices.ContainsFunc(n.v.a.Workshop.loaded, func(f ingredients.Finding) bool {
			return (f.Code == CodeEvidenceMissing || f.Code == CodeEvidenceOutside) && f.Subject == d.File
		}) {
			return MissingCell(d.File + " is named and not in the workshop")
		}
		return TextCell(d.File)
	}
	return MissingCell("no document of kind " + kind + " is named: " + ProductDocumentKinds[kind])
}

// notifiedCell says what is on record of the notice itself.
func (n *notice) notifiedCell() Cell {
	for _, x := range n.v.a.Product.Notifications {
		if law.Market(x.Market).Annexes() == n.portal && x.Number != "" {
			return TextCell(joined(", ", x.Number, x.Dated.String()))
		}
	}
	return MissingCell("no number is on record: enter it under notifications once the portal has given it")
}

// phCell answers the question on the pH: within the usual range, a figure, or
// none for want of water.
//
// Source: label-rules.csv, rows N8c-1 and N8c-2.
func (n *notice) phCell() Cell {
	low, high := n.v.a.Options.Law.LabelRule("N8c-1").Value, n.v.a.Options.Law.LabelRule("N8c-2").Value
	ph := n.v.a.Product.Specification.PH
	within := low.Exact() + " to " + high.Exact()
	switch {
	case ph == nil && !n.wet():
		return TextCell("no water in it: the entry for products without a pH")
	case ph == nil && len(newFiling(n.v.a).phAsked()) == 0:
		return TextCell("less than " + n.v.a.Options.Law.Fact("ph-water-least").Value + " % of water in it: the entry for products without a pH")
	case ph == nil:
		return MissingCell("no pH is specified: measure it and write specification: {ph: …}")
	case !ph.Min.Less(*low) && !high.Less(ph.Max):
		return TextCell("within " + within + " (specified: " + NumRangeCell(*ph).Text + ")").Marked(memoryMark)
	case ph.Max.Less(*low) || high.Less(ph.Min):
		return TextCell("outside " + within + ": state the figure, specified as " + NumRangeCell(*ph).Text).Marked(memoryMark)
	}
	return TextCell("specified as " + NumRangeCell(*ph).Text + ", which reaches beyond " + within + ": state the figure").Marked(memoryMark)
}

// wet says whether water is in any variant.
func (n *notice) wet() bool {
	return slices.ContainsFunc(n.v.variants, func(x *calc.Variant) bool {
		s := n.result(x).Whole().Find("Aqua")
		return s != nil && ingredients.Int(0).Less(s.Total.Max)
	})
}
