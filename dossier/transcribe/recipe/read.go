package recipe

import (
	"slices"
	"strconv"
	"strings"

	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/transcribe/phrases"
	"gallipot/dossier/transcribe/recipe/checks"
	"gallipot/dossier/transcribe/recipe/columns"
	"gallipot/dossier/transcribe/recipe/raw"
	"gallipot/dossier/transcribe/recipe/running"
	"gallipot/dossier/transcribe/recipe/terms"
)

// Read reads the formulas of a document. It does not fail: a document without a
// formula is said to have none.
func Read(f *paper.File, words *lexicon.Lexicon) *formulation.Reading {
	var texts []string
	for _, p := range f.Pages {
		for _, l := range p.Lines {
			for _, c := range l.Cells {
				if !c.Number {
					texts = append(texts, c.Text)
				}
			}
		}
	}
	t := terms.New(words, texts)
	d := &doc{Terms: t, columns: &columns.Finder{Terms: t}, running: &running.Reader{Terms: t}, file: f,
		out:    &formulation.Reading{File: f.Name, Products: []formulation.Product{}},
		isMail: f.Form == paper.Mail}
	d.out.Kind = kindOf(f)
	d.out.Language = d.language(texts)
	all, whole := raw.Sheets(f)
	d.cautions()
	if !whole {
		d.out.Say("rows-left", "rows", strconv.Itoa(raw.MostRows))
	}
	d.readSheets(all)
	if len(d.out.Products) == 0 {
		d.out.Say("no-formula")
	}
	return d.out
}

// language guesses the language by the words of formulas and the commonest words
// that one language alone has; English where nothing decides.
func (d *doc) language(texts []string) string {
	counts := map[string]int{}
	vote := func(subject, folded string, weight int) {
		one := ""
		for _, e := range d.Words.All(subject, folded) {
			if one != "" && one != e.Language || e.Language == "*" {
				return
			}
			one = e.Language
		}
		if one != "" {
			counts[one] += weight
		}
	}
	for _, t := range texts {
		for _, part := range strings.FieldsFunc(t, func(c rune) bool { return c == '\n' || c == ':' }) {
			f := lexicon.Fold(terms.WithoutBraces(part))
			for _, subject := range []string{"formula head", "formula phase", "formula total", "formula qs"} {
				vote(subject, f, 3)
			}
			for _, w := range strings.Fields(f) {
				if len(w) > 1 {
					vote("common", w, 1)
					vote("formula word", w, 1)
				}
			}
		}
	}
	best := "en"
	for _, l := range []string{"de", "fr", "it", "es", "nl"} {
		if counts[l] > counts[best] && counts[l] > counts["en"]+1 {
			best = l
		}
	}
	return best
}

// kindOf is what kind of document a file is.
func kindOf(f *paper.File) string {
	switch f.Form {
	case paper.Workbook:
		return "spreadsheet"
	case paper.Table:
		return "csv"
	case paper.Web:
		return "web"
	case paper.Mail:
		return "mail"
	case paper.PDF:
		return "pdf"
	case paper.Document:
		for _, p := range f.Pages {
			if slices.ContainsFunc(p.Lines, func(l paper.Line) bool { return l.Grid > 0 }) {
				return "docx-table"
			}
		}
		return "docx"
	}
	if name := strings.ToLower(f.Name); strings.HasSuffix(name, ".md") ||
		strings.HasSuffix(name, ".markdown") {
		return "markdown"
	}
	return "text"
}

// cautions passes on what the reader of the file has to say.
func (d *doc) cautions() {
	seen := map[string]bool{}
	for _, c := range d.file.Cautions {
		code := ""
		switch c.Code {
		case "no-stored-value":
			code = "no-value"
		case "hidden-text", "deleted-text", "attachment", "cell-error":
			code = c.Code
		case "picture", "invisible-text", "no-character-map", "mostly-picture", "page-broken":
			d.out.Say("untrusted", "where", strconv.Itoa(c.Page), "text", c.Code)
		case "pages-left", "lines-left", "letters-left":
			what, fix := phrases.Files().Say(c.Code, "value", c.Text), phrases.Files()[c.Code].Fix
			d.out.Warnings = append(d.out.Warnings, what+": "+fix)
		}
		if code == "" || seen[code+c.Text] {
			continue
		}
		seen[code+c.Text] = true
		d.out.Say(code, "where", c.Place, "text", c.Text)
	}
}

// readSheets reads every sheet and decides which products are the document's.
func (d *doc) readSheets(all []raw.Sheet) {
	var found []*foundProduct
	var idle []*raw.Sheet
	for i := range all {
		s := &all[i]
		n := len(found)
		found = append(found, d.readSheet(s)...)
		if len(found) == n && len(s.Rows) > 0 {
			idle = append(idle, s)
		}
	}
	found = d.settle(found)
	for _, s := range idle {
		if len(found) > 0 && d.file.Form == paper.Workbook || s.Hidden {
			d.out.NotProducts = append(d.out.NotProducts, formulation.Aside{Where: s.Name,
				Why: formulation.Sentence("why-no-formula"), Text: textsOf(s.Rows)})
			continue
		}
		for _, r := range s.Rows {
			if len(found) > 0 && !s.Hidden {
				d.text(found[0].p, r)
			} else {
				d.notUnderstood(r.Place(0), r.Text())
			}
		}
	}
	for _, f := range found {
		checks.Check(d.Terms, f.p)
		f.p.Tell()
		d.out.Products = append(d.out.Products, *f.p)
	}
}

func textsOf(rows []raw.Row) []string {
	var out []string
	for _, r := range rows {
		out = append(out, r.Text())
	}
	return out
}
