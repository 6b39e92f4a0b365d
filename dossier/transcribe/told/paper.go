package told

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"gallipot/dossier/transcribe/filing"
	"gallipot/dossier/transcribe/phrases"
	"gallipot/dossier/transcribe/reading"
)

// Printer prints on a terminal.
type Printer struct {
	Out   io.Writer
	Shown func(string) string // a text of a file as a terminal may show it
}

// Paper prints what a paper is, what it says beside its sheet, what is asked
// and what was not understood.
func (p Printer) Paper(f *filing.Filing) {
	out, d := p.Out, f.Reading.Document
	fmt.Fprintf(out, "%s: %s\n", p.Shown(f.Reading.File), d.Kind)
	var rows [][]string
	for _, fact := range []struct {
		head string
		f    *reading.Fact
	}{{"material", d.TradeName}, {"supplier", d.Supplier}, {"code", d.Code}, {"batch", d.Batch},
		{"dated", d.Issued}, {"version", d.Version}} {
		if fact.f != nil {
			rows = append(rows, []string{fact.head, p.Shown(fact.f.Value), p.place(fact.f.Place)})
		}
	}
	if cert := f.Reading.IFRA; cert != nil && cert.Amendment != nil {
		rows = append(rows, []string{"amendment", strconv.Itoa(*cert.Amendment), p.place(cert.From)})
	}
	columns(p.Out, rows)
	if f.Filed != "" {
		fmt.Fprintln(out, phrases.Told().Say("filed-already", "file", f.Filed))
	}
	switch {
	case f.Filed != "" && !f.New:
	case len(f.Several) > 0:
		fmt.Fprintln(out, phrases.Told().Say("may-belong", "sheets", strings.Join(f.Several, " or ")))
	case f.Sheet == "":
		fmt.Fprintln(out, phrases.Told().Say("no-sheet"))
	case f.New:
		fmt.Fprintln(out, phrases.Told().Say("sheet-new", "sheet", f.Sheet))
	default:
		fmt.Fprintln(out, phrases.Told().Say("sheet-found", "sheet", f.Sheet, "by", f.By))
	}
	if f.New {
		p.reading(f.Reading)
	}
	p.values(f)
	for _, part := range []struct {
		head string
		list []reading.Ask
	}{{"ask", f.Reading.Asks}, {"note", f.Reading.Warnings}} {
		for _, a := range part.list {
			text := p.Shown(a.Text)
			if at := p.place(a.Place); at != "" {
				text += " (" + at + ")"
			}
			fmt.Fprintf(out, "%s: %s\n", part.head, text)
		}
	}
	for _, x := range f.Reading.NotUnderstood {
		fmt.Fprintln(out, phrases.Told().Say("passed-over", "place", p.place(x.Place), "text", p.Shown(x.Text)))
	}
}

// TakenToo heads what changes when values that differ are taken too.
func (p Printer) TakenToo(fields []string) {
	fmt.Fprintln(p.Out, phrases.Told().Say("effects-all", "fields", strings.Join(fields, ", ")))
}

// Alone heads what changes without them.
func (p Printer) Alone() { fmt.Fprintln(p.Out, phrases.Told().Say("effects-some")) }

// reading prints what a paper says where there is no sheet to compare it with.
func (p Printer) reading(r *reading.Reading) {
	var rows [][]string
	for _, k := range r.Composition {
		rows = append(rows, []string{"composition", p.Shown(k.Name), p.Shown(k.Printed), p.place(k.Place)})
	}
	if r.Allergens != nil {
		for _, a := range r.Allergens.Rows {
			rows = append(rows, []string{"allergen", p.Shown(a.Name), p.Shown(a.Printed), p.place(a.Place)})
		}
	}
	if r.IFRA != nil {
		for _, l := range r.IFRA.Rows {
			rows = append(rows, []string{"category " + l.Category, p.Shown(l.Printed), "", p.place(l.Place)})
		}
	}
	for _, list := range [][]reading.Property{r.Impurities, r.Physical} {
		for _, x := range list {
			name := x.Substance
			if name == "" {
				name = x.Property
			}
			rows = append(rows, []string{x.Kind, p.Shown(name),
				p.Shown(strings.TrimSpace(x.Printed + " " + unitBeside(x))), p.place(x.Place)})
		}
	}
	columns(p.Out, rows)
}

// unitBeside is the unit of a property where its printed figure has none.
func unitBeside(p reading.Property) string {
	if strings.Contains(p.Printed, p.Unit) {
		return ""
	}
	return p.Unit
}

// values prints what the paper says beside what the sheet says.
func (p Printer) values(f *filing.Filing) {
	var rows [][]string
	for _, v := range sortedFields(f.Values) {
		if v.State == filing.Same {
			continue
		}
		have := v.Sheet
		if have == "" {
			have = "-"
		}
		rows = append(rows, []string{string(v.State), v.Field, "paper: " + p.Shown(v.Paper), "sheet: " +
			p.Shown(have), p.place(v.Place)})
	}
	columns(p.Out, rows)
	same := 0
	for _, v := range f.Values {
		if v.State == filing.Same {
			same++
		}
	}
	if same > 0 {
		fmt.Fprintln(p.Out, "  "+phrases.Told().Say("agree", "count", strconv.Itoa(same)))
	}
}

// place says where a value stands.
func (p Printer) place(at reading.Place) string {
	switch {
	case at.Cell != "":
		return p.Shown(at.Cell)
	case at.Page > 0 && at.Line > 0:
		return fmt.Sprintf("page %d, line %d", at.Page, at.Line)
	case at.Page > 0:
		return fmt.Sprintf("page %d", at.Page)
	}
	return at.Where
}

// columns prints rows of texts under each other. The last text of a row may be as long
// as it likes.
func columns(to io.Writer, rows [][]string) {
	wide := map[int]int{}
	for _, r := range rows {
		for i, t := range r[:max(len(r)-1, 0)] {
			wide[i] = max(wide[i], utf8.RuneCountInString(t))
		}
	}
	for _, r := range rows {
		var b strings.Builder
		for i, t := range r {
			b.WriteString(t)
			if i+1 < len(r) {
				b.WriteString(strings.Repeat(" ", wide[i]-utf8.RuneCountInString(t)+2))
			}
		}
		fmt.Fprintln(to, "  "+strings.TrimRight(b.String(), " "))
	}
}

// sortedFields puts what differs first.
func sortedFields(vs []filing.Value) []filing.Value {
	out := slices.Clone(vs)
	rank := map[filing.State]int{filing.Differs: 0, filing.Open: 1, filing.Fills: 2, filing.Same: 3}
	slices.SortStableFunc(out, func(a, b filing.Value) int { return rank[a.State] - rank[b.State] })
	return out
}
