package document

import (
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// CellsOf puts the values of key figures into a table, for their legend.
func CellsOf(k *KeyFigures) *Table {
	t := &Table{}
	for _, it := range k.Items {
		t.Add(it.Value)
	}
	return t
}

var CalloutSigns = [...]string{"", "▲", "■"}

// FindingRest returns what a stop is against, place, code and whom it concerns as
// one line.
func FindingRest(f *words.Said) string {
	ask, where := "", ""
	if f.Ask != "" {
		ask = "ask: " + f.Ask
	}
	if len(f.Variants) > 0 {
		where = "variants: " + words.Joined(", ", f.Variants...)
		if f.Worst != "" {
			where += " (figures of " + f.Worst + ")"
		}
	}
	return words.Joined("  ·  ", f.Against, f.Pos.String(), ask, where, words.Joined(", ", f.Markets...), f.Code)
}

// EmptyFindings is what a list without findings says.
func EmptyFindings(f *FindingList) string {
	if f.Empty != "" {
		return f.Empty
	}
	return "nothing to report"
}

// Document is what every printer prints: the pack, a label sheet, a letter, a
// weighing sheet. It is finished data. A printer lays it out, rounds by the rule
// named in each cell, and computes nothing else, so that the PDF, the
// spreadsheet, the terminal text and the web page cannot disagree.
//
// Build one section after the other, call [Document.Check] in tests, and hand it
// to one of the printers: the packages pdf, sheet, page and plain below this one.
type Document struct {
	Title    string // what it is: "Information for the safety assessment"
	Subtitle string // what it is about: the product's name
	Language string // BCP 47, such as "en-GB", which is also the default
	Author   string // the maker
	Subject  string
	Keywords []string
	Date     exact.Date // the only date a printer knows; also the date inside the files

	// Furniture, on every page.
	Product     string // "Heath wash"
	Revision    string // "revision 2"
	Fingerprint string
	Caution     string // "prepared for assessment; not a safety assessment"

	// ForAssessor says that an assessor reads it: no command is named in it.
	ForAssessor bool
	// Dense sets pages in the small type of what is leafed through and cited.
	Dense bool
	// AtHand, of a dense document, leaves spaces to write in as wide as a figure: it is
	// filled in while working.
	AtHand bool

	Marks      []Mark // legend of the marks that cells carry, in the order of the legend
	NoContents bool   // leave out the page of contents: letters, weighing sheets
	Cover      *Cover // nil: no cover page
	// of a letter: sender, date and receiver, line by line, "" for a gap; printed in place of the title
	Letterhead []string
	Sections   []*Section

	// Workbook holds further sections for the spreadsheet alone: sheets that
	// recalculate. Pages do not show them.
	Workbook []*Section
	// ChangedAt is the anchor of the cell that counts what was changed in the sheets that
	// recalculate. On a sheet that holds no formula each figure and verdict of the pack then
	// stands only as long as nothing was changed, and says "changed" after that. "": no
	// figure depends on anything.
	ChangedAt string
	// Records are the sheets that no input changes: papers, sources, the answers of an assessor.
	Records []string
	// Following are the sheets whose formulas follow a change; their other figures give way.
	Following []string
}

// Reader is whom the findings of the document are worded for on pages and in a
// workbook.
func (d *Document) Reader() words.Reader {
	if d.ForAssessor {
		return words.Assessor
	}
	return words.Files
}

// Cover is the first page. Title and subtitle come from the document.
type Cover struct {
	Kicker string // a short line above the title: the maker's name
	Facts  []Fact
	Blocks []Block // what a reader should see first: a caution, key figures, readiness
}

// Fact is a label with its text: one line of a cover or of a page head.
type Fact struct {
	Label string
	Value Cell
}

// Section is a headed part of a document.
//
// Number is printed before the title as it is. [Document.NumberSections] fills
// the empty ones; parts whose numbers the law fixes are numbered by the builder.
type Section struct {
	ID          string // anchor; unique in the document
	Number      string
	Title       string
	Intro       string // one short paragraph in the section's own voice
	Blocks      []Block
	Subsections []*Section
	NewPage     bool // start on a fresh page
	Quiet       bool // a part of the outline whose heading is not printed in a dense document
}

// IsEmpty says whether there is nothing under the heading.
func (s *Section) IsEmpty() bool {
	return s.Intro == "" && len(s.Blocks) == 0 && len(s.Subsections) == 0
}

// EmptySection is printed there, so that a reader does not look for a lost page.
var EmptySection = Rich(Span{Text: "Nothing is entered here.", Emph: true})

// Add appends blocks to the section and returns it.
func (s *Section) Add(blocks ...Block) *Section {
	s.Blocks = append(s.Blocks, blocks...)
	return s
}

// AddSection appends a subsection and returns the subsection.
func (s *Section) AddSection(id, title string) *Section {
	sub := &Section{ID: id, Title: title}
	s.Subsections = append(s.Subsections, sub)
	return sub
}

// AddSection appends a section to the document and returns the section.
func (d *Document) AddSection(id, title string) *Section {
	s := &Section{ID: id, Title: title}
	d.Sections = append(d.Sections, s)
	return s
}

// Mark explains one sign that cells may carry, such as a dagger on every figure
// that rests on a table row not checked against its source.
type Mark struct {
	ID     string // what cells refer to: "unverified"
	Symbol string // one or two characters: "†"
	Text   string // the legend: "not yet checked against its source"
}

// Block is one piece of a section. The kinds are [*Paragraph], [*Bullets],
// [*KeyFigures], [*Table], [*FindingList], [*Callout], [*Fields], [*Picture], [*Drawing], [PageBreak] and the
// charts [*HBarLog], [*StackedBar], [*ReadinessBars] and [*LineBand].
type Block interface{ block() }

// Span is a run of text inside a paragraph.
type Span struct {
	Text   string
	Link   string // anchor in this document, or ""
	Strong bool
	Emph   bool
	Mono   bool // codes, file names, places
}

// Paragraph is running text.
type Paragraph struct {
	Spans []Span
	Small bool // notes and small print
}

// Para makes a paragraph of one piece of plain text.
func Para(text string) *Paragraph { return &Paragraph{Spans: []Span{{Text: text}}} }

// Rich makes a paragraph of several spans.
func Rich(spans ...Span) *Paragraph { return &Paragraph{Spans: spans} }

// Plain returns the paragraph's text without its styles.
func (p *Paragraph) Plain() string {
	s := ""
	for _, sp := range p.Spans {
		s += sp.Text
	}
	return s
}

// Bullets is a list of short paragraphs.
type Bullets struct {
	Items   []*Paragraph
	Ordered bool // 1. 2. 3. in place of bullets
}

// List makes a bullet list of plain texts.
func List(items ...string) *Bullets {
	b := &Bullets{}
	for _, s := range items {
		b.Items = append(b.Items, Para(s))
	}
	return b
}

// KeyFigures is a row of a few figures that a reader looks for first.
type KeyFigures struct {
	Items []KeyFigure
}

// KeyFigure is one figure with its label.
type KeyFigure struct {
	Label string
	Value Cell   // its Unit is printed behind it
	Note  string // a few words below, or ""
}

// FindingList prints findings in the order given, each with severity, place,
// message, sum, reason and fix.
type FindingList struct {
	ID       string
	Title    string
	Findings []finding.Finding
	Empty    string // what to say when there are none
	// Excerpt returns the line of a place and one with carets below it, both empty
	// where there is none; nil: places alone. Web pages show it.
	Excerpt func(exact.Pos) (line, caret string)
}

// CalloutKind says how loud a box is.
type CalloutKind int

// The kinds of box.
const (
	CalloutNote    CalloutKind = iota // something to know
	CalloutCaution                    // what this document is not
	CalloutStop                       // something that forbids going on
)

// Callout is a box that stands out of the text.
type Callout struct {
	Kind  CalloutKind
	Title string
	Body  []*Paragraph
	Keep  bool // stays on the page with what follows
}

// Caution makes a caution box of one paragraph.
func Caution(title, text string) *Callout {
	return &Callout{Kind: CalloutCaution, Title: title, Body: []*Paragraph{Para(text)}}
}

// Fields are labelled empty lines to be filled in by hand.
type Fields struct {
	Items []Field
	Wide  bool // labels are sentences: they get more than half of the page
	// Together says that the items belong to one answer and stand on one page.
	Together bool
}

// Field is one labelled space to write in.
type Field struct {
	Code    string // number or code before the label: "Q1", "B1a"
	Label   string
	Hint    string   // small print below the label
	Options []string // boxes to tick, before the lines
	Lines   int      // ruled lines; 0 with no options means one
	Value   string   // what is known already, printed on the first line
}

// Picture is a photograph, numbered among the figures.
type Picture struct {
	ID            string
	Title         string
	JPEG          []byte  // nil: it cannot be shown, and Missing says why
	Width, Height int     // dots
	MostMM        float64 // mm of height on a page, at most
	Missing       string
}

// PageBreak asks a paged printer to go on with a fresh page. Others ignore it.
type PageBreak struct{}

func (*Paragraph) block() {}

func (*Bullets) block() {}

func (*KeyFigures) block() {}

func (*Table) block() {}

func (*FindingList) block() {}

func (*Callout) block() {}

func (*Fields) block() {}

func (*Picture) block() {}

func (PageBreak) block() {}
