package recipe

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/transcribe/recipe/terms"
	"gallipot/ingredients/exact"
)

// settle decides which of the products found are in use: hidden sheets, older
// versions and sheets for other work are listed apart.
func (d *doc) settle(found []*foundProduct) []*foundProduct {
	shown := 0
	for _, f := range found {
		if !f.sheet.Hidden && !d.otherWork(f) && d.ageOf(f) != "old" {
			shown++
		}
	}
	if shown == 0 {
		for _, f := range found {
			if f.sheet.Hidden {
				f.p.Say("hidden-sheet", "where", f.sheet.Name)
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
		case f.sheet.Hidden:
			d.aside(&d.out.NotProducts, f, "why-hidden")
			d.out.Say("hidden-sheet", "where", f.sheet.Name)
		case d.otherWork(f):
			d.aside(&d.out.NotProducts, f, "why-other-work")
			d.out.Say("sheet-left", "where", f.sheet.Name, "why", formulation.Sentence("why-other-work"))
		case d.ageOf(f) == "old":
			d.aside(&d.out.Older, f, "why-old")
			d.out.Say("older-part", "where", f.whereText())
		case d.sizeOf(out, f):
			d.aside(&d.out.NotProducts, f, "why-size")
			d.out.Say("sheet-left", "where", f.whereText(), "why", formulation.Sentence("why-size-long"))
		default:
			out = append(out, f)
		}
	}
	return d.latest(out)
}

// sizeOf says whether a formula is only a batch of one above it: the same materials,
// under a title that says batch or in the same proportions.
func (d *doc) sizeOf(above []*foundProduct, f *foundProduct) bool {
	batch := d.Holds("formula word", "record", lexicon.Fold(f.sheet.Name))
	for _, r := range f.titles {
		batch = batch || d.Holds("formula word", "record", lexicon.Fold(r.Text()))
	}
	for _, g := range above {
		of := map[string]*formulation.Line{}
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
			if l.Amount == nil || o.Amount == nil || figure.Sum(*o.Amount).IsZero() {
				continue
			}
			r := figure.Sum(*l.Amount).Quo(figure.Sum(*o.Amount))
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

func (d *doc) aside(to *[]formulation.Aside, f *foundProduct, why string, values ...string) {
	rows := append(slices.Clone(f.titles), f.rows...)
	*to = append(*to, formulation.Aside{Where: f.whereText(), Why: formulation.Sentence(why, values...),
		Text: textsOf(rows)})
}

// otherWork says whether a sheet is for prices, stock, labels and the like.
func (d *doc) otherWork(f *foundProduct) bool {
	return d.file.Form == paper.Workbook && d.Is("formula word", "not-product", lexicon.Fold(f.sheet.Name))
}

// ageOf says whether the name of the sheet or the title marks a formula as old.
func (d *doc) ageOf(f *foundProduct) string {
	texts := []string{f.sheet.Name, f.p.Name}
	for _, r := range f.titles {
		if len(strings.Fields(r.Text())) <= 8 {
			texts = append(texts, r.Text())
		}
	}
	for _, t := range texts {
		if d.VersionOf(t) == "old" {
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
		if b := best[key(f)]; terms.IsNumber(f.p.Version) &&
			(b == nil || terms.VersionLess(b.p.Version, f.p.Version)) {
			best[key(f)] = f
		}
	}
	var out []*foundProduct
	for _, f := range found {
		b := best[key(f)]
		if b == nil || b == f || !terms.IsNumber(f.p.Version) || f.p.Version == b.p.Version {
			out = append(out, f)
			continue
		}
		d.aside(&d.out.Older, f, "why-version", "version", f.p.Version)
		b.p.Say("other-version", "where", f.whereText(), "name", b.p.Name, "version", b.p.Version)
	}
	return out
}
