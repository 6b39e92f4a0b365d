package recipe

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/transcribe/recipe/columns"
	"gallipot/dossier/transcribe/recipe/raw"
	"gallipot/dossier/transcribe/recipe/running"
	"gallipot/dossier/transcribe/recipe/tabular"
	"gallipot/ingredients/exact"
)

// readSheet reads the products of one sheet or page. The quoted part of a mail is
// read apart from the mail's own words.
func (d *doc) readSheet(s *raw.Sheet) []*foundProduct {
	var own, quoted []raw.Row
	for _, r := range s.Rows {
		if r.Quote > 0 {
			quoted = append(quoted, r)
		} else {
			own = append(own, r)
		}
	}
	if s.Laid {
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
				out[0].p.Notes = append(out[0].p.Notes, formulation.Sentence("note-quoted", "text", r.Text()))
			} else {
				d.notUnderstood(r.Place(0), r.Text())
			}
		}
	case len(out) > 0:
		where := quoted[0].Place(0)
		d.out.Older = append(d.out.Older, formulation.Aside{Where: where,
			Why: formulation.Sentence("why-quoted"), Text: textsOf(quoted)})
		out[0].p.Say("quoted-older", "where", where)
	default:
		for _, f := range old {
			f.quoted = true
			f.p.Say("quoted-read")
			for _, r := range own {
				d.text(f.p, r)
			}
			if slices.ContainsFunc(own,
				func(r raw.Row) bool { return len(d.Amounts(dose.Plain(r.Text()))) > 0 }) {
				for _, l := range f.p.Lines() {
					if l.Ask == "" {
						l.Ask = formulation.Sentence("line-quoted")
					}
				}
			}
		}
		return old
	}
	return out
}

// readRows reads the tables and texts of a sheet in order.
func (d *doc) readRows(s *raw.Sheet, rows []raw.Row) []*foundProduct {
	var out []*foundProduct
	var pending []raw.Row
	last := func() *foundProduct {
		if len(out) == 0 {
			return nil
		}
		return out[len(out)-1]
	}
	for i := 0; i < len(rows); {
		j := i + 1
		for j < len(rows) && rows[j].Grid == rows[i].Grid {
			j++
		}
		run := rows[i:j]
		i = j
		if run[0].Grid > 0 {
			out, pending = d.readGrid(s, run, out, pending)
			continue
		}
		for _, b := range d.running.Blocks(d.running.Classify(run)) {
			title := append(pending, rowsOf(b.Title)...)
			pending = nil
			n := 0
			for _, it := range b.Items {
				n += len(it.Lines)
			}
			if n < 2 {
				pending = append(title, rowsOf(b.Items)...)
				continue
			}
			if f := last(); f != nil {
				var rest []raw.Row
				rest, title = d.splitTitle(title)
				d.texts(f.p, rest)
			}
			p := d.running.Product(b)
			if f := last(); f != nil && len(title) == 0 && len(f.same) > 0 && d.adds(f.p, p) {
				for _, it := range b.Items {
					if !it.Used {
						d.text(f.p, it.Row)
					}
				}
				continue
			}
			f := &foundProduct{p: p, sheet: s, titles: title, rows: rowsOf(b.Items)}
			d.name(f)
			for _, it := range b.Items {
				if !it.Used {
					d.text(p, it.Row)
				}
			}
			out = append(out, f)
		}
	}
	if f := last(); f != nil {
		d.texts(f.p, pending)
	} else if len(s.Rows) > 0 && len(pending) > 0 && d.file.Form != paper.Workbook {
		for _, r := range pending {
			d.notUnderstood(r.Place(0), r.Text())
		}
		pending = nil
	}
	return out
}

func rowsOf(items []running.Item) []raw.Row {
	var out []raw.Row
	for _, it := range items {
		out = append(out, it.Row)
	}
	return out
}

// readGrid reads the tables of a run of rows with columns.
func (d *doc) readGrid(s *raw.Sheet, run []raw.Row, out []*foundProduct, pending []raw.Row) ([]*foundProduct,
	[]raw.Row) {
	tables := d.columns.Tables(*s, run)
	if len(tables) == 0 {
		return out, append(pending, run...)
	}
	for _, t := range tables {
		title := append(pending, t.Above...)
		pending = nil
		if len(out) > 0 {
			var rest []raw.Row
			rest, title = d.splitTitle(title)
			d.texts(out[len(out)-1].p, rest)
		}
		t.Above = title
		p, tail, left := tabular.Read(d.columns, t)
		d.out.NotUnderstood = append(d.out.NotUnderstood, left...)
		if p == nil {
			rest := title
			if t.Head != nil {
				rest = append(rest, *t.Head)
			}
			pending = append(rest, t.Body...)
			continue
		}
		if len(out) > 0 && d.carriesOn(out[len(out)-1], t, title) {
			d.join(out[len(out)-1].p, p, title)
			d.texts(out[len(out)-1].p, tail)
			continue
		}
		if len(out) > 0 && len(title) == 0 && d.nextSection(out[len(out)-1], t, p) {
			d.texts(out[len(out)-1].p, tail)
			continue
		}
		f := &foundProduct{p: p, sheet: s, titles: title, rows: t.Body, same: t.Cols}
		d.name(f)
		d.texts(p, tail)
		out = append(out, f)
	}
	return out, pending
}

// splitTitle parts the rows between two formulas: what belongs to the one above,
// and the title of the one below.
func (d *doc) splitTitle(rows []raw.Row) (rest, title []raw.Row) {
	n := len(rows)
	for n > 0 && len(rows)-n < 3 {
		r := rows[n-1]
		t := r.Text()
		if len(strings.Fields(t)) > 9 || strings.HasSuffix(t, ".") || d.StartsStep(t) {
			break
		}
		n--
		if _, phase := d.PhaseOf(t); r.Gap && !phase {
			break
		}
	}
	return rows[:n], rows[n:]
}

// carriesOn says whether a table is a further phase of the formula above it: its
// title is a phase, or it has none and the same columns.
func (d *doc) carriesOn(f *foundProduct, t *columns.Table, title []raw.Row) bool {
	if f.sheet.Name != t.Sheet || len(f.same) == 0 {
		return false
	}
	phase, other := "", false
	for _, r := range title {
		if h, ok := d.PhaseOf(r.Text()); ok {
			phase = h.ID
		} else {
			other = true
		}
	}
	if phase != "" {
		again := slices.ContainsFunc(f.p.Phases, func(p formulation.Phase) bool { return p.ID == phase })
		return !other || !again
	}
	return len(title) == 0 && d.columns.SameColumns(f.same, t.Cols) && f.p.Total.Stated == nil
}

// nextSection takes a table in grams without a title into the formula in grams above it, where its head
// names a section and no column of names: the oils of a soap, and below them "Lye solution | g".
func (d *doc) nextSection(f *foundProduct, t *columns.Table, p *formulation.Product) bool {
	if t.Head == nil || f.sheet.Name != t.Sheet || f.p.Basis != "grams" || p.Basis != "grams" ||
		len(p.Phases) == 0 {
		return false
	}
	head := t.Head.Filled()
	if len(head) < 2 || d.columns.HeadOf(head[0].Text).Role != columns.Unknown {
		return false
	}
	for _, l := range p.Lines() {
		if slices.ContainsFunc(f.p.Lines(), func(k *formulation.Line) bool {
			return lexicon.Fold(k.Name) == lexicon.Fold(l.Name)
		}) {
			return false
		}
	}
	p.Phases[0].ID = raw.OneLine(head[0].Text)
	d.join(f.p, p, nil)
	if stated := figure.Sum(firstNumber(formulation.ValueOf(p.Total.Stated))); !stated.IsZero() {
		var sum exact.Num
		for _, l := range f.p.Lines() {
			if l.Unit != nil && *l.Unit == "g" {
				sum = sum.Add(figure.Sum(formulation.ValueOf(l.Amount)))
			}
		}
		if sum.Equal(stated) {
			f.p.Unsay("total-differs") // the total of all sections
			f.p.Unsay("total-differs-without")
		}
	}
	return true
}

func firstNumber(s string) string { first, _, _ := strings.Cut(s, " "); return first }

// join adds the phases of a further table to a product.
func (d *doc) join(p, more *formulation.Product, title []raw.Row) {
	for _, r := range title {
		if h, ok := d.PhaseOf(r.Text()); ok && len(more.Phases) == 1 {
			more.Phases[0].ID, more.Phases[0].HeatC = h.ID, h.Heat
			if h.Name != "" {
				more.Phases[0].Name = formulation.Value(h.Name)
			}
		} else {
			d.text(p, r)
		}
	}
	for _, ph := range more.Phases {
		at := slices.IndexFunc(p.Phases, func(x formulation.Phase) bool { return x.ID == ph.ID })
		if at >= 0 {
			p.Phases[at].Lines = append(p.Phases[at].Lines, ph.Lines...)
			continue
		}
		p.Phases = append(p.Phases, ph)
	}
	p.SayAll(more)
	p.Notes = append(p.Notes, more.Notes...)
	if more.Total.Stated != nil {
		p.Total.Stated = more.Total.Stated
	}
	p.BasisOf()
}
