package recipe

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
)

// doc is one document being read.
type doc struct {
	file   *paper.File
	words  *lexicon.Lexicon
	dose   *dose.Reader // of text: by the document's decimal sign
	stored *dose.Reader // of numbers as stored
	out    *Reading
	isMail bool
}

// found is a product with where it was found.
type foundProduct struct {
	p      *Product
	sheet  *sheet
	quoted bool
	titles []row
	rows   []row // all rows it came from, for the list of older versions
	same   []column
}

// Read reads the formulas of a document. It does not fail: a document without a
// formula is said to have none.
func Read(f *paper.File, words *lexicon.Lexicon) *Reading {
	d := &doc{file: f, words: words, out: &Reading{File: f.Name, Products: []Product{}},
		isMail: f.Form == paper.Mail}
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
	d.dose = &dose.Reader{Words: words, Habit: figure.LearnHabit(texts)}
	d.stored = &dose.Reader{Words: words, Habit: figure.Point}
	d.out.Kind = kindOf(f)
	d.out.Language = d.language(texts)
	all, whole := sheets(f)
	d.cautions()
	if !whole {
		d.say("rows-left", "rows", itoa(mostRows))
	}
	d.readSheets(all)
	if len(d.out.Products) == 0 {
		d.say("no-formula")
	}
	return d.out
}

// Refused is the reading of a file that cannot be read: what is wrong and one
// thing to do.
func Refused(name, what, fix string) *Reading {
	return &Reading{File: name, Products: []Product{}, Refused: what, Fix: fix, Asks: []string{what + ": " + fix}}
}

// language guesses the language by the words of formulas and the commonest words
// that one language alone has; English where nothing decides.
func (d *doc) language(texts []string) string {
	counts := map[string]int{}
	vote := func(subject, folded string, weight int) {
		one := ""
		for _, e := range d.words.All(subject, folded) {
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
			f := lexicon.Fold(headBraces.ReplaceAllString(part, " "))
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
	if name := strings.ToLower(f.Name); strings.HasSuffix(name, ".md") || strings.HasSuffix(name, ".markdown") {
		return "markdown"
	}
	return "text"
}

// say says something about the document as a whole.
func (d *doc) say(code string, values ...string) {
	f := say(code, values...)
	if f.kind() == "ask" {
		d.out.Asks = append(d.out.Asks, f.text())
	} else {
		d.out.Warnings = append(d.out.Warnings, f.text())
	}
}

func (d *doc) notUnderstood(where, text string) {
	d.out.NotUnderstood = append(d.out.NotUnderstood, Place{where, text})
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
			d.say("untrusted", "where", itoa(c.Page), "text", c.Code)
		case "pages-left", "lines-left", "letters-left":
			what, fix := paper.Wording(c.Code)
			d.out.Warnings = append(d.out.Warnings, strings.ReplaceAll(what, "{value}", c.Text)+": "+fix)
		}
		if code == "" || seen[code+c.Text] {
			continue
		}
		seen[code+c.Text] = true
		d.say(code, "where", c.Place, "text", c.Text)
	}
}

// readSheets reads every sheet and decides which products are the document's.
func (d *doc) readSheets(all []sheet) {
	var found []*foundProduct
	var idle []*sheet
	for i := range all {
		s := &all[i]
		n := len(found)
		found = append(found, d.readSheet(s)...)
		if len(found) == n && len(s.rows) > 0 {
			idle = append(idle, s)
		}
	}
	found = d.settle(found)
	for _, s := range idle {
		if len(found) > 0 && d.file.Form == paper.Workbook || s.hidden {
			d.out.NotProducts = append(d.out.NotProducts, Aside{Where: s.name,
				Why: "no formula stands there", Text: textsOf(s.rows)})
			continue
		}
		for _, r := range s.rows {
			if len(found) > 0 && !s.hidden {
				d.text(found[0].p, r)
			} else {
				d.notUnderstood(r.place(0), r.text())
			}
		}
	}
	for _, f := range found {
		d.check(f.p)
		f.p.tell()
		d.out.Products = append(d.out.Products, *f.p)
	}
}

func textsOf(rows []row) []string {
	var out []string
	for _, r := range rows {
		out = append(out, r.text())
	}
	return out
}

// readSheet reads the products of one sheet or page. The quoted part of a mail is
// read apart from the mail's own words.
func (d *doc) readSheet(s *sheet) []*foundProduct {
	var own, quoted []row
	for _, r := range s.rows {
		if r.quote > 0 {
			quoted = append(quoted, r)
		} else {
			own = append(own, r)
		}
	}
	if s.laid {
		own, quoted = d.positional(own), d.positional(quoted)
	}
	out := d.readRows(s, own)
	if len(quoted) == 0 {
		return out
	}
	old := d.readRows(s, quoted)
	switch {
	case len(old) == 0:
		for _, r := range quoted {
			if len(out) > 0 {
				out[0].p.Notes = append(out[0].p.Notes, "quoted: "+r.text())
			} else {
				d.notUnderstood(r.place(0), r.text())
			}
		}
	case len(out) > 0:
		where := quoted[0].place(0)
		d.out.Older = append(d.out.Older, Aside{Where: where, Why: "quoted in the mail", Text: textsOf(quoted)})
		out[0].p.say("quoted-older", "where", where)
	default:
		for _, f := range old {
			f.quoted = true
			f.p.say("quoted-read")
			for _, r := range own {
				d.text(f.p, r)
			}
			if slices.ContainsFunc(own, func(r row) bool { return len(d.amounts(dose.Plain(r.text()))) > 0 }) {
				for _, l := range f.p.Lines() {
					if l.Ask == "" {
						l.Ask = say("line-quoted").text()
					}
				}
			}
		}
		return old
	}
	return out
}

// readRows reads the tables and texts of a sheet in order.
func (d *doc) readRows(s *sheet, rows []row) []*foundProduct {
	var out []*foundProduct
	var pending []row
	last := func() *foundProduct {
		if len(out) == 0 {
			return nil
		}
		return out[len(out)-1]
	}
	for i := 0; i < len(rows); {
		j := i + 1
		for j < len(rows) && rows[j].grid == rows[i].grid {
			j++
		}
		run := rows[i:j]
		i = j
		if run[0].grid > 0 {
			out, pending = d.readGrid(s, run, out, pending)
			continue
		}
		for _, b := range d.blocks(d.classify(run)) {
			title := append(pending, rowsOf(b.title)...)
			pending = nil
			n := 0
			for _, it := range b.items {
				n += len(it.lines)
			}
			if n < 2 {
				pending = append(title, rowsOf(b.items)...)
				continue
			}
			if f := last(); f != nil {
				var rest []row
				rest, title = d.splitTitle(title)
				d.texts(f.p, rest)
			}
			p := d.product(b)
			f := &foundProduct{p: p, sheet: s, titles: title, rows: rowsOf(b.items)}
			d.name(f)
			for _, it := range b.items {
				if !it.used {
					d.text(p, it.row)
				}
			}
			out = append(out, f)
		}
	}
	if f := last(); f != nil {
		d.texts(f.p, pending)
	} else if len(s.rows) > 0 && len(pending) > 0 && d.file.Form != paper.Workbook {
		for _, r := range pending {
			d.notUnderstood(r.place(0), r.text())
		}
		pending = nil
	}
	return out
}

func rowsOf(items []item) []row {
	var out []row
	for _, it := range items {
		out = append(out, it.row)
	}
	return out
}

// readGrid reads the tables of a run of rows with columns.
func (d *doc) readGrid(s *sheet, run []row, out []*foundProduct, pending []row) ([]*foundProduct, []row) {
	tables := d.tables(*s, run)
	if len(tables) == 0 {
		return out, append(pending, run...)
	}
	for _, t := range tables {
		title := append(pending, t.above...)
		pending = nil
		if len(out) > 0 {
			var rest []row
			rest, title = d.splitTitle(title)
			d.texts(out[len(out)-1].p, rest)
		}
		t.above = title
		p, tail := d.read(t)
		if p == nil {
			left := title
			if t.head != nil {
				left = append(left, *t.head)
			}
			pending = append(left, t.body...)
			continue
		}
		if len(out) > 0 && d.carriesOn(out[len(out)-1], t, title) {
			d.join(out[len(out)-1].p, p, title)
			d.texts(out[len(out)-1].p, tail)
			continue
		}
		f := &foundProduct{p: p, sheet: s, titles: title, rows: t.body, same: t.cols}
		d.name(f)
		d.texts(p, tail)
		out = append(out, f)
	}
	return out, pending
}

// splitTitle parts the rows between two formulas: what belongs to the one above,
// and the title of the one below.
func (d *doc) splitTitle(rows []row) (rest, title []row) {
	n := len(rows)
	for n > 0 && len(rows)-n < 3 {
		r := rows[n-1]
		t := r.text()
		if len(strings.Fields(t)) > 9 || strings.HasSuffix(t, ".") || d.startsStep(t) {
			break
		}
		n--
		if _, phase := d.phaseOf(t); r.gap && !phase {
			break
		}
	}
	return rows[:n], rows[n:]
}

// carriesOn says whether a table is a further phase of the formula above it: its
// title is a phase, or it has none and the same columns.
func (d *doc) carriesOn(f *foundProduct, t *table, title []row) bool {
	if f.sheet.name != t.sheet || len(f.same) == 0 {
		return false
	}
	phase, other := "", false
	for _, r := range title {
		if h, ok := d.phaseOf(r.text()); ok {
			phase = h.id
		} else {
			other = true
		}
	}
	if phase != "" {
		again := slices.ContainsFunc(f.p.Phases, func(p Phase) bool { return p.ID == phase })
		return !other || !again
	}
	return len(title) == 0 && d.sameColumns(f.same, t.cols) && f.p.Total.Stated == nil
}

// join adds the phases of a further table to a product.
func (d *doc) join(p, more *Product, title []row) {
	for _, r := range title {
		if h, ok := d.phaseOf(r.text()); ok && len(more.Phases) == 1 {
			more.Phases[0].ID, more.Phases[0].HeatC = h.id, h.heat
			if h.name != "" {
				more.Phases[0].Name = text(h.name)
			}
		} else {
			d.text(p, r)
		}
	}
	for _, ph := range more.Phases {
		at := slices.IndexFunc(p.Phases, func(x Phase) bool { return x.ID == ph.ID })
		if at >= 0 {
			p.Phases[at].Lines = append(p.Phases[at].Lines, ph.Lines...)
			continue
		}
		p.Phases = append(p.Phases, ph)
	}
	p.found = append(p.found, more.found...)
	p.Notes = append(p.Notes, more.Notes...)
	if more.Total.Stated != nil {
		p.Total.Stated = more.Total.Stated
	}
	p.basisOf()
}
