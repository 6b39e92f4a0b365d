package plain

import (
	"cmp"
	"fmt"
	"io"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
	"golang.org/x/text/width"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/words"
	"gallipot/ingredients/finding"
)

// textColumns is the width of the plain text, in columns of a terminal.
const textColumns = 100

// Write prints d as plain text for a terminal, at most 100 columns wide: no
// colours, no control characters, tables with their figures aligned, and in an
// order that makes sense when it is read aloud.
// Errors: a tree that [document.Document.Mistakes] refuses, and whatever w returns.
func Write(w io.Writer, d *document.Document) error {
	d = d.ForPages()
	if err := d.Mistakes(); err != nil {
		return err
	}
	t := &textWriter{d: d, tableNo: d.TableNumbers()}
	t.document()
	_, err := io.WriteString(w, t.b.String())
	return err
}

type textWriter struct {
	b       strings.Builder
	d       *document.Document
	tableNo map[*document.Table]int
}

// columnsOf returns how many columns of a terminal r takes.
func columnsOf(r rune) float64 {
	if unicode.In(r, unicode.Mn, unicode.Me) || words.ZeroWidth(r) {
		return 0
	}
	switch width.LookupRune(r).Kind() {
	case width.EastAsianWide, width.EastAsianFullwidth:
		return 2
	}
	return 1
}

func textMeasure(r rune, _ *layout.Run) float64 { return columnsOf(r) }

func textWidth(s string) int {
	n := 0.0
	for _, r := range s {
		n += columnsOf(r)
	}
	return int(n)
}

// textClean makes s fit for a terminal, which must obey nothing in a maker's file.
func textClean(s string) string { return norm.NFC.String(words.Printable(s)) }

// textWrap breaks s into lines.
func textWrap(s string, columns int) []string {
	var out []string
	for _, l := range layout.WrapRuns([]layout.Run{{Text: textClean(s)}}, float64(columns), textMeasure) {
		out = append(out, runsText(l))
	}
	return out
}

func runsText(runs []layout.Run) string {
	s := ""
	for _, r := range runs {
		s += r.Text
	}
	return s
}

// pad fills s with spaces to the given width: behind it, or before when right.
func pad(s string, columns int, right bool) string {
	lack := strings.Repeat(" ", max(columns-textWidth(s), 0))
	if right {
		return lack + s
	}
	return s + lack
}

// line writes one line without spaces at its end. The lines are broken by now,
// so that spaces which must not break can be plain ones.
func (t *textWriter) line(s string) {
	t.b.WriteString(strings.TrimRight(strings.ReplaceAll(s, "\u00a0", " "), " "))
	t.b.WriteByte('\n')
}

// para writes s wrapped, its first line led in by first and the others by rest.
func (t *textWriter) para(first, rest, s string) {
	for i, l := range textWrap(s, textColumns-textWidth(first)) {
		lead := rest
		if i == 0 {
			lead = first
		}
		t.line(lead + l)
	}
}

func (t *textWriter) gap() {
	if t.b.Len() > 0 && !strings.HasSuffix(t.b.String(), "\n\n") {
		t.b.WriteByte('\n')
	}
}

func (t *textWriter) document() {
	d := t.d
	if len(d.Letterhead) > 0 {
		for _, l := range d.Letterhead {
			if l == "" {
				t.gap()
				continue
			}
			t.para("", "", l)
		}
		d.Walk(func(s *document.Section, depth int) { t.section(s, depth) })
		return
	}
	longest := 0
	for _, s := range []string{d.Title, d.Subtitle} {
		if s != "" {
			t.para("", "", s)
			longest = max(longest, min(textWidth(textClean(s)), textColumns))
		}
	}
	t.line(strings.Repeat("=", longest))
	print := ""
	if d.Fingerprint != "" {
		print = "fingerprint " + d.Fingerprint
	}
	if s := words.Joined(" · ", d.Product, d.Revision, d.Date.String(), print); s != "" {
		t.para("", "", s)
	}
	if d.Caution != "" {
		t.para("", "", d.Caution)
	}
	if d.Cover != nil {
		t.gap()
		t.facts(d.Cover.Facts)
		for _, b := range d.Cover.Blocks {
			t.block(b)
		}
	}
	d.Walk(func(s *document.Section, depth int) { t.section(s, depth) })
}

func (t *textWriter) section(s *document.Section, depth int) {
	t.gap()
	head := textClean(words.Joined("  ", s.Number, s.Title))
	if depth == 1 {
		t.b.WriteByte('\n')
	}
	t.para("", "", head)
	t.line(strings.Repeat([]string{"=", "-", "."}[min(depth, 3)-1], min(textWidth(head), textColumns)))
	if s.Intro != "" {
		t.gap()
		t.para("", "", s.Intro)
	}
	for _, b := range document.Flat(s.Blocks) {
		t.block(b)
	}
	if s.IsEmpty() {
		t.gap()
		t.para("", "", document.EmptySection.Plain())
	}
}

func (t *textWriter) block(b document.Block) {
	switch b.(type) {
	case document.PageBreak, *document.ContentsStrip:
		return
	}
	t.gap()
	switch b := b.(type) {
	case *document.Paragraph:
		t.para("", "", b.Plain())
	case *document.Bullets:
		for i, p := range b.Items {
			lead := "- "
			if b.Ordered {
				lead = fmt.Sprintf("%d. ", i+1)
			}
			t.para(lead, strings.Repeat(" ", len(lead)), p.Plain())
		}
	case *document.KeyFigures:
		t.keyFigures(b)
	case *document.Callout:
		t.callout(b)
	case *document.Fields:
		t.fields(b)
	case *document.FindingList:
		t.findings(b)
	case *document.Table:
		t.table(b)
	case *document.Picture:
		t.para("", "", words.Joined(": ", b.Title, cmp.Or(b.Missing, "photograph, in the PDF")))
	case *document.Drawing:
		t.para("", "", b.Title+": drawn in the PDF")
	case document.Chart:
		_, title, caption := b.Head()
		if title != "" {
			t.para("", "", title)
		}
		t.table(chartAsTable(b))
		if caption != "" {
			t.para("", "", caption)
		}
	}
}

// chartAsTable returns the figures of a chart; those of a single stacked bar stand
// below each other.
func chartAsTable(b document.Chart) *document.Table {
	s, ok := b.(*document.StackedBar)
	if !ok || len(s.Rows) != 1 {
		return b.Figures()
	}
	t := &document.Table{Columns: []document.Column{{Head: s.Rows[0].Label}, {Head: "Share", Unit: s.Unit}}}
	for i, p := range s.Parts {
		t.Add(document.TextCell(p), s.Rows[0].Cells[i])
	}
	return t
}

// blankText is a line to write on.
const blankText = "____________"

// cellText returns a cell with its marks and the number of its source.
func (t *textWriter) cellText(c document.Cell, sources map[string]int) string {
	switch c.Kind {
	case document.CellTick:
		if c.Ticked {
			return "[x]"
		}
		return "[ ]"
	case document.CellWriteIn:
		return blankText
	}
	return textClean(c.String()) + t.signs(c, sources)
}

func (t *textWriter) signs(c document.Cell, sources map[string]int) string {
	s := textClean(t.d.Signs(c))
	if n := sources[c.Source]; n > 0 {
		s += fmt.Sprintf("[%d]", n)
	}
	if s == "" {
		return ""
	}
	return "\u00a0" + s
}

func (t *textWriter) facts(list []document.Fact) {
	label := 0
	for _, f := range list {
		label = max(label, min(textWidth(textClean(f.Label)), 30))
	}
	for _, f := range list {
		lead := pad(textClean(f.Label)+":", label+2, false)
		t.para(lead, strings.Repeat(" ", label+2), t.cellText(f.Value, nil))
	}
}

func (t *textWriter) keyFigures(k *document.KeyFigures) {
	var list []document.Fact
	for _, it := range k.Items {
		c := it.Value
		c.Kind, c.Text = document.CellText, t.cellText(c, nil)
		c.Marks = nil
		if it.Note != "" {
			c.Text += " (" + it.Note + ")"
		}
		list = append(list, document.Fact{Label: it.Label, Value: c})
	}
	t.facts(list)
	t.legend(document.CellsOf(k))
}

func (t *textWriter) callout(c *document.Callout) {
	if c.Title != "" {
		t.para("| ", "| ", words.Joined(" ", document.CalloutSigns[c.Kind], c.Title))
	}
	for _, p := range c.Body {
		t.para("| ", "| ", p.Plain())
	}
}

func (t *textWriter) fields(f *document.Fields) {
	for _, it := range f.Items {
		t.para("", "  ", words.Joined(" ", it.Label+":", it.Value))
		if it.Hint != "" {
			t.para("  ", "  ", it.Hint)
		}
		for _, o := range it.Options {
			t.para("  [ ] ", "      ", o)
		}
		lines := it.Lines
		if it.Value != "" {
			lines--
		} else if lines == 0 && len(it.Options) == 0 {
			lines = 1
		}
		for range lines {
			t.line("  " + strings.Repeat("_", 60))
		}
	}
}

func (t *textWriter) findings(f *document.FindingList) {
	if f.Title != "" {
		t.para("", "", f.Title)
	}
	if len(f.Findings) == 0 {
		t.para("", "", document.EmptyFindings(f))
	}
	for i := range f.Findings {
		if i > 0 {
			t.b.WriteByte('\n')
		}
		t.finding(&f.Findings[i])
	}
}

func (t *textWriter) finding(f *finding.Finding) {
	const indent = "  "
	said := words.Say(f, words.Terminal)
	t.para(document.SeveritySymbol(f.Severity)+" ", indent, words.Joined(": ", f.Severity.String(), said.Line()))
	for _, s := range said.Sum {
		t.para(indent+"sum: ", indent+"     ", words.Joined("  ", s.Text, s.Pos.String()))
	}
	if said.Why != "" {
		t.para(indent+"why: ", indent+"     ", said.Why)
	}
	if said.Fix != "" {
		t.para(indent+said.FixHead()+": ", indent+"     ", said.Fix)
	}
	if s := document.FindingRest(&said); s != "" {
		t.para(indent, indent, s)
	}
}
