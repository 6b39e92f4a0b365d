package draft

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/ingredients/finding"
)

// File is a file of the workshop to be written: its path inside the folder, with
// slashes, and its text.
type File struct {
	Path string
	Text string
}

// Material is a sheet that the workshop has.
type Material struct{ ID, Name string }

// Options say for which workshop files are drafted.
type Options struct {
	ID     string     // of the product; empty: made of its name
	Source string     // name of the document
	Sheets []Material // of the workshop
}

// Product drafts the file of a product and the stubs of its unknown materials, in
// the order in which they stand in the formula.
func Product(p *formulation.Product, opt Options) []File {
	w := &writer{p: p, opt: opt, ids: map[string]string{}, taken: map[string]bool{}}
	for _, s := range opt.Sheets {
		w.taken[s.ID] = true
	}
	if w.opt.ID == "" {
		w.opt.ID = ID(p.Name)
	}
	w.materials()
	files := []File{{Path: "products/" + w.opt.ID + ".yaml", Text: w.product()}}
	return append(files, w.stubs...)
}

// LeftOpen says whether a finding is about what a draft leaves open: an empty value
// or an amount behind a question mark, in a sheet or a product.
func LeftOpen(f finding.Finding) bool {
	if !strings.HasPrefix(f.Pos.File, "ingredients/") && !strings.HasPrefix(f.Pos.File, "products/") {
		return false
	}
	switch f.Code {
	case "empty-value":
		return true
	case "bad-amount", "bad-number":
		return f.Form == "open"
	}
	return false
}

// ID makes an id of a name: small letters, figures and hyphens.
func ID(name string) string {
	var b strings.Builder
	for _, r := range lexicon.Fold(name) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	id := strings.Trim(b.String(), "-")
	if len(id) > 40 {
		id = strings.Trim(id[:40], "-")
	}
	if id == "" || !unicode.IsLetter(rune(id[0])) {
		id = strings.Trim("m-"+id, "-")
	}
	return id
}

// writer drafts the files of one product.
type writer struct {
	p     *formulation.Product
	opt   Options
	ids   map[string]string // folded name → id of its sheet
	taken map[string]bool
	stubs []File
	b     strings.Builder
}

func (w *writer) line(indent int, format string, args ...any) {
	w.b.WriteString(strings.Repeat(" ", indent))
	fmt.Fprintf(&w.b, format, args...)
	w.b.WriteByte('\n')
}

// quoted is a text as YAML reads it back, on one line.
func quoted(s string) string {
	out, err := json.Marshal(strings.Join(strings.Fields(s), " "))
	if err != nil {
		return `""`
	}
	return strings.NewReplacer(`\u003c`, "<", `\u003e`, ">", `\u0026`, "&").Replace(string(out))
}

// comment is a text that may stand behind a "#".
func comment(s string) string { return strings.Join(strings.Fields(s), " ") }

// materials finds the sheet of each material, or drafts a stub for it.
func (w *writer) materials() {
	known := map[string]string{}
	for _, s := range w.opt.Sheets {
		known[lexicon.Fold(s.Name)] = s.ID
	}
	for _, s := range w.opt.Sheets {
		if k := lexicon.Fold(strings.ReplaceAll(s.ID, "-", " ")); known[k] == "" {
			known[k] = s.ID
		}
	}
	for _, l := range w.p.Lines() {
		k := lexicon.Fold(l.Name)
		if w.ids[k] != "" || !l.Counted() {
			continue
		}
		if id := known[k]; id != "" {
			w.ids[k] = id
			continue
		}
		id := ID(l.Name)
		for n, base := 2, id; w.taken[id]; n++ {
			id = fmt.Sprintf("%s-%d", base, n)
		}
		w.taken[id], w.ids[k] = true, id
		w.stubs = append(w.stubs, File{"ingredients/" + id + ".yaml", w.stub(id, l)})
	}
}

// stub drafts the sheet of a material of which the formula says the name alone.
func (w *writer) stub(id string, l *formulation.Line) string {
	var b strings.Builder
	fmt.Fprintf(&b, "# Stub: named in %s (%s). Nothing but the name is known yet; the figures are\n"+
		"# those of the supplier's paper.\n", comment(w.opt.Source), comment(l.Where))
	fmt.Fprintf(&b, "id: %s\nname: %s\ncomposition:\n  complete: false\n", id, quoted(l.Name))
	if l.INCI != nil {
		fmt.Fprintf(&b, "  # INCI as the formula prints it, without contents: %s\n", comment(*l.INCI))
	}
	b.WriteString("  constituents: []   # open: list what the supplier's paper names\n")
	return b.String()
}

// product drafts the file of the product.
func (w *writer) product() string {
	p := w.p
	w.line(0, "# Read from %s%s. Each line names its place there.", comment(w.opt.Source), at(p.Where))
	w.line(0, "id: %s", w.opt.ID)
	w.line(0, "name: %s", quoted(p.Name))
	w.line(0, "revision: %s", revision(p.Version))
	if p.Type != "" {
		w.line(0, "# The name suggests %s; exposure and limits rest on the type, so it is yours to say.",
			p.Type)
	}
	w.line(0, "product_type:   # open")
	w.line(0, "intended_for:   # open: adults, children-3-plus or under-3")
	if ph := p.Specification["ph"]; ph != "" {
		w.line(0, "specification: {ph: %s}", quoted(ph))
	}
	for _, list := range []struct {
		head  string
		items []string
	}{{"To decide", p.Asks}, {"To mind", p.Warnings}, {"Steps as the document words them", p.Steps},
		{"Also in the document", p.Notes}, {"Columns that are not read", p.LeftOut}} {
		if len(list.items) > 0 {
			w.line(0, "# %s:", list.head)
		}
		for _, s := range list.items {
			w.line(0, "#   %s", comment(s))
		}
	}
	w.formula()
	return w.b.String()
}

func at(where string) string {
	if where == "" {
		return ""
	}
	return ", " + comment(where)
}

// revision is the version where it is a whole number, otherwise 1.
func revision(version string) string {
	if version != "" && len(version) < 4 && strings.Trim(version, "0123456789") == "" && version[0] != '0' {
		return version
	}
	return "1"
}

// slotOf is a line that only some variants have.
type slotOf struct {
	id   string
	line *formulation.Line
}

func (w *writer) formula() {
	basis := w.basis()
	w.line(0, "formula:")
	if basis == "grams" && w.p.Basis == "percent" {
		w.line(2, "# The document prints per cent; these are the grams of 100 g.")
	}
	w.line(2, "basis: %s", basis)
	w.line(2, "phases:")
	var slots []slotOf
	var after []*formulation.Line
	ids := map[string]bool{}
	for _, ph := range w.p.Phases {
		if !slices.ContainsFunc(ph.Lines, func(l formulation.Line) bool {
			return l.Counted() &&
				!l.After100
		}) {
			for i := range ph.Lines {
				if ph.Lines[i].Counted() {
					after = append(after, &ph.Lines[i])
				}
			}
			continue
		}
		id := ph.ID
		for n := 2; ids[id]; n++ {
			id = fmt.Sprintf("%s-%d", ph.ID, n)
		}
		ids[id] = true
		w.line(4, "- id: %s", quoted(id))
		if ph.Name != nil {
			w.line(6, "name: %s", quoted(*ph.Name))
		}
		if ph.HeatC != "" {
			w.line(6, "heat_c: %s", ph.HeatC)
		}
		w.line(6, "lines:")
		for i := range ph.Lines {
			l := &ph.Lines[i]
			switch {
			case !l.Counted():
				w.line(8, "# crossed out or older, not counted: %s %s (%s)", comment(l.Name),
					amountText(l), comment(l.Where))
			case l.After100:
				after = append(after, l)
			case len(l.Variants) > 0:
				id := w.slotID(l, slots)
				slots = append(slots, slotOf{id, l})
				w.line(8, "- {slot: %s, amount: %s}   # %s", id, w.amount(l, basis), comment(l.Where))
			default:
				w.line(8, "- {ingredient: %s, amount: %s}   # %s%s", w.ids[lexicon.Fold(l.Name)],
					w.amount(l, basis), comment(l.Where), remark(l))
			}
		}
	}
	w.variants(slots, after)
}

func remark(l *formulation.Line) string {
	out := ""
	if l.Slot != "" {
		out += "; could be a slot: " + l.Slot
	}
	if l.AlsoPrinted != "" {
		out += "; also printed: " + comment(l.AlsoPrinted)
	}
	if l.Note != "" {
		out += "; " + comment(l.Note)
	}
	return out
}

// slotID names the slot of a line: by what it is where that is free.
func (w *writer) slotID(l *formulation.Line, slots []slotOf) string {
	id := l.Slot
	if id == "" {
		id = ID(l.Name)
	}
	id = id + "-" + ID(strings.Join(l.Variants, "-"))
	base := id
	for n := 2; slices.ContainsFunc(slots, func(s slotOf) bool { return s.id == id }); n++ {
		id = fmt.Sprintf("%s-%d", base, n)
	}
	return id
}

func (w *writer) variants(slots []slotOf, after []*formulation.Line) {
	if len(w.p.Variants) == 0 && len(after) == 0 {
		return
	}
	w.line(0, "variants:")
	list := w.p.Variants
	if len(list) == 0 {
		list = []formulation.Variant{{Name: w.p.Name}}
	}
	ids := map[string]bool{}
	for _, v := range list {
		id := ID(v.Name)
		for n, base := 2, id; ids[id]; n++ {
			id = fmt.Sprintf("%s-%d", base, n)
		}
		ids[id] = true
		w.line(2, "- id: %s", id)
		w.line(4, "name: %s", quoted(v.Name))
		var fills []string
		for _, s := range slots {
			if slices.Contains(s.line.Variants, v.Name) {
				fills = append(fills, s.id+": "+w.ids[lexicon.Fold(s.line.Name)])
			}
		}
		if len(fills) > 0 {
			w.line(4, "fill: {%s}", strings.Join(fills, ", "))
		}
		var adds []string
		for _, l := range after {
			if len(l.Variants) == 0 || slices.Contains(l.Variants, v.Name) {
				adds = append(adds, fmt.Sprintf("{ingredient: %s, parts_per_100: %s}",
					w.ids[lexicon.Fold(l.Name)], w.parts(l)))
			}
		}
		if len(adds) > 0 {
			w.line(4, "then_add: [%s]", strings.Join(adds, ", "))
		}
	}
}
