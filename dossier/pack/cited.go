package pack

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"gallipot/calc/law/tox"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/pattern"
)

// cited numbers what a pack refers to: documents on file [E1] … and published sources
// [1] …, listed in D.3.
type cited struct {
	papers   []citedPaper
	paper    map[string]int // by file, from 1
	number   map[string]int // by source, from 1
	inOrder  []string
	material map[string]string // id to trade name
}

// citedPaper is one file with what it is and whom it is about.
type citedPaper struct {
	file  string
	kinds []string
	about []string
	dated exact.Date
}

// newCited numbers the documents of the product and its raw materials, by file name.
func newCited(v *show.View) *cited {
	c := &cited{paper: map[string]int{}, number: map[string]int{}, material: map[string]string{}}
	at := map[string]*citedPaper{}
	add := func(file, kind, about string, dated exact.Date) {
		if file == "" {
			return
		}
		p := at[file]
		if p == nil {
			p = &citedPaper{file: file, dated: dated}
			at[file] = p
		}
		p.kinds, p.about = words.AddOnce(p.kinds, kind), words.AddOnce(p.about, about)
		if p.dated.IsZero() {
			p.dated = dated
		}
	}
	for _, m := range v.A.UsedSheets() {
		c.material[m.ID] = cmp.Or(m.Name, m.ID)
		for _, d := range m.Documents {
			add(d.File, workshop.DocumentName(d.Kind), cmp.Or(m.Name, m.ID), d.Dated)
		}
	}
	p := v.A.Product
	for _, d := range p.Documents {
		add(d.File, cmp.Or(workshop.ProductDocumentKinds[d.Kind], d.Kind), "the product", d.Dated)
	}
	for _, t := range p.Stability {
		add(t.File, "stability report", "the product", exact.Date(0))
	}
	for _, m := range p.Microbiology {
		add(m.File, "report of "+microNames(m), "the product", m.Dated)
	}
	if low := p.Evidence.LowRisk; low != nil {
		add(low.File, "case for low microbial risk", "the product", exact.Date(0))
	}
	for _, a := range p.Assessments {
		add(a.File, "signed assessment", "the product", a.Dated)
		add(a.Answer.File, "assessor's answer", "the product", a.Dated)
	}
	for _, x := range at {
		c.papers = append(c.papers, *x)
	}
	slices.SortFunc(c.papers, func(a, b citedPaper) int { return strings.Compare(a.file, b.file) })
	for i, x := range c.papers {
		c.paper[x.file] = i + 1
	}
	return c
}

// source numbers a published source and returns its mark.
func (c *cited) source(text string) string {
	text = withoutRows(text)
	if text == "" {
		return ""
	}
	if c.number[text] == 0 {
		c.inOrder = append(c.inOrder, text)
		c.number[text] = len(c.inOrder)
	}
	return fmt.Sprintf("[%d]", c.number[text])
}

// sources is the annex of documents and sources.
func (c *cited) sources(v *show.View) *document.Section {
	s := &document.Section{ID: "sources", Title: "Documents and sources",
		Intro: "Documents on file in the order of their names. Full hashes and the state of every table stand in the spreadsheet, sheet Sources."}
	return s.Add(c.paperTable(v), c.published(), lawInTables(v), toxTables())
}

// published lists the published sources by their numbers.
func (c *cited) published() *document.Table {
	t := &document.Table{ID: "sources-published", Title: "Published sources",
		Empty: "No published value is used.", Columns: []document.Column{{Head: "No."},
			{Head: "Source", Weight: 3}}}
	for i, text := range c.inOrder {
		t.Add(document.TextCell(fmt.Sprintf("[%d]", i+1)), document.TextCell(text))
	}
	return t
}

func (c *cited) paperTable(v *show.View) *document.Table {
	t := &document.Table{ID: "papers", Title: "Documents on file",
		Empty: "No document is entered for the product or its raw materials.",
		Columns: []document.Column{{Head: "No."}, {Head: "Document"}, {Head: "About", Weight: 1.5},
			{Head: "Dated", Kind: document.KindText}}}
	for i := range c.papers {
		p := c.papers[i]
		dated := document.DateCell(p.dated)
		if _, there := v.A.Workshop.EvidenceHash(p.file); !there {
			dated = document.VerdictCell(document.VerdictFail, "missing")
		}
		about := p.about
		if len(about) > 3 {
			about = []string{words.Count(len(about), "material", "materials")}
		}
		t.Add(document.TextCell(fmt.Sprintf("[E%d]", i+1)), document.TextCell(strings.Join(p.kinds, ", ")),
			document.TextCell(strings.Join(about, "; ")), dated)
	}
	return t
}

// toxTables says how much of the tables behind the profiles was read in its source.
func toxTables() *document.Table {
	t := &document.Table{ID: "tox-tables", Title: "State of the tables of toxicology", Columns: []document.Column{
		{Head: "Table", Fixed: true}, {Head: "Rows", Kind: document.KindNumber},
		{Head: "Read in the source", Kind: document.KindNumber}, {Head: "† Unverified", Kind: document.KindNumber}}}
	for _, x := range tox.Builtin().States() {
		name, _, _ := strings.Cut(x.Name, ".")
		t.Add(document.TextCell(strings.ReplaceAll(name, "-", " ")), document.IntCell(x.Rows),
			document.IntCell(x.Rows-x.Unverified), document.IntCell(x.Unverified))
	}
	return t
}

// lawInTables says up to which day the law is in the tables, by market.
func lawInTables(v *show.View) *document.Table {
	t := &document.Table{ID: "law-read", Title: "State of the law", Columns: []document.Column{{Head: "Market"},
		{Head: "Read to", Kind: document.KindText}, {Head: "Not wholly read or not in the tables", Weight: 3}}}
	for _, m := range v.A.Markets {
		state := v.A.Options.Law.StateOf(m)
		t.Add(document.TextCell(string(m)), document.DateCell(state.ConsolidatedTo),
			document.TextCell(words.OrWord(strings.Join(append(slices.Clone(state.NotWhollyRead), state.NotIn...),
				"; "), "none known")))
	}
	return t.Note("Figures of program version " + assess.FiguresVersion +
		". The law in force in the place of sale prevails over any table.")
}

var (
	rowsRE  = pattern.New(` ?\([a-z0-9-]+\.csv([^()]|\([^()]*\))*\)`)
	placeRE = pattern.New(`\b(ingredients|products|batches)/[^\s:,;]+(:\d+)*`)
	idRE    = pattern.New(` \([a-z0-9][a-z0-9-]*\)|\b[a-z0-9]+(-[a-z0-9]+)+\b`)
	tableRE = pattern.New(`(row [\w-]+ of )?\b[a-z-]+\.csv(,? rows? [\w-]+| [A-Z]\d+)?`)
	keyRE   = pattern.New(`: [a-z]+(_[a-z]+)* of the product file|: [a-z]+ under [a-z ]+ in workshop\.yaml`)
	fileRE  = pattern.New(`evidence/[^\s,;()]*[^\s,;().:]`)
)

// besideSource leaves a table of the program out behind the source that it was read in: its
// row stands in the spreadsheet.
var besideSource = strings.NewReplacer("; the program's table", "", ", the program's table)", ")",
	"the program's table; ", "",
	"roposed: the program's table", "roposed: the figures of A.6")

// withoutRows leaves the rows of the program's own tables out of a sentence.
func withoutRows(s string) string {
	if strings.Contains(s, ".csv") {
		s = rowsRE.ReplaceAllString(s, "")
	}
	return strings.TrimSpace(s)
}

// worded puts a sentence into what an assessor can look up: documents by their
// number, no files and no rows of tables.
func (c *cited) worded(s string) string {
	s = c.named(s)
	if !strings.ContainsAny(s, "./_") {
		return s
	}
	tables := strings.Contains(s, ".csv")
	if tables {
		s = rowsRE.ReplaceAllString(s, "")
	}
	if strings.Contains(s, "evidence/") {
		s = fileRE.ReplaceAllStringFunc(s, func(file string) string {
			if n := c.paper[file]; n > 0 {
				return fmt.Sprintf("[E%d]", n)
			}
			return file
		})
	}
	if s = keyRE.ReplaceAllString(s, ""); tables {
		s = tableRE.ReplaceAllString(s, "the program's table")
	}
	s = besideSource.Replace(strings.ReplaceAll(s, "workshop.yaml", "the workshop's file"))
	if rest, ok := strings.CutPrefix(s, "the program's table: "); ok {
		s = words.UpperFirst(rest)
	}
	if !strings.Contains(s, "/") {
		return s
	}
	return placeRE.ReplaceAllStringFunc(s, func(string) string { return "the file" })
}

// listRE is a list of the ids of raw materials in a sentence, behind "for".
var listRE = pattern.New(`\bfor [a-z0-9][a-z0-9-]*(?:(?:, | and )[a-z0-9][a-z0-9-]*)*`)

// listed puts trade names in place of a list of ids: a single word is taken for an id where
// all words of its list are ids.
func (c *cited) listed(s string) string {
	if !strings.Contains(s, "for ") {
		return s
	}
	return listRE.ReplaceAllStringFunc(s, func(text string) string {
		ids := strings.Split(strings.ReplaceAll(strings.TrimPrefix(text, "for "), " and ", ", "), ", ")
		for i, id := range ids {
			if c.material[id] == "" {
				return text
			}
			ids[i] = c.material[id]
		}
		return "for " + words.JoinNames(ids)
	})
}

// named puts trade names in place of the ids of raw materials.
func (c *cited) named(s string) string {
	parts := strings.Split(s, ", ")
	all := true
	for _, p := range parts {
		all = all && c.material[p] != ""
	}
	if all {
		for i, p := range parts {
			parts[i] = c.material[p]
		}
		return strings.Join(parts, ", ")
	}
	if s = c.listed(s); !strings.ContainsAny(s, "-(") {
		return s
	}
	return idRE.ReplaceAllStringFunc(s, func(word string) string {
		id := strings.TrimSuffix(strings.TrimPrefix(word, " ("), ")")
		switch name := c.material[id]; {
		case name == "":
			return word
		case word != id: // behind its name
			return ""
		case strings.Contains(id, "-"):
			return name
		}
		return word
	})
}

// cite words all that stands on the pages.
func (c *cited) cite(d *document.Document) {
	paragraph := func(p *document.Paragraph) {
		for i := range p.Spans {
			p.Spans[i].Text = c.worded(p.Spans[i].Text)
		}
	}
	d.Walk(func(s *document.Section, _ int) {
		s.Intro = c.worded(s.Intro)
		for _, b := range document.Flat(s.Blocks) {
			switch b := b.(type) {
			case *document.Paragraph:
				paragraph(b)
			case *document.Bullets:
				for _, p := range b.Items {
					paragraph(p)
				}
			case *document.Callout:
				for _, p := range b.Body {
					paragraph(p)
				}
			case *document.Fields:
				for i := range b.Items {
					b.Items[i].Label, b.Items[i].Hint = c.worded(b.Items[i].Label), c.worded(b.Items[i].Hint)
				}
			case *document.Table:
				c.citeTable(b)
			}
		}
	})
}

func (c *cited) citeTable(t *document.Table) {
	for i := range t.Notes {
		t.Notes[i] = c.worded(t.Notes[i])
	}
	for _, r := range t.Rows {
		for i := range r.Cells {
			r.Cells[i].Text, r.Cells[i].Source = c.worded(r.Cells[i].Text), withoutRows(r.Cells[i].Source)
		}
	}
}

// Paper is a document that a pack cites by its number.
type Paper struct {
	Number int // of [E1] …
	File   string
	What   string // kind, about whom, and its date
}

// Papers are the documents that a pack cites, in the order of their numbers.
func Papers(a *assess.Assessment) []Paper {
	c := newCited(show.Show(a, ""))
	out := make([]Paper, len(c.papers))
	for i, p := range c.papers {
		dated := ""
		if !p.dated.IsZero() {
			dated = p.dated.String()
		}
		out[i] = Paper{i + 1, p.file, words.Joined("; ", strings.Join(p.kinds, ", "),
			strings.Join(p.about, ", "), dated)}
	}
	return out
}
