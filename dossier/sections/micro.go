package sections

import (
	"strings"

	"gallipot/calc/ageing"
	"gallipot/calc/law"
	"gallipot/calc/law/trade"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/stability"
)

// MicrobiologySection shows what protects the product and what has been tested.
func MicrobiologySection(v *show.View) *document.Section {
	p := v.A.Product
	s := &document.Section{ID: "microbiology", Title: "Preservation and tests",
		Intro: "A preservative within its limit and pH range does not prove protection; a challenge test does."}
	if t, ok := law.ProductType(v.A.Options.Law, p.Type); ok {
		class := "all other products"
		if ageing.MicroClass(p.Product, t) == trade.MicroStrict {
			class = "products for children under three, the eye area or mucous membranes"
		}
		s.Add(document.Para("Class of the product type for microbial counts (ISO 17516): " + class + ". " +
			waterInUse(v, t.WaterContact)))
	}
	limits := &document.Table{ID: "micro-limits", Title: "Counts accepted for the finished product",
		Columns: []document.Column{{Head: "What is counted", Fixed: true, Weight: 1.6}, {Head: "Accepted"},
			{Head: "Unit"}, {Head: "For", Weight: 1.4}, {Head: "Source", Weight: 1.4}}}
	for _, row := range law.StabilityTopic(v.A.Options.Law, "limit") {
		limits.Add(document.TextCell(row.Item), document.TextCell(row.Value).
			MarkedIf(row.FromMemory(),
				show.MemoryMark), document.TextCell(row.Unit), document.TextCell(row.Condition), document.TextCell(row.Source))
	}
	tests := &document.Table{ID: "micro-tests", Title: "Tests on record", SheetName: "Microbiology",
		Empty: "No microbiological test is on record.", Columns: []document.Column{{Head: "Test", Fixed: true},
			{Head: "Method"}, {Head: "Verdict"}, {Head: "Dated"}, {Head: "Laboratory"}, {Head: "Report", Weight: 1.4}}}
	for _, m := range v.A.Entered.Microbiology {
		verdict := show.TextOr(m.Verdict)
		if day := v.A.Options.Date; day.Before(m.Dated) && m.Verdict != "fail" {
			verdict = stability.NotYet(day)
		}
		tests.Add(document.TextCell(m.Test), show.TextOr(m.Method), verdict, document.DateCell(m.Dated),
			show.TextOr(m.Laboratory), show.TextOr(m.File))
	}
	return s.Add(preservativesTable(v), tests, lowRiskTable(v), limits)
}

// waterInUse says what is known of water that gets into the pack: the table of
// product types speaks of the kind of product, and the product file of what the
// pack is made of, and not of how the product is taken out.
func waterInUse(v *show.View, expected bool) string {
	if expected {
		return "A product of this type may get water into its pack in use (product-types.csv, row " +
			v.A.Product.Type + ")."
	}
	pack := "the product file states no pack"
	if len(v.A.Product.Packaging) > 0 {
		pack = "the pack is stated as " + strings.ReplaceAll(PackText(v), "\n", "; ")
	}
	return "A product of this type is not expected to get water into its pack in use (product-types.csv, row " +
		v.A.Product.Type + "); " + pack +
		", and how the product is taken out of it is not stated: whether wet fingers reach into it is not known from the product file."
}

// preservativesTable shows the preservatives of the lists in each variant.
func preservativesTable(v *show.View) *document.Table {
	t := &document.Table{ID: "micro-preservatives", Title: "Substances of the preservative lists",
		SheetName: "Microbiology", Empty: "No substance of the preservative lists is in the product.",
		Columns: []document.Column{{Head: "Substance (INCI)", Fixed: true, Weight: 1.4}}}
	for _, x := range v.Variants {
		t.Columns = append(t.Columns, document.Column{Head: show.ShortName(x), Unit: "% w/w",
			Kind: document.KindRange})
	}
	for _, s := range v.Substances() {
		listed := false
		for _, m := range v.A.Markets {
			listed = listed || law.IsPreservative(v.A.Options.Law, s.INCI, s.CAS, m, v.A.Options.Date)
		}
		if !listed {
			continue
		}
		row := []document.Cell{document.TextCell(show.SubstanceName(s))}
		for _, x := range v.Variants {
			row = append(row, ContentCell(v.First(x).Whole(), s))
		}
		t.Add(row...)
	}
	return t
}

// bounds are the signs of a comparison as they are printed.
var bounds = strings.NewReplacer("<=", "≤\u00a0", ">=", "≥\u00a0", "<", "<\u00a0", ">", ">\u00a0")

// lowRiskTable shows the maker's case that germs cannot grow.
func lowRiskTable(v *show.View) *document.Table {
	t := &document.Table{ID: "micro-low-risk", Title: "Case for low microbial risk",
		Empty: "No case for low microbial risk is made.", Columns: []document.Column{{Head: "Item", Fixed: true},
			{Head: "As stated", Weight: 2, Kind: document.KindText}}}
	c := v.A.Product.Evidence.LowRisk
	if c == nil {
		return t
	}
	t.Add(document.TextCell("Reason"), show.TextOr(c.Reason))
	t.Add(document.TextCell("Water activity"), suppliedOr(c.WaterActivity))
	t.Add(document.TextCell("pH"), suppliedOr(c.PH))
	t.Add(document.TextCell("Ethanol, % v/v"), suppliedOr(c.EthanolPct))
	t.Add(document.TextCell("Report"), show.TextOr(c.File))
	var criteria []string
	for _, row := range law.LowRiskCriteria(v.A.Options.Law) {
		item := row.Item
		if bound := bounds.Replace(row.Value); bound != row.Value { // the others are words of the table
			item += " " + bound
		}
		criteria = append(criteria, item)
	}
	t.Note("Criteria of ISO 29621: " + strings.Join(criteria, "; ") +
		". A pass needs measured values and reasons; the assessor judges.")
	return t
}
