package dossier

import "strings"

// microbiologySection shows what protects the product and what has been tested.
func (v *view) microbiologySection() *Section {
	p := v.a.Product
	s := &Section{ID: "microbiology", Title: "Preservation and tests",
		Intro: "A preservative within its limit and pH range does not prove protection; a challenge test does."}
	if t, ok := v.a.Options.Law.ProductType(p.Type); ok {
		class := "all other products"
		if t.MicroClass != "other" {
			class = "products for children under three, the eye area or mucous membranes"
		}
		s.Add(Para("Class of the product type for microbial counts (ISO 17516): " + class + ". " + v.waterInUse(t.WaterContact)))
	}
	limits := &Table{ID: "micro-limits", Title: "Counts accepted for the finished product", Columns: []Column{{Head: "What is counted", Fixed: true, Weight: 1.6}, {Head: "Accepted"}, {Head: "Unit"}, {Head: "For", Weight: 1.4}, {Head: "Source", Weight: 1.4}}}
	for _, row := range v.a.Options.Law.StabilityTopic("limit") {
		limits.Add(TextCell(row.Item), TextCell(row.Value).MarkedIf(row.FromMemory(), memoryMark), TextCell(row.Unit), TextCell(row.Condition), TextCell(row.Source))
	}
	tests := &Table{ID: "micro-tests", Title: "Tests on record", SheetName: "Microbiology", Empty: "No microbiological test is on record.", Columns: []Column{{Head: "Test", Fixed: true}, {Head: "Method"}, {Head: "Verdict"}, {Head: "Dated"}, {Head: "Laboratory"}, {Head: "Report", Weight: 1.4}}}
	for _, m := range v.a.entered.Microbiology {
		verdict := textOr(m.Verdict)
		if day := v.a.Options.Date; day.Before(m.Dated) && m.Verdict != "fail" {
			verdict = notYet(day)
		}
		tests.Add(TextCell(m.Test), textOr(m.Method), verdict, DateCell(m.Dated), textOr(m.Laboratory), textOr(m.File))
	}
	return s.Add(v.preservativesTable(), tests, v.lowRiskTable(), limits)
}

// waterInUse says what is known of water that gets into the pack: the table of
// product types speaks of the kind of product, and the product file of what the
// pack is made of, and not of how the product is taken out.
func (v *view) waterInUse(expected bool) string {
	if expected {
		return "A product of this type may get water into its pack in use (product-types.csv, row " + v.a.Product.Type + ")."
	}
	pack := "the product file states no pack"
	if len(v.a.Product.Packaging) > 0 {
		pack = "the pack is stated as " + strings.ReplaceAll(v.packText(), "\n", "; ")
	}
	return "A product of this type is not expected to get water into its pack in use (product-types.csv, row " + v.a.Product.Type + "); " + pack +
		", and how the product is taken out of it is not stated: whether wet fingers reach into it is not known from the product file."
}

// preservativesTable shows the preservatives of the lists in each variant.
func (v *view) preservativesTable() *Table {
	t := &Table{ID: "micro-preservatives", Title: "Substances of the preservative lists", SheetName: "Microbiology", Empty: "No substance of the preservative lists is in the product.", Columns: []Column{{Head: "Substance (INCI)", Fixed: true, Weight: 1.4}}}
	for _, x := range v.variants {
		t.Columns = append(t.Columns, Column{Head: shortName(x), Unit: "% w/w", Kind: KindRange})
	}
	for _, s := range v.substances() {
		listed := false
		for _, m := range v.a.Markets {
			listed = listed || v.a.Options.Law.IsPreservative(s.INCI, s.CAS, m, v.a.Options.Date)
		}
		if !listed {
			continue
		}
		row := []Cell{TextCell(substanceName(s))}
		for _, x := range v.variants {
			row = append(row, contentCell(v.first(x).Whole(), s))
		}
		t.Add(row...)
	}
	return t
}

// lowRiskTable shows the maker's case that germs cannot grow.
func (v *view) lowRiskTable() *Table {
	t := &Table{ID: "micro-low-risk", Title: "Case for low microbial risk", Empty: "No case for low microbial risk is made.", Columns: []Column{{Head: "Item", Fixed: true}, {Head: "As stated", Weight: 2, Kind: KindText}}}
	c := v.a.Product.Evidence.LowRisk
	if c == nil {
		return t
	}
	t.Add(TextCell("Reason"), textOr(c.Reason))
	t.Add(TextCell("Water activity"), suppliedOr(c.WaterActivity))
	t.Add(TextCell("pH"), suppliedOr(c.PH))
	t.Add(TextCell("Ethanol, % v/v"), suppliedOr(c.EthanolPct))
	t.Add(TextCell("Report"), textOr(c.File))
	var criteria []string
	for _, row := range v.a.Options.Law.LowRiskCriteria() {
		criteria = append(criteria, strings.TrimSpace(row.Item+" "+row.Value))
	}
	t.Note("Criteria of ISO 29621 in the tables: " + strings.Join(criteria, "; ") + ". A pass needs measured values and reasons; the assessor judges.")
	return t
}
