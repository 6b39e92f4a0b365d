package dossier

import (
	"fmt"

	"gallipot/calc"
)

// limitsSection shows every row of the limit tables that names a substance of
// the product, with its verdict and the reason for it.
func (v *view) limitsSection() *Section {
	s := &Section{ID: "limits", Title: "Legal limits",
		Intro: "Every row of the limit tables that names a substance in the product. Contents are the highest that the papers allow, counted on the basis the law names, in the whole product or the portion with most of it. A substance without a row here is on no list in the tables; the tables do not hold every prohibited substance."}
	for _, x := range v.variants {
		sub := s.AddSection("limits-"+anchorOf(x), upperFirst(variantName(x)))
		for _, r := range v.a.ByVariant(x.ID) {
			sub.Add(v.limitTable(x, r))
		}
	}
	return s
}

func (v *view) limitTable(x *calc.Variant, r *calc.Result) *Table {
	market := string(r.Input.Market)
	t := &Table{ID: "limits-" + anchorOf(x) + "-" + market, Title: market + ", law of " + r.Input.Date.String(), SheetName: "Limits",
		Empty: "No row of the limit tables names a substance of this variant.",
		Columns: []Column{{Head: "Substance", Fixed: true, Weight: 1.2}, {Head: "Annex/ entry"}, {Head: "Content, highest", Unit: "% w/w", Kind: KindNumber},
			{Head: "Limit", Unit: "% w/w", Kind: KindNumber}, {Head: "Verdict", Weight: 1.1}, {Head: "Reason", Weight: 2.4}, {Head: "Row"}}}
	for _, l := range r.Limits {
		limit := numOr(l.LimitPct, "no figure").MarkedIf(l.Row.FromMemory(), memoryMark)
		content := PctCell(l.Content.Max)
		if l.LimitPct != nil && !l.LimitPct.IsZero() {
			content = content.By(RulePctBeside(*l.LimitPct))
		}
		t.Add(TextCell(joinNames(l.Substances)), TextCell(l.Row.Annex+"/"+l.Row.Entry), content, limit,
			limitVerdict(l.Verdict), TextCell(l.Reason), TextCell(l.Row.Key))
	}
	return t
}

func limitVerdict(verdict calc.LimitVerdict) Cell {
	state := VerdictMet
	switch verdict {
	case calc.LimitExceeded:
		state = VerdictFail
	case calc.LimitUndecided:
		state = VerdictOpen
	case calc.LimitNotApplicable, calc.LimitNoFigure:
		state = VerdictNone
	}
	return VerdictCell(state, string(verdict))
}

// sourcesSection lists the tables the figures rest on.
func (v *view) sourcesSection() *Section {
	s := &Section{ID: "sources", Title: "Sources and table versions",
		Intro: "The law and guidance tables inside the program. Lists change and markets differ: the law in force in the place of sale prevails over any table."}
	t := &Table{ID: "sources-tables", SheetName: "Sources", Columns: []Column{
		{Head: "Table", Fixed: true}, {Head: "Rows", Kind: KindNumber}, {Head: "Read in the source", Kind: KindNumber}, {Head: "From memory", Kind: KindNumber},
		{Head: "Newest source", Weight: 2}, {Head: "SHA-256", Weight: 1.2}}}
	for _, info := range v.a.Options.Law.Version() {
		t.Add(TextCell(info.Name), IntCell(info.Rows), IntCell(info.Seen), IntCell(info.Memory), TextCell(info.NewestSource), TextCell(info.SHA256[:16]+"…"))
	}
	t.Note(fmt.Sprintf("Figures of program version %s. A row counts as read only when its figures were read in the source named beside it.", FiguresVersion))
	s.Add(t)
	return s.Add(v.documentsTable())
}

// documentsTable lists the supplier papers behind the sheets in use.
func (v *view) documentsTable() *Table {
	t := &Table{ID: "sources-papers", Title: "Papers behind the raw materials", SheetName: "Papers", Empty: "No paper is entered for any raw material.",
		Columns: []Column{{Head: "Raw material", Fixed: true}, {Head: "Supplier"}, {Head: "Paper"}, {Head: "Dated"}, {Head: "File", Weight: 1.4}, {Head: "SHA-256"}}}
	for _, s := range v.a.UsedSheets() {
		for _, d := range s.Documents {
			file, sum := TextCell(d.File), Cell{}
			switch hash, ok := v.a.Workshop.EvidenceHash(d.File); {
			case d.File == "":
				file, sum = MissingCell("no file named"), BlankCell()
			case !ok:
				sum = MissingCell("file not found")
			default:
				sum = TextCell(hash[:16] + "…")
			}
			t.Add(TextCell(s.ID), TextCell(s.Supplier.Name), TextCell(documentName(d.Kind)), DateCell(d.Dated), file, sum)
		}
	}
	return t
}
