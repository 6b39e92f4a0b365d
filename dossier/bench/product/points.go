package product

import (
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"gallipot/dossier/assess"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit"
	"gallipot/dossier/edit/history"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// point is an open point with the field that settles it, as far as one does.
type point struct {
	frame.Told
	Key   string
	Where string // variants and markets
	Field *field

	Decide frame.Deciding
}

// field is a value of the product's own file.
type field struct {
	Path, Label, Value string
	Suggest            string // what would settle it
	Long               bool
}

// group is who can settle its points.
type group struct {
	Name, More string
	Points     []point
}

func points(v *frame.Visit) error {
	p, a, form, err := of(v)
	if err != nil {
		return err
	}
	f, err := v.OpenFile(form)
	if err != nil {
		return err
	}
	data := map[string]any{"ID": p.ID, "Base": f.Hash, "ReadOnly": v.Site.ReadOnly, "Computed": a != nil}
	if a != nil {
		written := &frame.Decisions{Act: "/product/" + p.ID, ReadOnly: v.Site.ReadOnly,
			Base: history.Hash(p.Source.Bytes)} // as they were counted: a file that changed since is refused
		for i, d := range p.Decisions {
			written.Add(i, d)
		}
		data["Decisions"] = written
		ps := pointsOf(v, p, a, f)
		data["Groups"] = grouped(ps)
		data["Counts"] = finding.Count(v.Open(a))
		data["None"] = len(ps) == 0
		data["Variants"] = byVariant(p, a)
	}
	page := frame.Page{Template: "productpoints", Data: data}
	if !v.Site.ReadOnly {
		page.Acts = []frame.Act{{Link: frame.Link{Href: "/product/" + url.PathEscape(p.ID) + "/pack",
			Text: "Make the pack"}}}
	}
	return v.Show(frame.ProductPage(v, p, a, "points", page))
}

func pointsOf(v *frame.Visit, p *workshop.Product, a *assess.Assessment, f *frame.Opened) []point {
	names := v.Names()
	a = withBatches(v, a)
	var list []point
	for i, x := range a.Findings {
		key := "p" + strconv.Itoa(i)
		q := point{Told: v.Tell(x), Key: key, Where: where(p, x),
			Decide: on(a).Form(x, "/product/"+p.ID+"/decide", key, true)}
		switch {
		case x.Settle != nil && x.Settle.File == p.Source.Name:
			q.Field = settling(f, x, names)
		case x.Settle == nil && len(x.Who) > 0 && !x.IsAsked(finding.RoleMaker): // others decide
		case x.Settle == nil && x.Pos.File == p.Source.Name && !within(f, x.Pos, "formula"): // no amount is named
			q.Field = fieldOf(f, x.Pos, names)
		}
		if q.Field != nil && x.Pos.File == p.Source.Name {
			q.Link = frame.Link{}
		}
		list = append(list, q)
	}
	return list
}

// settling is the field of the line that settles a finding, as far as it holds one value;
// one that is not there yet is empty.
func settling(f *frame.Opened, x finding.Finding, names frame.Namer) *field {
	s := x.Settle
	if s.Pos.Line > 0 {
		y := fieldOf(f, s.Pos, names)
		if y != nil && s.Value != nil && s.Value.Kind == finding.KindNumber {
			y.Suggest = s.Value.Round.Of(s.Value.Low)
		}
		return y
	}
	path := edit.Path(strings.Split(s.Key, "."))
	label, ok := factLabel(path.String())
	switch {
	case ok:
	case x.Pos.File == s.File && within(f, x.Pos, path[0]): // the value that the finding stands at
		return fieldOf(f, x.Pos, names)
	default:
		return nil
	}
	value, _ := f.Text(path)
	return &field{Path: path.String(), Label: label, Value: value, Long: len(value) > 24}
}

// where names the variants and markets of a finding.
func where(p *workshop.Product, f finding.Finding) string {
	var parts, names []string
	for _, x := range p.Variants {
		if frame.Concerns(f, p, x) {
			names = append(names, frame.VariantShort(p, x))
		}
	}
	if len(names) > 0 && len(names) < len(p.Variants) {
		parts = append(parts, "in "+strings.Join(names, ", "))
	}
	if len(f.Markets) > 0 && len(f.Markets) < len(p.Markets) {
		parts = append(parts, strings.Join(f.Markets, ", "))
	}
	return strings.Join(parts, " · ")
}

// within says whether a place is inside what a key of the file holds; one of a list is named
// by its singular.
func within(f *frame.Opened, at exact.Pos, key string) bool {
	path := f.PathAt(at.Line, at.Col)
	return len(path) > 0 && (path[0] == key || path[0] == key+"s") && key != ""
}

// fieldOf finds the value at a place of the file. A line of the formula is settled by its
// amount.
func fieldOf(f *frame.Opened, at exact.Pos, names frame.Namer) *field {
	path := f.PathAt(at.Line, at.Col)
	label := ""
	if len(path) >= 5 && path[0] == "formula" && path[3] == "lines" {
		line := path[:5]
		what, ok := f.Text(line.Then("ingredient"))
		if !ok {
			what, _ = f.Text(line.Then("slot"))
		}
		path, label = line.Then("amount"), names.Name(what)+", written"
	}
	value, ok := f.Text(path)
	if !ok || len(path) == 0 || path[0] == "id" {
		return nil
	}
	if label == "" {
		last := path[len(path)-1]
		if n, err := strconv.Atoi(last); err == nil && len(path) > 1 {
			last = fmt.Sprintf("%s, %d of %d", path[len(path)-2], n+1, f.Len(path[:len(path)-1]))
		}
		label = strings.ReplaceAll(last, "_", " ")
	}
	return &field{Path: path.String(), Label: strings.ToUpper(label[:1]) + label[1:], Value: value,
		Long: len(value) > 24}
}

// grouped sorts points by who can settle them: you, suppliers, others.
func grouped(ps []point) []group {
	groups := []group{{Name: "You can settle these"}, {Name: "Waiting for suppliers"},
		{Name: "For others to decide"}}
	for _, q := range ps {
		i := 0
		asks := func(role finding.Role) bool {
			return slices.ContainsFunc(q.Finding.Who, func(p finding.Party) bool { return p.Role == role })
		}
		switch {
		case len(q.Finding.Who) == 0, asks(finding.RoleMaker):
		case asks(finding.RoleSupplier):
			i = 1
		default:
			i = 2
		}
		groups[i].Points = append(groups[i].Points, q)
	}
	var some []group
	for _, g := range groups {
		if len(g.Points) > 0 {
			some = append(some, g)
		}
	}
	return some
}

type variantState struct {
	Name  string
	Stops int
}

func byVariant(p *workshop.Product, a *assess.Assessment) []variantState {
	if len(p.Variants) < 2 {
		return nil
	}
	var list []variantState
	for _, x := range p.Variants {
		s := variantState{Name: frame.VariantShort(p, x)}
		for _, f := range a.Findings {
			if f.Severity == finding.Stop && frame.Concerns(f, p, x) {
				s.Stops++
			}
		}
		list = append(list, s)
	}
	return list
}

func savePoint(v *frame.Visit) error {
	_, _, form, err := of(v)
	if err != nil {
		return err
	}
	names := v.Names()
	form.Thing = func(path edit.Path) string { return thing(v, form, path, names) }
	return v.SaveForm(form,
		func(*frame.Opened) (frame.Answer, error) { return frame.Answer{Go: form.Back}, nil })
}

// thing names a place for the undo list: a line of the formula by its material.
func thing(v *frame.Visit, form frame.Form, path edit.Path, names frame.Namer) string {
	if len(path) < 5 || path[0] != "formula" {
		return ""
	}
	f, err := v.OpenFile(form)
	if err != nil {
		return ""
	}
	if id, ok := f.Text(path[:5].Then("ingredient")); ok {
		return names.Name(id)
	}
	slot, _ := f.Text(path[:5].Then("slot"))
	return slot
}

// attempt is a product with what is typed into a form, computed and written nowhere.
type attempt struct {
	before, after *assess.Assessment // after: nil where it cannot be read
	findings      []finding.Finding  // of reading it
	typed         bool               // something differs from the file
}

func tryOut(v *frame.Visit) (x attempt, err error) {
	p, a, form, err := computed(v)
	if err != nil {
		return x, err
	}
	f, err := v.Base(form)
	if err != nil {
		return x, err
	}
	edits, _, err := v.Edits(form, f)
	if err != nil {
		return x, err
	}
	g, err := f.Changed(edits)
	if err != nil {
		return x, err
	}
	x.before, x.typed = a, len(edits) > 0
	x.after, x.findings = v.Shot.Trial(p.Source.Name, g.Bytes())
	return x, nil
}

// livePoint says whether what is typed settles the point, and what else it changes.
func livePoint(v *frame.Visit) error {
	done, ok := v.Turn()
	if !ok {
		return nil
	}
	defer done()
	x, err := tryOut(v)
	if err != nil {
		return err
	}
	names := v.Names()
	if x.after == nil {
		for _, f := range x.findings {
			if f.Unread {
				return v.JSON(frame.Answer{Error: names.Message(f), Fix: frame.Sentence(frame.Said(&f).Fix)})
			}
		}
		return v.JSON(frame.Answer{Error: "That cannot be computed.", Fix: "Look at the formula."})
	}
	code, subject := v.Field("code"), v.Field("subject")
	out, err := v.Part("outcome", outcome(x.before, x.after, code, subject, x.typed, names))
	if err != nil {
		return err
	}
	return v.JSON(frame.Answer{Out: map[string]frame.HTML{"out-" + v.Field("key"): out}})
}

// result is what a trial of a field comes to.
type result struct {
	Settled, Typed bool
	Gone, New      []string
	Now            string // the sentence as it would be
}

func outcome(before, after *assess.Assessment, code, subject string, typed bool, names frame.Namer) result {
	r := result{Typed: typed, Settled: true}
	key := func(f finding.Finding) string { return f.Code + "\x00" + f.Subject }
	was, is := map[string]bool{}, map[string]bool{}
	for _, f := range before.Findings {
		was[key(f)] = true
	}
	for _, f := range after.Findings {
		is[key(f)] = true
		if f.Code == code && f.Subject == subject {
			r.Settled, r.Now = false, names.Message(f)
		}
		if !was[key(f)] {
			r.New = append(r.New, frame.KindOf(f)+": "+names.Message(f))
		}
	}
	for _, f := range before.Findings {
		if !is[key(f)] && (f.Code != code || f.Subject != subject) {
			r.Gone = append(r.Gone, names.Message(f))
		}
	}
	return r
}
