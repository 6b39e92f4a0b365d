package recipe

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
	"gallipot/ingredients/exact"
)

// settle decides which of the products found are in use: hidden sheets, older
// versions and sheets for other work are listed apart.
func (d *doc) settle(found []*foundProduct) []*foundProduct {
	shown := 0
	for _, f := range found {
		if !f.sheet.hidden && !d.otherWork(f) && d.ageOf(f) != "old" {
			shown++
		}
	}
	if shown == 0 {
		for _, f := range found {
			if f.sheet.hidden {
				f.p.say("hidden-sheet", "where", f.sheet.name)
				for _, l := range f.p.Lines() {
					l.Hidden = true
				}
			}
		}
		return d.latest(found)
	}
	var out []*foundProduct
	for _, f := range found {
		switch {
		case f.sheet.hidden:
			d.aside(&d.out.NotProducts, f, "the sheet is hidden")
			d.say("hidden-sheet", "where", f.sheet.name)
		case d.otherWork(f):
			d.aside(&d.out.NotProducts, f, "its name says that it is for other work")
			d.say("sheet-left", "where", f.sheet.name, "why", "its name says that it is for other work")
		case d.ageOf(f) == "old":
			d.aside(&d.out.Older, f, "marked as old")
			d.say("older-part", "where", f.whereText())
		case d.sizeOf(out, f):
			d.aside(&d.out.NotProducts, f, "a batch, or the formula above in another size")
			d.say("sheet-left", "where", f.whereText(), "why", "it holds materials of the formula above alone, as a batch or in another size")
		default:
			out = append(out, f)
		}
	}
	return d.latest(out)
}

// sizeOf says whether a formula is only a batch of one above it: the same materials,
// under a title that says batch or in the same proportions.
func (d *doc) sizeOf(above []*foundProduct, f *foundProduct) bool {
	batch := d.holds("formula word", "record", lexicon.Fold(f.sheet.name))
	for _, r := range f.titles {
		batch = batch || d.holds("formula word", "record", lexicon.Fold(r.text()))
	}
	for _, g := range above {
		of := map[string]*Line{}
		for _, l := range g.p.Lines() {
			of[lexicon.Fold(l.Name)] = l
		}
		same, ratio := 0, exact.Num{}
		proportional := true
		for _, l := range f.p.Lines() {
			o := of[lexicon.Fold(l.Name)]
			if o == nil {
				same = -1
				break
			}
			same++
			if l.Amount == nil || o.Amount == nil || num(*o.Amount).IsZero() {
				continue
			}
			r := num(*l.Amount).Quo(num(*o.Amount))
			if !ratio.IsZero() && !r.Equal(ratio) {
				proportional = false
			}
			ratio = r
		}
		if same > 1 && (batch || proportional && same > 2 && same == len(g.p.Lines())) {
			return true
		}
	}
	return false
}

func (f *foundProduct) whereText() string {
	if f.sheet.name != "" {
		return f.sheet.name
	}
	if len(f.titles) > 0 {
		return f.titles[0].place(0)
	}
	if len(f.rows) > 0 {
		return f.rows[0].place(0)
	}
	return f.p.Where
}

func (d *doc) aside(to *[]Aside, f *foundProduct, why string) {
	rows := append(slices.Clone(f.titles), f.rows...)
	*to = append(*to, Aside{Where: f.whereText(), Why: why, Text: textsOf(rows)})
}

// otherWork says whether a sheet is for prices, stock, labels and the like.
func (d *doc) otherWork(f *foundProduct) bool {
	return d.file.Form == paper.Workbook && d.is("formula word", "not-product", lexicon.Fold(f.sheet.name))
}

// ageOf says whether the name of the sheet or the title marks a formula as old.
func (d *doc) ageOf(f *foundProduct) string {
	texts := []string{f.sheet.name, f.p.Name}
	for _, r := range f.titles {
		if len(strings.Fields(r.text())) <= 8 {
			texts = append(texts, r.text())
		}
	}
	for _, t := range texts {
		if d.versionOf(t) == "old" {
			return "old"
		}
	}
	return ""
}

// latest keeps the highest version of products that have the same name.
func (d *doc) latest(found []*foundProduct) []*foundProduct {
	best := map[string]*foundProduct{}
	key := func(f *foundProduct) string {
		name := lexicon.Fold(f.p.Name)
		if f.p.Version != "" {
			name = strings.TrimSpace(strings.TrimSuffix(name, " version"))
		}
		return name
	}
	for _, f := range found {
		if b := best[key(f)]; isNumber(f.p.Version) && (b == nil || versionLess(b.p.Version, f.p.Version)) {
			best[key(f)] = f
		}
	}
	var out []*foundProduct
	for _, f := range found {
		b := best[key(f)]
		if b == nil || b == f || !isNumber(f.p.Version) || f.p.Version == b.p.Version {
			out = append(out, f)
			continue
		}
		d.aside(&d.out.Older, f, "version "+f.p.Version)
		b.p.say("other-version", "where", f.whereText(), "name", b.p.Name, "version", b.p.Version)
	}
	return out
}
