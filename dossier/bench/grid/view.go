package grid

import (
	"fmt"
	"strconv"
	"strings"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/document"
	"gallipot/dossier/edit"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// view is the grid as a template shows it.
type view struct {
	Phases             []phase
	Adds               []row // after 100 parts, of the variant shown
	Written            frame.HTML
	BaseIn, BaseG      frame.HTML
	WholeIn, WholeG    frame.HTML
	Rest               string // what the q.s. line comes to
	Grams              bool   // the formula is written in grams
	Added              bool   // something is added after 100 parts
	VariantName, Batch string
	VariantPath        string // of the variant shown, in the file
	Slots              []string
}

type phase struct {
	N                   int
	Key, ID, Name, Heat string
	Path                edit.Path
	Sum                 frame.HTML
	Lines               []row
	Only                bool // the only phase
	NameWrong           string
	HeatWrong           string
}

// row is one line of the grid, or one filling of a slot.
type row struct {
	Key        string // of its output cells
	N          int    // for the keys of the grid
	Path       edit.Path
	Name, More string // the material; More is what else tells it apart
	ID         string
	Slot       string
	Rest       bool
	Written    string
	In, G, Up  frame.HTML
	Why        string
	Mark       frame.HTML
	Fills      []fill
	Only       bool // the only line of its phase
	First      bool
	Last       bool

	NameWrong, WrittenWrong string // why what was typed was not written

	line  formula.Line
	share exact.Num // % of the whole variant
}

// fill is what a variant puts into a slot.
type fill struct {
	Key     string
	Variant string
	Here    bool   // of the variant shown
	Portion string // and its share
	Parts   []part
	Path    edit.Path // of the slot in the fill
}

type part struct {
	Key, Name  string
	Path       edit.Path // of the material
	SharePath  edit.Path // nil: it fills the slot alone
	Share      string
	PortionPct string
	In, G      frame.HTML
	NameWrong  string
	ShareWrong string
}

func (v *view) all() []*row {
	var rows []*row
	for i := range v.Phases {
		for j := range v.Phases[i].Lines {
			rows = append(rows, &v.Phases[i].Lines[j])
		}
	}
	for i := range v.Adds {
		rows = append(rows, &v.Adds[i])
	}
	return rows
}

// result returns that of the variant and market shown.
func (q *ask) result(results []*calc.Result) *calc.Result {
	for _, r := range results {
		if r.Input.Variant.ID == q.variant.ID && r.Input.Market == q.market {
			return r
		}
	}
	return results[0]
}

// view makes the grid from the file and what was computed of it.
func (q *ask) view(f *frame.Opened, p *workshop.Product, results []*calc.Result) *view {
	r := q.result(results)
	v := &view{Grams: p.Formula.Basis == formula.Grams, VariantName: frame.VariantShort(p, q.variant),
		Batch: q.massed}
	shares := r.Recipe.Whole.Shares
	n := 0
	written, base := exact.Num{}, exact.Num{}
	for i, ph := range p.Formula.Phases {
		path := edit.Path{"formula", "phases"}.At(i)
		x := phase{N: i, Key: strconv.Itoa(i), ID: ph.ID, Name: ph.Name, Path: path,
			Only: len(p.Formula.Phases) == 1}
		if ph.HeatC != nil {
			x.Heat = ph.HeatC.String()
		}
		sum := exact.Num{}
		for j, line := range ph.Lines {
			row := q.row(f, line, path.Then("lines").At(j), shares)
			row.Key, row.N, row.Only = fmt.Sprintf("%d-%d", i, j), n, len(ph.Lines) == 1
			row.First, row.Last = j == 0, j == len(ph.Lines)-1
			if line.Rest {
				rest := rest(p, line)
				v.Rest = document.FormatPct(rest)
				row.Written = v.Rest
				sum = sum.Add(rest)
			} else {
				sum = sum.Add(line.Amount)
			}
			base = base.Add(row.share)
			if line.Slot != "" {
				v.Slots = append(v.Slots, line.Slot)
				row.Fills = q.fills(f, p, line, shares)
			}
			x.Lines = append(x.Lines, row)
			n++
		}
		x.Sum = frame.Figure(document.FormatPct(sum), 2)
		written = written.Add(sum)
		v.Phases = append(v.Phases, x)
	}
	v.Written = frame.Figure(written.Fixed(2), 2)
	v.BaseIn, v.BaseG = pct(base), q.grams(base)
	q.additions(f, p, v, shares, n)
	whole := exact.Num{}
	for _, s := range shares {
		whole = whole.Add(s.Pct)
	}
	v.WholeIn, v.WholeG = pct(whole), q.grams(whole)
	return v
}

// rest is what the q.s. line comes to in the formula as written.
func rest(p *workshop.Product, _ formula.Line) exact.Num {
	sum := exact.Num{}
	for _, ph := range p.Formula.Phases {
		for _, l := range ph.Lines {
			if !l.Rest {
				sum = sum.Add(l.Amount)
			}
		}
	}
	return exact.Int(100).Sub(sum)
}

// pct prints a content of the variant shown: four significant figures.
func pct(n exact.Num) frame.HTML {
	return frame.Figure(document.FormatNum(n, document.RuleSig(4)), 4)
}

// grams prints the mass of a share in the batch asked for.
func (q *ask) grams(share exact.Num) frame.HTML {
	decimals := 1
	if d := q.v.Workshop().BalanceDivisionG; d != nil {
		_, fraction, _ := strings.Cut(d.Exact(), ".")
		decimals = len(fraction)
	}
	return frame.Figure(share.Pct(q.batch).Fixed(decimals), decimals)
}

// row makes a line. Its share is the sum of all that stands at its place in the recipe.
func (q *ask) row(f *frame.Opened, line formula.Line, path edit.Path, shares []formula.Share) row {
	r := row{Path: path, ID: line.Ingredient, Slot: line.Slot, Rest: line.Rest, line: line}
	r.Written, _ = f.Text(path.Then("amount"))
	if sheet := q.v.Workshop().Sheets[line.Ingredient]; sheet != nil {
		r.Name = sheet.Name
	}
	for _, s := range shares {
		if s.Pos == line.Pos {
			r.share = r.share.Add(s.Pct)
		}
	}
	r.In, r.G = pct(r.share), q.grams(r.share)
	return r
}

// fills lists what each variant puts into the slot of a line.
func (q *ask) fills(f *frame.Opened, p *workshop.Product, line formula.Line, shares []formula.Share) []fill {
	if !f.Has(edit.Path{"variants"}) {
		return nil
	}
	var list []fill
	add := func(x fill, at edit.Path) {
		x.Path = at.Then("fill", line.Slot)
		x.Key = strings.Join(x.Path, "-")
		switch {
		case f.Len(x.Path) > 0:
			for i := range f.Len(x.Path) {
				id, _ := f.Text(x.Path.At(i).Then("ingredient"))
				share, _ := f.Text(x.Path.At(i).Then("share"))
				x.Parts = append(x.Parts, part{Name: q.names.Name(id), Path: x.Path.At(i).Then("ingredient"),
					SharePath: x.Path.At(i).Then("share"), Share: share, Key: x.Key + fmt.Sprint(i)})
			}
		default:
			id, _ := f.Text(x.Path)
			name := ""
			if sheet := q.v.Workshop().Sheets[id]; sheet != nil {
				name = sheet.Name
			}
			x.Parts = []part{{Name: name, Path: x.Path, Key: x.Key}}
		}
		list = append(list, x)
	}
	for i, variant := range p.Variants {
		at := edit.Path{"variants"}.At(i)
		x := fill{Variant: frame.VariantShort(p, variant), Here: variant.ID == q.variant.ID}
		if len(variant.Portions) == 0 || f.Has(at.Then("fill", line.Slot)) {
			add(x, at)
		}
		for j, portion := range variant.Portions {
			x.Portion = strings.TrimSpace(portion.Name + " " + portion.SharePct.String() + " %")
			add(x, at.Then("portions").At(j))
		}
	}
	for i := range list {
		for j := range list[i].Parts {
			q.filled(&list[i], &list[i].Parts[j], line, shares)
		}
	}
	return list
}

// filled gives a filling of the variant shown its figures.
func (q *ask) filled(x *fill, pt *part, line formula.Line, shares []formula.Share) {
	if !x.Here || x.Portion != "" || pt.Name == "" {
		return
	}
	sum := exact.Num{}
	for _, s := range shares {
		if s.Pos == line.Pos && q.names.Name(s.Ingredient) == q.names.Name(idOf(q, pt.Name)) {
			sum = sum.Add(s.Pct)
		}
	}
	pt.In, pt.G = pct(sum), q.grams(sum)
}

func idOf(q *ask, name string) string {
	id, err := materialID(q.v.Workshop(), name)
	if err != nil {
		return name
	}
	return id
}

// additions lists what the variant shown adds after 100 parts.
func (q *ask) additions(f *frame.Opened, p *workshop.Product, v *view, shares []formula.Share, n int) {
	for i, variant := range p.Variants {
		if variant.ID != q.variant.ID || !f.Has(edit.Path{"variants"}) {
			continue
		}
		at := edit.Path{"variants"}.At(i)
		v.VariantPath = at.String()
		for j, a := range variant.ThenAdd {
			r := row{Key: fmt.Sprintf("add-%d", j), N: n + j, Path: at.Then("then_add").At(j), ID: a.Ingredient,
				Name: q.names.Name(a.Ingredient)}
			r.Written, _ = f.Text(r.Path.Then("parts_per_100"))
			for _, s := range shares {
				if s.Added && s.Ingredient == a.Ingredient {
					r.share = r.share.Add(s.Pct)
				}
			}
			r.In, r.G = pct(r.share), q.grams(r.share)
			v.Adds = append(v.Adds, r)
			v.Added = true
		}
	}
}

// again puts what was typed back into the cells of a grid that could not be written, and says
// at each what is wrong with it.
func (v *view) again(visit *frame.Visit, err error) {
	if err == nil {
		return
	}
	cell := func(path edit.Path, value, wrong *string) {
		if typed, sent := visit.Typed(path.String()); sent {
			*value = typed
		}
		*wrong = frame.WrongAt(err, path.String())
	}
	for i := range v.Phases {
		ph := &v.Phases[i]
		cell(ph.Path.Then("name"), &ph.Name, &ph.NameWrong)
		cell(ph.Path.Then("heat_c"), &ph.Heat, &ph.HeatWrong)
		for j := range ph.Lines {
			r := &ph.Lines[j]
			if r.Rest {
				r.Written = "q.s."
			}
			cell(r.Path.Then("amount"), &r.Written, &r.WrittenWrong)
			cell(r.Path.Then("ingredient"), &r.Name, &r.NameWrong)
			r.Rest = r.Rest && r.Written == "q.s."
			for _, x := range r.Fills {
				for k := range x.Parts {
					p := &x.Parts[k]
					cell(p.Path, &p.Name, &p.NameWrong)
					if p.SharePath != nil {
						cell(p.SharePath, &p.Share, &p.ShareWrong)
					}
				}
			}
		}
	}
	for i := range v.Adds {
		r := &v.Adds[i]
		cell(r.Path.Then("parts_per_100"), &r.Written, &r.WrittenWrong)
		cell(r.Path.Then("ingredient"), &r.Name, &r.NameWrong)
	}
}

// label is what the grid calls the field of a value.
func label(p edit.Path) string {
	if len(p) == 0 {
		return ""
	}
	names := map[string]string{"amount": "Written", "share": "Share", "heat_c": "Heat to", "name": "Name of the phase",
		"parts_per_100": "Parts to 100", "ingredient": "Raw material"}
	return names[p[len(p)-1]]
}
