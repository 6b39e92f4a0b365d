package sections

import (
	"cmp"
	"fmt"
	"slices"

	"gallipot/calc/law/rows"
	"gallipot/calc/law/tox"
	"gallipot/calc/limits"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
)

// LimitRow is a row of the limit tables in the variant where it stands worst,
// with the markets that it holds for.
type LimitRow struct {
	Check   limits.LimitCheck
	Variant string
	Markets []rows.Market
}

// LimitRows joins the checks of all shown variants and markets: one line for
// each row and the substances it counts, the gravest verdict and then the
// highest content governing.
func LimitRows(v *show.View) []*LimitRow {
	var rows []*LimitRow
	at := map[string]*LimitRow{}
	for _, x := range v.Variants {
		for _, r := range v.A.ByVariant(x.ID) {
			for _, c := range r.Limits {
				key := c.Row.Key + "|" + words.JoinNames(c.Substances)
				row := at[key]
				if row == nil {
					row = &LimitRow{Check: c, Variant: show.ShortName(x)}
					at[key] = row
					rows = append(rows, row)
				} else if worseLimit(c, row.Check) {
					row.Check, row.Variant = c, show.ShortName(x)
				}
				if !slices.Contains(row.Markets, r.Input.Market) {
					row.Markets = append(row.Markets, r.Input.Market)
				}
			}
		}
	}
	slices.SortStableFunc(rows, func(a, b *LimitRow) int {
		return cmp.Or(cmp.Compare(limitRank(a.Check.Verdict), limitRank(b.Check.Verdict)),
			cmp.Compare(a.Check.Row.File, b.Check.Row.File), cmp.Compare(a.Check.Row.Line, b.Check.Row.Line))
	})
	return rows
}

// limitRank orders verdicts, the gravest first.
func limitRank(verdict limits.LimitVerdict) int {
	return slices.Index([]limits.LimitVerdict{limits.LimitExceeded, limits.LimitUndecided, limits.LimitKept,
		limits.LimitNoFigure, limits.LimitNotApplicable}, verdict)
}

func worseLimit(a, b limits.LimitCheck) bool {
	if c := cmp.Compare(limitRank(a.Verdict), limitRank(b.Verdict)); c != 0 {
		return c < 0
	}
	return b.Content.Max.Less(a.Content.Max)
}

// ProhibitedHeld says how far the tables hold the prohibited substances, and what a
// comparison by name and number cannot find: see law --annex II.
const ProhibitedHeld = "They hold Annex II, the prohibited substances, whole for each market, up to the day that its law is read to; acts not wholly read by then are named with the tables. Of an entry for a class of substances they find the members that they name."

// LimitsSection shows the rows of the limit tables that apply or may apply.
func LimitsSection(v *show.View) *document.Section {
	s := &document.Section{ID: "limits", Title: "Legal limits",
		Intro: "Rows of the limit tables that name a substance in the product and apply to it, or may apply, by the law of " + v.A.Options.Date.String() + ". Contents are the highest that the papers allow, counted on the basis the law names, in the variant and mixture with most of it. A substance without a row is on no list in the tables. " + ProhibitedHeld}
	return s.Add(limitTable(v, "limits-apply", "Rows that apply or may apply",
		func(c limits.LimitVerdict) bool { return c != limits.LimitNotApplicable }))
}

// LimitsConsideredSection shows the rows that were looked at and do not apply,
// with the reason.
func LimitsConsideredSection(v *show.View) *document.Section {
	s := &document.Section{ID: "limits-considered", Title: "Limit rows considered and not applied",
		Intro: "Rows that name a substance in the product and whose condition does not hold for it, each with the reason, so that a reader can see what was looked at."}
	return s.Add(limitTable(v, "limits-other", "Rows that do not apply",
		func(c limits.LimitVerdict) bool { return c == limits.LimitNotApplicable }))
}

func limitTable(v *show.View, id, title string, wanted func(limits.LimitVerdict) bool) *document.Table {
	t := &document.Table{ID: id, Title: title, SheetName: "Limits", Empty: "There is none.",
		Columns: []document.Column{{Head: "Substance", Fixed: true, Weight: 1.2}, {Head: "Annex/ entry"},
			{Head: "Markets"}, {Head: "Content, highest", Unit: "% w/w", Kind: document.KindNumber},
			{Head: "Limit", Unit: "% w/w", Kind: document.KindNumber}, {Head: "Verdict", Weight: 1.1}, {Head: "Reason",
				Weight: 2}, {Head: "Where"}, {Head: "Row"}}}
	for _, row := range LimitRows(v) {
		c := row.Check
		if !wanted(c.Verdict) {
			continue
		}
		content := document.PctCell(c.Content.Max)
		if c.LimitPct != nil && !c.LimitPct.IsZero() {
			content = content.By(document.RulePctBeside(*c.LimitPct))
		}
		where := row.Variant
		if c.WorstIn != "" {
			where += ", " + c.WorstIn
		}
		t.Add(document.TextCell(words.JoinNames(c.Substances)), document.TextCell(c.Row.Annex+"/"+c.Row.Entry),
			document.TextCell(MarketsText(row.Markets)), content,
			NumOr(c.LimitPct, "no figure").MarkedIf(c.Row.FromMemory(),
				show.MemoryMark), show.LimitVerdict(c.Verdict), document.TextCell(c.Reason), document.TextCell(where),
			document.TextCell(c.Row.Key))
	}
	return t
}

// SourcesSection lists the tables the figures rest on.
func SourcesSection(v *show.View) *document.Section {
	s := &document.Section{ID: "sources", Title: "Sources and table versions",
		Intro: "The law and guidance tables inside the program. Lists change and markets differ: the law in force in the place of sale prevails over any table."}
	t := &document.Table{ID: "sources-tables", SheetName: "Sources", Columns: []document.Column{
		{Head: "Table", Fixed: true}, {Head: "Rows", Kind: document.KindNumber}, {Head: "Read in the source",
			Kind: document.KindNumber}, {Head: "Unverified", Kind: document.KindNumber},
		{Head: "Newest source", Weight: 2}, {Head: "SHA-256", Weight: 1.2}}}
	for _, info := range v.A.Options.Law.Version() {
		t.Add(document.TextCell(info.Name), document.IntCell(info.Rows), document.IntCell(info.Seen),
			document.IntCell(info.Memory), document.TextCell(info.NewestSource),
			document.TextCell(info.SHA256[:16]+"…"))
	}
	for _, x := range tox.Builtin().States() {
		t.Add(document.TextCell(x.Name), document.IntCell(x.Rows), document.IntCell(x.Rows-x.Unverified),
			document.IntCell(x.Unverified), document.TextCell("toxicology: each row names its own"),
			document.TextCell(x.SHA256[:16]+"…"))
	}
	t.Note(fmt.Sprintf("Figures of program version %s. A row counts as read only when its figures were read in the source named beside it.", assess.FiguresVersion))
	s.Add(t)
	return s.Add(documentsTable(v))
}

// documentsTable lists the supplier papers behind the sheets in use.
func documentsTable(v *show.View) *document.Table {
	t := &document.Table{ID: "sources-papers", Title: "Papers behind the raw materials", SheetName: "Papers",
		Empty: "No paper is entered for any raw material.",
		Columns: []document.Column{{Head: "Raw material", Fixed: true}, {Head: "Supplier"}, {Head: "Paper"},
			{Head: "Dated"}, {Head: "File", Weight: 1.4}, {Head: "SHA-256"}}}
	for _, s := range v.A.UsedSheets() {
		for _, d := range s.Documents {
			file, sum := document.TextCell(d.File), document.Cell{}
			switch hash, ok := v.A.Workshop.EvidenceHash(d.File); {
			case d.File == "":
				file, sum = document.MissingCell("no file named"), document.BlankCell()
			case !ok:
				sum = document.MissingCell("file not found")
			default:
				sum = document.TextCell(hash[:16] + "…")
			}
			t.Add(document.TextCell(s.ID), document.TextCell(s.Supplier.Name),
				document.TextCell(workshop.DocumentName(d.Kind)), document.DateCell(d.Dated), file, sum)
		}
	}
	return t
}
