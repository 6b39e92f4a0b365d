package dossier

import (
	"slices"
	"strings"

	"gallipot/dossier/words"
	"gallipot/ingredients"
)

// Pack builds the document for the assessor: everything computed for a product
// and everything still open. Its parts are built side by side: each reads the
// assessment and changes nothing in it.
func Pack(a *Assessment) *Document {
	v := a.show("")
	v.withContributions = true
	d := v.document("Information for the safety assessment")
	sideBySide(
		func() { d.Workbook = Recalculation(a) },
		func() { d.Sections = sections(v.summarySection, v.partA, v.partB, v.restOfFile, v.annexes) },
		func() { d.Cover = v.cover() },
	)
	d.NumberSections()
	return d
}

// sections builds sections side by side and returns them in their order.
func sections(build ...func() *Section) []*Section {
	out := make([]*Section, len(build))
	inParallel(len(build), func(i int) { out[i] = build[i]() })
	return out
}

// sideBySide does several things at once.
func sideBySide(tasks ...func()) {
	inParallel(len(tasks), func(i int) { tasks[i]() })
}

// document has the furniture that every document about a product shares.
func (v *view) document(title string) *Document {
	p := v.a.Product
	return &Document{ForAssessor: true,
		Title: title, Subtitle: p.Name, Language: "en-GB", Author: v.a.Workshop.Maker.Name,
		Subject: "Data for the cosmetic product safety assessment of " + p.Name, Date: v.a.Options.Date,
		Product: p.Name, Revision: "revision " + itoa(p.Revision), Fingerprint: v.a.Fingerprint, Caution: CautionLine, Marks: marks,
	}
}

// mostOnCover is how many variants the cover names.
const mostOnCover = 10

func (v *view) cover() *Cover {
	p := v.a.Product
	var variants, markets []string
	for _, x := range p.Variants {
		variants = append(variants, variantName(x))
	}
	if n := len(variants); n > mostOnCover {
		variants = append(variants[:mostOnCover:mostOnCover], "and "+itoa(n-mostOnCover)+" more, each in the annex of ingredient lists")
	}
	for _, m := range v.a.Markets {
		markets = append(markets, string(m))
	}
	c := &Cover{Kicker: v.a.Workshop.Maker.Name, Facts: []Fact{
		{"Product", TextCell(p.Name)},
		{"Product type", TextCell(v.typeName())},
		{"Variants", TextCell(strings.Join(variants, "\n"))},
		{"Markets", TextCell(strings.Join(markets, ", "))},
		{"Revision", IntCell(p.Revision)},
		{"Law on", DateCell(v.a.Options.Date)},
		{"Law in the tables to", TextCell(v.lawTo())},
		{"Fingerprint", TextCell(v.a.Fingerprint)},
	}}
	c.Blocks = append(c.Blocks, Caution("What this is not",
		"This pack prepares data. It is not a safety assessment and gives no permission to sell. A qualified safety assessor must check it, decide and sign; the responsible person stays answerable for the product. Missing data are named as missing and count nowhere as zero."),
		v.countFigures())
	if stops := v.stopCallout(); stops != nil {
		c.Blocks = append(c.Blocks, stops)
	}
	c.Blocks = append(c.Blocks, v.nextSteps(), v.readinessCover())
	if v.a.Workshop.Invented {
		c.Blocks = append(c.Blocks, &Callout{Kind: CalloutNote, Title: "Invented data", Body: []*Paragraph{Para("The workshop, its suppliers, products and figures are invented for demonstration.")}})
	}
	return c
}

// mostStops is how many stops a box names.
const mostStops = 8

// stopCallout names what stops the shown variants; nil where nothing does.
func (v *view) stopCallout() *Callout {
	var body []*Paragraph
	more := 0
	for _, f := range v.findings() {
		if f.Severity != ingredients.Stop {
			continue
		}
		if len(body) == mostStops {
			more++
			continue
		}
		said := words.Say(&f, words.Assessor)
		text := said.Line()
		if len(f.Variants) > 0 {
			text += " (" + joinNames(f.Variants) + ")"
		}
		body = append(body, Para(upperFirst(text)+"."))
	}
	if len(body) == 0 {
		return nil
	}
	if more > 0 {
		body = append(body, Para("And "+itoa(more)+" more."))
	}
	return &Callout{Kind: CalloutStop, Title: "What stops it: against a law, a certificate or a fragrance Standard, or not computable as it stands", Body: body}
}

func (v *view) countFigures() *KeyFigures {
	n := map[ingredients.Severity]int{}
	for _, f := range v.findings() {
		n[f.Severity]++
	}
	return &KeyFigures{Items: []KeyFigure{
		{Label: "Stop", Value: IntCell(n[ingredients.Stop]), Note: "against a law, a certificate or a Standard, or not computable"},
		{Label: "Ask", Value: IntCell(n[ingredients.Ask]), Note: "someone must supply or decide"},
		{Label: "Note", Value: IntCell(n[ingredients.Note]), Note: "worth knowing"},
	}}
}

func (v *view) typeName() string {
	if t, ok := v.a.Options.Law.ProductType(v.a.Product.Type); ok {
		return t.Name
	}
	return v.a.Product.Type
}

// lawTo says up to which day the annexes of the product's markets are in the
// tables.
func (v *view) lawTo() string {
	var parts []string
	for _, m := range v.a.Markets {
		part := string(m) + " " + v.a.Options.Law.StateOf(m).ConsolidatedTo.String()
		if !slices.Contains(parts, part) {
			parts = append(parts, part)
		}
	}
	return strings.Join(parts, ", ")
}
