package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/store"
	"gallipot/dossier/transcribe"
	"gallipot/dossier/transcribe/filing"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// printPaper prints what a paper is, what it says beside its sheet, what is asked
// and what was not understood.
func (c *command) printPaper(name string, f *filing.Filing) {
	out, d := c.ui.out, f.Reading.Document
	fmt.Fprintf(out, "%s: %s\n", shown(filepath.Base(name)), d.Kind)
	var rows [][]string
	for _, fact := range []struct {
		head string
		f    *transcribe.Fact
	}{{"material", d.TradeName}, {"supplier", d.Supplier}, {"code", d.Code}, {"batch", d.Batch}, {"dated", d.Issued}, {"version", d.Version}} {
		if fact.f != nil {
			rows = append(rows, []string{fact.head, shown(fact.f.Value), shownPlace(fact.f.Place)})
		}
	}
	columns(out, rows)
	switch {
	case f.Filed != "":
		fmt.Fprintf(out, "this paper is filed already: %s\n", f.Filed)
	case len(f.Several) > 0:
		fmt.Fprintf(out, "it may belong to %s: name the sheet with --sheet\n", strings.Join(f.Several, " or "))
	case f.Sheet == "":
		fmt.Fprintln(out, "no sheet is known for it: name one with --sheet")
	case f.New:
		fmt.Fprintf(out, "sheet: %s (new)\n", f.Sheet)
	default:
		fmt.Fprintf(out, "sheet: %s (found by its %s)\n", f.Sheet, f.By)
	}
	if f.New {
		c.printReading(f.Reading)
	}
	c.printValues(f)
	for _, part := range []struct {
		head string
		list []transcribe.Ask
	}{{"ask", f.Reading.Asks}, {"note", f.Reading.Warnings}} {
		for _, a := range part.list {
			text := shown(a.Text)
			if p := shownPlace(a.Place); p != "" {
				text += " (" + p + ")"
			}
			fmt.Fprintf(out, "%s: %s\n", part.head, text)
		}
	}
	for _, p := range f.Reading.NotUnderstood {
		fmt.Fprintf(out, "not understood (%s): %s\n", shownPlace(p.Place), shown(p.Text))
	}
}

// printReading prints what a paper says where there is no sheet to compare it with.
func (c *command) printReading(r *transcribe.Reading) {
	var rows [][]string
	for _, k := range r.Composition {
		rows = append(rows, []string{"composition", shown(k.Name), shown(k.Printed), shownPlace(k.Place)})
	}
	if r.Allergens != nil {
		for _, a := range r.Allergens.Rows {
			rows = append(rows, []string{"allergen", shown(a.Name), shown(a.Printed), shownPlace(a.Place)})
		}
	}
	if r.IFRA != nil {
		for _, l := range r.IFRA.Rows {
			rows = append(rows, []string{"category " + l.Category, shown(l.Printed), "", shownPlace(l.Place)})
		}
	}
	for _, list := range [][]transcribe.Property{r.Impurities, r.Physical} {
		for _, p := range list {
			name := p.Substance
			if name == "" {
				name = p.Property
			}
			rows = append(rows, []string{p.Kind, shown(name), shown(strings.TrimSpace(p.Printed + " " + unitBeside(p))), shownPlace(p.Place)})
		}
	}
	columns(c.ui.out, rows)
}

// unitBeside is the unit of a property where its printed figure has none.
func unitBeside(p transcribe.Property) string {
	if strings.Contains(p.Printed, p.Unit) {
		return ""
	}
	return p.Unit
}

func (c *command) printValues(f *filing.Filing) {
	var rows [][]string
	for _, v := range sortedFields(f.Values) {
		if v.State == filing.Same {
			continue
		}
		have := v.Sheet
		if have == "" {
			have = "-"
		}
		rows = append(rows, []string{string(v.State), v.Field, "paper: " + shown(v.Paper), "sheet: " + shown(have), shownPlace(v.Place)})
	}
	columns(c.ui.out, rows)
	same := 0
	for _, v := range f.Values {
		if v.State == filing.Same {
			same++
		}
	}
	if same > 0 {
		fmt.Fprintf(c.ui.out, "  %d more agree with the sheet\n", same)
	}
}

func shownPlace(p transcribe.Place) string {
	switch {
	case p.Cell != "":
		return shown(p.Cell)
	case p.Page > 0 && p.Line > 0:
		return fmt.Sprintf("page %d, line %d", p.Page, p.Line)
	case p.Page > 0:
		return fmt.Sprintf("page %d", p.Page)
	}
	return p.Where
}

// effects says what changes in the findings of the products that use the sheet when
// the paper is taken over.
func (c *command) effects(w *workshop.Workshop, f *filing.Filing, files []filing.File) error {
	opt, err := c.options()
	if err != nil {
		return err
	}
	var using []*workshop.Product
	for _, p := range w.Products {
		if usesSheet(w, p, f.Sheet, opt) {
			using = append(using, p)
		}
	}
	after, _ := workshop.LoadFS(c.workshop, filing.Overlay{Base: os.DirFS(c.workshop), Files: files}, opt.Law)
	if after == nil || len(using) == 0 {
		return nil
	}
	for _, p := range using {
		i := slices.IndexFunc(after.Products, func(q *workshop.Product) bool { return q.ID == p.ID })
		if i < 0 {
			fmt.Fprintf(c.ui.out, "in %s: it could not be computed with this paper\n", p.ID)
			continue
		}
		gone, come := findingsDiffer(dossier.Assess(w, p, opt).Findings, dossier.Assess(after, after.Products[i], opt).Findings)
		for _, t := range gone {
			fmt.Fprintf(c.ui.out, "in %s no more: %s\n", p.ID, t)
		}
		for _, t := range come {
			fmt.Fprintf(c.ui.out, "in %s then: %s\n", p.ID, t)
		}
		if len(gone)+len(come) == 0 {
			fmt.Fprintf(c.ui.out, "in %s no finding changes\n", p.ID)
		}
	}
	return nil
}

func usesSheet(w *workshop.Workshop, p *workshop.Product, id string, opt assess.Options) bool {
	for _, s := range dossier.Assess(w, p, opt).UsedSheets() {
		if s.ID == id {
			return true
		}
	}
	return false
}

// findingsDiffer names the findings of one list that the other does not have.
func findingsDiffer(before, after []finding.Finding) (gone, come []string) {
	text := func(f finding.Finding) string {
		said := words.Say(&f, words.Terminal)
		return fmt.Sprintf("%s[%s] %s", f.Severity, f.Code, said.Line())
	}
	has := func(fs []finding.Finding, t string) bool {
		return slices.ContainsFunc(fs, func(f finding.Finding) bool { return text(f) == t })
	}
	for _, f := range before {
		if t := text(f); !has(after, t) {
			gone = append(gone, t)
		}
	}
	for _, f := range after {
		if t := text(f); !has(before, t) {
			come = append(come, t)
		}
	}
	return gone, come
}

// writePaper writes the sheet and the paper, both or neither.
func (c *command) writePaper(files []filing.File) error {
	var out []store.NewFile
	for _, f := range files {
		out = append(out, store.NewFile{Path: filepath.Join(c.workshop, filepath.FromSlash(f.Name)), Data: f.Data})
	}
	return store.WriteFiles(out...)
}
