package dossier

import (
	"cmp"
	"fmt"
	"slices"

	"gallipot/calc"
	"gallipot/calc/law"
)

// limitRow is a row of the limit tables in the variant where it stands worst,
// with the markets that it holds for.
type limitRow struct {
	check   calc.LimitCheck
	variant string
	markets []law.Market
}

// limitRows joins the checks of all shown variants and markets: one line for
// each row and the substances it counts, the gravest verdict and then the
// highest content governing.
func (v *view) limitRows() []*limitRow {
	var rows []*limitRow
	at := map[string]*limitRow{}
	for _, x := range v.variants {
		for _, r := range v.a.ByVariant(x.ID) {
			for _, c := range r.Limits {
				key := c.Row.Key + "|" + joinNames(c.Substances)
				row := at[key]
				if row == nil {
					row = &limitRow{check: c, variant: shortName(x)}
					at[key] = row
					rows = append(rows, row)
				} else if worseLimit(c, row.check) {
					row.check, row.variant = c, shortName(x)
				}
				if !slices.Contains(row.markets, r.Input.Market) {
					row.markets = append(row.markets, r.Input.Market)
				}
			}
		}
	}
	slices.SortStableFunc(rows, func(a, b *limitRow) int {
		return cmp.Or(cmp.Compare(limitRank(a.check.Verdict), limitRank(b.check.Verdict)), cmp.Compare(a.check.Row.File, b.check.Row.File), cmp.Compare(a.check.Row.Line, b.check.Row.Line))
	})
	return rows
}

// limitRank orders verdicts, the gravest first.
func limitRank(verdict calc.LimitVerdict) int {
	return slices.Index([]calc.LimitVerdict{calc.LimitExceeded, calc.LimitUndecided, calc.LimitKept, calc.LimitNoFigure, calc.LimitNotApplicable}, verdict)
}

func worseLimit(a, b calc.LimitCheck) bool {
	if c := cmp.Compare(limitRank(a.Verdict), limitRank(b.Verdict)); c != 0 {
		return c < 0
	}
	return b.Content.Max.Less(a.Content.Max)
}

// limitsSection shows the rows of the limit tables that apply or may apply.
func (v *view) limitsSection() *Section {
	s := &Section{ID: "limits", Title: "Legal limits",
		Intro: "Rows of the limit tables that name a substance in the product and apply to it, or may apply, by the law of " + v.a.Options.Date.String() + ". Contents are the highest that the papers allow, counted on the basis the law names, in the variant and mixture with most of it. A substance without a row is on no list in the tables; the tables do not hold every prohibited substance."}
	return s.Add(v.limitTable("limits-apply", "Rows that apply or may apply", func(c calc.LimitVerdict) bool { return c != calc.LimitNotApplicable }))
}

// limitsConsideredSection shows the rows that were looked at and do not apply,
// with the reason.
func (v *view) limitsConsideredSection() *Section {
	s := &Section{ID: "limits-considered", Title: "Limit rows considered and not applied",
		Intro: "Rows that name a substance in the product and whose condition does not hold for it, each with the reason, so that a reader can see what was looked at."}
	return s.Add(v.limitTable("limits-other", "Rows that do not apply", func(c calc.LimitVerdict) bool { return c == calc.LimitNotApplicable }))
}

func (v *view) limitTable(id, title string, wanted func(calc.LimitVerdict) bool) *Table {
	t := &Table{ID: id, Title: title, SheetName: "Limits", Empty: "There is none.",
		Columns: []Column{{Head: "Substance", Fixed: true, Weight: 1.2}, {Head: "Annex/ entry"}, {Head: "Markets"}, {Head: "Content, highest", Unit: "% w/w", Kind: KindNumber},
			{Head: "Limit", Unit: "% w/w", Kind: KindNumber}, {Head: "Verdict", Weight: 1.1}, {Head: "Reason", Weight: 2}, {Head: "Where"}, {Head: "Row"}}}
	for _, row := range v.limitRows() {
		c := row.check
		if !wanted(c.Verdict) {
			continue
		}
		content := PctCell(c.Content.Max)
		if c.LimitPct != nil && !c.LimitPct.IsZero() {
			content = content.By(RulePctBeside(*c.LimitPct))
		}
		where := row.variant
		if c.WorstIn != "" {
			where += ", " + c.WorstIn
		}
		t.Add(TextCell(joinNames(c.Substances)), TextCell(c.Row.Annex+"/"+c.Row.Entry), TextCell(marketsText(row.markets)), content,
			numOr(c.LimitPct, "no figure").MarkedIf(c.Row.FromMemory(), memoryMark), limitVerdict(c.Verdict), TextCell(c.Reason), TextCell(where), TextCell(c.Row.Key))
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
		{Head: "Table", Fixed: true}, {Head: "Rows", Kind: KindNumber}, {Head: "Read in the source", Kind: KindNumber}, {Head: "Unverified", Kind: KindNumber},
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
