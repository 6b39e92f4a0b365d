package notice

import (
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/duties"
	"gallipot/calc/law/rows"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/evidence"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// notice is the sheet for one portal: Great Britain has one, the EU and Northern
// Ireland share another.
type notice struct {
	V       *show.View
	Portal  rows.Market // GB or EU
	Markets []rows.Market
}

// Sheet builds a sheet with everything that the notification of a product
// asks for, field by field, for each portal that its markets need. What is not
// known is shown as missing, with the one who can supply it. It notifies nothing.
//
// Contents come as exact as the papers give them and as bands (label-rules.csv,
// rows N8a-1 to N8a-8).
// Source: dossier-contents.csv, rows N1 to N11; Regulation (EC) 1223/2009
// Article 13.
func Sheet(a *assess.Assessment) *document.Document {
	v := show.Show(a, "")
	d := v.Document("Notification sheet")
	d.NoContents = true
	d.Subject = "What the notification of " + a.Product.Name + " asks for"
	for _, portal := range []rows.Market{rows.GB, rows.EU} {
		n := &notice{V: v, Portal: portal}
		for _, m := range a.Markets {
			if m.Annexes() == portal {
				n.Markets = append(n.Markets, m)
			}
		}
		if len(n.Markets) > 0 {
			d.Sections = append(d.Sections, n.section(len(d.Sections) > 0))
		}
	}
	return d
}

func (n *notice) title() string {
	if n.Portal == rows.GB {
		return "Great Britain"
	}
	return "European Union and Northern Ireland"
}

func (n *notice) id() string { return "notification-" + strings.ToLower(string(n.Portal)) }

func (n *notice) section(fresh bool) *document.Section {
	s := &document.Section{ID: n.id(), Title: n.title(), NewPage: fresh,
		Intro: "Copy it field by field into the form of the portal. The form's own questions and lists prevail; this sheet notifies nothing."}
	if stops := n.V.A.Stops(); stops > 0 {
		s.Add(&document.Callout{Kind: document.CalloutStop, Title: "Not to be notified as it stands",
			Body: []*document.Paragraph{document.Para(words.Count(stops, "finding", "findings") +
				" of kind stop: see gallipot check " + n.V.A.Product.ID + ".")}})
	}
	s.Add(n.fields(),
		document.Para("Of the formulas below: where the papers give a range, the typical content is the likely one and the highest the cautious one. Allergens named on the label are inside the scent and not counted again."))
	for _, x := range n.V.Variants {
		sub := s.AddSection(n.id()+"-"+show.AnchorOf(x), "Formula: "+show.VariantName(x))
		sub.Add(n.formula(x))
		if t := n.concern(x); len(t.Rows) > 0 {
			sub.Add(t)
		}
	}
	return s
}

// result is the result of a variant for this portal.
func (n *notice) result(x *formula.Variant) *calc.Result { return n.V.A.Result(x.ID, n.Markets[0]) }

// row returns a row of the dossier contents, for its source.
func (n *notice) row(id string) *duties.DossierItem {
	for _, r := range law.Dossier(n.V.A.Options.Law) {
		if r.Key == id {
			return r
		}
	}
	panic("dossier-contents.csv has no row " + id) // the tests rule this out
}

// fields is the table of what is typed into the form, a field a row.
func (n *notice) fields() *document.Table {
	t := &document.Table{ID: n.id() + "-fields", Title: "Fields", SheetName: "Notification " + string(n.Portal),
		Columns: []document.Column{{Head: "Field", Fixed: true, Weight: 0.8},
			{Head: "To enter", Weight: 2.4, Kind: document.KindText}, {Head: "Who supplies it",
				Weight: 0.7}, {Head: "Row", Weight: 0.35}}}
	add := func(field string, c document.Cell, who, id string) {
		r := n.row(id)
		if c.Kind != document.CellMissing {
			who = ""
		}
		t.Add(document.TextCell(field), c, document.TextCell(who), document.TextCell(id).
			MarkedIf(r.FromMemory(), show.MemoryMark).From(r.Source))
	}
	p := n.V.A.Product
	add("Product name", show.TextOr(p.Name), words.MakerWord, "N2")
	add("Variants", n.variantsCell(), words.MakerWord, "N2")
	add("Category, in words", document.TextCell(n.categoryWords()), words.MakerWord, "N2")
	person := n.V.ResponsibleCell(n.Markets[0])
	add("Responsible person", person, words.MakerWord, "N3")
	add("Where the product file is held", n.fileCell(person), words.MakerWord, "N3")
	add("Contact person", n.contactCell(), words.MakerWord, "N5")
	if n.Portal == rows.EU {
		add("Country of origin, if imported", n.originCell(), words.MakerWord, "N4")
		add("Member State of first placing", n.firstCell(), words.MakerWord, "N4")
	}
	add("Nanomaterials", n.nanoCell(), "suppliers", "N6")
	add("CMR substances, category 1A or 1B", n.cmrCell(), "suppliers", "N7")
	add("How the formula is given", document.TextCell(n.formulaWords()), words.MakerWord, "N8")
	add("pH", n.phCell(), words.MakerWord, "N8c")
	add("Label", n.paperCell("label"), words.MakerWord, "N9")
	add("Picture of the pack", n.paperCell("photo"), words.MakerWord, "N9")
	add("Notified already", n.notifiedCell(), words.MakerWord, "N1")
	return t
}

// variantsCell lists the names under which the product is sold.
func (n *notice) variantsCell() document.Cell {
	var names []string
	for _, x := range n.V.Variants {
		if x.ID != "" {
			names = append(names, show.VariantName(x))
		}
	}
	if len(names) == 0 {
		return document.TextCell("none: one product under one name")
	}
	return document.TextCell(strings.Join(names, "\n"))
}

// categoryWords describes the product so that its entry in the form's own list is
// found.
func (n *notice) categoryWords() string {
	kind := n.V.First(n.V.Variants[0]).Input.Type
	words := []string{kind.Name, n.V.RinseText(), "used on " +
		words.JoinNames(addAll(kind.Areas, n.V.A.Product.BodyAreas)), "for " +
		strings.ReplaceAll(string(n.V.A.Product.IntendedFor), "-", " ")}
	if f := n.V.A.Product.Function.Text; f != "" {
		words = append([]string{f}, words...)
	}
	return strings.Join(words, "; ") + "\nchoose the nearest entry of the form's own list"
}

func addAll(list, more []string) []string {
	out := slices.Clone(list)
	for _, s := range more {
		out = words.AddOnce(out, s)
	}
	return out
}

// fileCell: the file is held at the address of the responsible person on the
// label.
func (n *notice) fileCell(person document.Cell) document.Cell {
	if person.Kind == document.CellMissing {
		return person
	}
	return document.TextCell("at the address of the responsible person, as on the label")
}

// contactCell names whom to reach: the contact of the responsible person.
func (n *notice) contactCell() document.Cell {
	if words := n.V.A.Workshop.ContactFor(n.Markets[0]).Words(); words != "" {
		return document.TextCell(words)
	}
	return document.MissingCell("no contact is named: write contact: {name: …, phone: …, email: …} under the responsible person in workshop.yaml")
}

// originCell names the country of origin of goods from outside the EU.
func (n *notice) originCell() document.Cell {
	made := n.V.A.Product.Origin(n.V.A.Workshop)
	country, ok := law.Country(n.V.A.Options.Law, made)
	switch {
	case made == "":
		return document.MissingCell("where it is made is not stated: write made_in in the product file")
	case ok && country.Within(rows.EU):
		return document.TextCell("not imported: made in " + country.Name)
	case ok:
		return document.TextCell(show.CountryWords(country))
	}
	return document.TextCell(made)
}

func (n *notice) firstCell() document.Cell {
	code := n.V.A.Product.FirstPlaced
	if code == "" {
		return document.MissingCell("not stated: write first_placed_in in the product file")
	}
	if c, ok := law.Country(n.V.A.Options.Law, code); ok {
		return document.TextCell(show.CountryWords(c))
	}
	return document.TextCell(code)
}

// formulaWords says in which of the ways of row N8 the formula can be given.
func (n *notice) formulaWords() string {
	words := "exact contents or bands: see the tables below; a preset frame is checked on the form"
	if n.Portal == rows.GB {
		words += "\na line is typed for each ingredient; no file is attached"
	}
	return words
}

// paperCell names a paper of the product, if its file is there.
func (n *notice) paperCell(kind string) document.Cell {
	for _, d := range n.V.A.Product.Documents {
		if d.Kind != kind || d.File == "" {
			continue
		}
		if slices.ContainsFunc(n.V.A.Workshop.Loaded, func(f finding.Finding) bool {
			return (f.Code == workshop.CodeEvidenceMissing || f.Code == workshop.CodeEvidenceOutside) &&
				f.Subject == d.File
		}) {
			return document.MissingCell(d.File + " is named and not in the workshop")
		}
		return document.TextCell(d.File)
	}
	return document.MissingCell("no document of kind " + kind + " is named: " +
		workshop.ProductDocumentKinds[kind])
}

// notifiedCell says what is on record of the notice itself.
func (n *notice) notifiedCell() document.Cell {
	for _, x := range n.V.A.Product.Notifications {
		if rows.Market(x.Market).Annexes() == n.Portal && x.Number != "" {
			return document.TextCell(words.Joined(", ", x.Number, x.Dated.String()))
		}
	}
	return document.MissingCell("no number is on record: enter it under notifications once the portal has given it")
}

// phCell answers the question on the pH: within the usual range, a figure, or
// none for want of water.
//
// Source: label-rules.csv, rows N8c-1 and N8c-2.
func (n *notice) phCell() document.Cell {
	low, high := law.LabelRule(n.V.A.Options.Law, "N8c-1").Value, law.LabelRule(n.V.A.Options.Law, "N8c-2").Value
	ph := n.V.A.Product.Specification.PH
	within := low.Exact() + " to " + high.Exact()
	switch {
	case ph == nil && !n.wet():
		return document.TextCell("no water in it: the entry for products without a pH")
	case ph == nil && len(evidence.New(n.V.A).PhAsked()) == 0:
		return document.TextCell("less than " + law.Fact(n.V.A.Options.Law, "ph-water-least").Value +
			" % of water in it: the entry for products without a pH")
	case ph == nil:
		return document.MissingCell("no pH is specified: measure it and write specification: {ph: …}")
	case !ph.Min.Less(*low) && !high.Less(ph.Max):
		return document.TextCell("within " + within + " (specified: " + show.NumRangeCell(*ph).Text + ")").
			Marked(show.MemoryMark)
	case ph.Max.Less(*low) || high.Less(ph.Min):
		return document.TextCell("outside " + within + ": state the figure, specified as " + show.NumRangeCell(*ph).
			Text).Marked(show.MemoryMark)
	}
	return document.TextCell("specified as " + show.NumRangeCell(*ph).Text + ", which reaches beyond " + within +
		": state the figure").Marked(show.MemoryMark)
}

// wet says whether water is in any variant.
func (n *notice) wet() bool {
	return slices.ContainsFunc(n.V.Variants, func(x *formula.Variant) bool {
		s := n.result(x).Whole().Find("Aqua")
		return s != nil && exact.Int(0).Less(s.Total.Max)
	})
}
