// Package grid is the formula of a product as a grid with live figures: what is written,
// what that is in a variant, the mass for a batch, how far each line may go and why, and
// beside it what it all comes to.
//
// While a reader types, the figures are computed from the file as it would be; what only
// reading everything can tell (open points, headroom of the other lines) is grey until the
// value is kept. Headroom is said in the unit of the line: the tightest over all variants,
// portions and markets, cut down, never up.
package grid

import (
	"embed"
	"fmt"
	"net/url"
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/headroom"
	"gallipot/calc/law/rows"
	"gallipot/dossier/assess"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit"
	"gallipot/dossier/weigh"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

//go:embed *.html
var templates embed.FS

// Pages returns the table of these pages.
func Pages() frame.Set {
	return frame.Set{Templates: templates, Routes: []frame.Route{
		{Pattern: "GET /product/{id}/formula", Do: show},
		{Pattern: "POST /product/{id}/formula", Do: save},
		{Pattern: "POST /product/{id}/formula/live", Do: live},
		{Pattern: "POST /product/{id}/formula/add", Do: add},
		{Pattern: "GET /product/{id}/trial", Do: show},
		{Pattern: "POST /product/{id}/trial", Do: save},
		{Pattern: "POST /product/{id}/trial/live", Do: live},
		{Pattern: "POST /product/{id}/trial/add", Do: add},
		{Pattern: "POST /product/{id}/trial/back", Do: takeBack},
		{Pattern: "POST /product/{id}/trial/keep", Do: keepTrial},
		{Pattern: "POST /product/{id}/trial/drop", Do: dropTrial},
	}}
}

// ask is what a page of the grid is about.
type ask struct {
	v       *frame.Visit
	p       *workshop.Product
	a       *assess.Assessment
	form    frame.Form
	names   frame.Namer
	variant *formula.Variant
	market  rows.Market
	batch   exact.Num // g
	massed  string    // the batch as typed
	heads   map[*calc.Result][]headroom.Headroom
	trial   bool
	filed   *assess.Assessment // of a trial: what stands in the file
}

// asked reads product, variant, market and batch of a request.
func asked(v *frame.Visit) (*ask, error) {
	p := v.Workshop().Product(v.R.PathValue("id"))
	if p == nil {
		return nil, frame.NoPage("product " + v.R.PathValue("id"))
	}
	q := &ask{v: v, p: p, names: v.Names(), massed: v.Field("batch")}
	q.form = frame.Form{File: p.Source.Name, Trial: strings.Contains(v.R.URL.Path, "/trial"), Order: order,
		Thing: q.thing, Pick: q.pick, Chosen: q.names.Name, Label: label, Back: q.address()}
	if len(v.Workshop().Computable([]*workshop.Product{p})) == 0 {
		return nil, v.NotComputed(p)
	}
	q.a = v.Shot.Assess(p)
	if q.trial = strings.Contains(v.R.URL.Path, "/trial"); q.trial {
		if err := q.openTrial(); err != nil {
			return nil, err
		}
	}
	q.choose(q.p)
	if q.massed == "" {
		q.massed = "1 kg"
	}
	mass, err := weigh.ParseMass(q.massed)
	if err != nil {
		q.massed, mass = "1 kg", exact.Int(1000)
	}
	q.batch = mass
	q.form.Back = q.address()
	return q, nil
}

// choose takes variant and market as asked for, else the first.
func (q *ask) choose(p *workshop.Product) {
	q.variant = p.Variants[0]
	for _, x := range p.Variants {
		if x.ID == q.v.Field("variant") {
			q.variant = x
		}
	}
	if len(q.a.Markets) > 0 {
		q.market = q.a.Markets[0]
	}
	if m := rows.Market(q.v.Field("market")); slices.Contains(q.a.Markets, m) {
		q.market = m
	}
}

// address returns the page with its choices.
func (q *ask) address() string {
	u := url.Values{}
	if q.variant != nil && q.variant.ID != "" {
		u.Set("variant", q.variant.ID)
	}
	if q.market != "" {
		u.Set("market", string(q.market))
	}
	if q.massed != "" {
		u.Set("batch", q.massed)
	}
	return q.page() + "?" + u.Encode()
}

// page is the address of the grid, or of the grid of a trial.
func (q *ask) page() string {
	if q.trial {
		return "/product/" + url.PathEscape(q.p.ID) + "/trial"
	}
	return "/product/" + url.PathEscape(q.p.ID) + "/formula"
}

// order is the preferred order of keys in a product file.
func order(p edit.Path) []string {
	switch strings.Join(p, "/") {
	case "formula/phases/*":
		return []string{"id", "name", "heat_c", "lines"}
	case "formula/phases/*/lines/*":
		return []string{"ingredient", "slot", "amount"}
	case "variants/*":
		return []string{"id", "name", "fill", "portions", "then_add"}
	}
	return nil
}

// pick turns the name of a material into its id.
func (q *ask) pick(_ edit.Path, typed string) (edit.Value, string, error) {
	id, err := materialID(q.v.Workshop(), typed)
	return edit.Typed(id), id, err
}

// materialID finds a material by its name, by a part of it that no other has, or by its id.
func materialID(w *workshop.Workshop, typed string) (string, error) {
	fits := frame.Materials(w, typed)
	switch {
	case len(fits) == 1:
		return fits[0].ID, nil
	case len(fits) > 1 && fits[0].Whole:
		return "", frame.Wrong("Several materials are called "+typed+".",
			"Give one of them another name on its page.")
	case len(fits) > 1:
		var list []string
		for _, m := range fits {
			list = append(list, m.Name)
		}
		return "", frame.Wrong("Several materials have “"+typed+"” in their name.",
			"Choose one: "+strings.Join(list, "; ")+".")
	}
	var names []string
	for _, id := range w.SheetIDs() {
		names = append(names, w.Sheets[id].Name)
	}
	fix := "Choose one from the list, or enter it under Materials first."
	if near := source.Nearest(typed, names); near != "" {
		fix = "Did you mean " + near + "? " + fix
	}
	return "", frame.Wrong("There is no material called "+typed+".", fix)
}

// thing names a place of the file for the undo list.
func (q *ask) thing(path edit.Path) string {
	if len(path) >= 5 && path[0] == "formula" && path[3] == "lines" {
		data, _, err := q.v.Store.Read(q.form.File)
		if err != nil {
			return ""
		}
		f, err := edit.Parse(q.form.File, data)
		if err != nil {
			return ""
		}
		if id, ok := f.Text(path[:5].Then("ingredient")); ok {
			return q.names.Name(id)
		}
		if slot, ok := f.Text(path[:5].Then("slot")); ok {
			return slot
		}
	}
	if len(path) >= 3 && path[0] == "variants" {
		return strings.ReplaceAll(path[len(path)-1], "_", " ") + " of " + q.variantAt(path[1])
	}
	return ""
}

func (q *ask) variantAt(index string) string {
	for i, x := range q.p.Variants {
		if fmt.Sprint(i) == index {
			return frame.VariantName(q.p, x)
		}
	}
	return "the variant"
}

func show(v *frame.Visit) error { return showWith(v, typedAdd{}, nil) }

// showWith shows the page with an addition that could not be taken, or with cells that could
// not be written, and why.
func showWith(v *frame.Visit, wrong typedAdd, unwritten error) error {
	q, err := asked(v)
	if err != nil {
		return err
	}
	f, err := v.OpenFile(q.form)
	if err != nil {
		return err
	}
	view := q.view(f, q.p, q.a.Results)
	q.judge(view, q.a)
	view.again(v, unwritten)
	refused := wrong.err != nil || unwritten != nil
	panel := q.panel(q.p, q.a.Results, v.Field("focus"))
	panel.Counts = q.counts(q.a)
	data := map[string]any{"View": view, "Panel": panel, "Base": f.Hash, "Q": q, "ID": q.p.ID, "Add": wrong,
		"Materials": materials(v.Workshop()),
		"Variants":  q.variantLinks(), "Markets": q.marketLinks(), "Massed": q.massed,
		"Variant": q.variant.ID, "Market": q.market, "ReadOnly": v.Site.ReadOnly, "Page": q.page()}
	if unwritten != nil {
		data["Trouble"] = frame.TroubleOf(unwritten)
	}
	if q.trial {
		trial, err := q.compared(f)
		if err != nil {
			return err
		}
		data["Trial"] = trial
		page := frame.ProductPage(v, q.p, q.filed, "", frame.Page{Template: "grid", Data: data, Refused: refused})
		page.Title, page.Acts = "What if: "+q.p.Name, nil
		return v.Show(page)
	}
	return v.Show(frame.ProductPage(v, q.p, q.a, "formula", frame.Page{Template: "grid", Data: data,
		Refused: refused}))
}

func (q *ask) counts(a *assess.Assessment) finding.Counts { return finding.Count(q.v.Open(a)) }

// option is a material to choose.
type option struct{ Name, More string }

func materials(w *workshop.Workshop) []option {
	var list []option
	for _, id := range w.SheetIDs() {
		sheet := w.Sheets[id]
		var inci []string
		for _, c := range sheet.Composition.Constituents {
			inci = append(inci, c.INCI)
		}
		more := strings.Join(inci, ", ")
		if r := []rune(more); len(r) > 60 {
			more = string(r[:60]) + "…"
		}
		list = append(list, option{sheet.Name, more})
	}
	slices.SortFunc(list, func(a, b option) int { return strings.Compare(a.Name, b.Name) })
	return list
}

// choice is a variant or market to choose.
type choice struct {
	Value, Text string
	Here        bool
}

func (q *ask) variantLinks() []choice {
	if len(q.p.Variants) < 2 {
		return nil
	}
	var list []choice
	for _, x := range q.p.Variants {
		list = append(list, choice{x.ID, frame.VariantShort(q.p, x), x == q.variant})
	}
	return list
}

func (q *ask) marketLinks() []choice {
	var list []choice
	for _, m := range q.a.Markets {
		list = append(list, choice{string(m), string(m), m == q.market})
	}
	return list
}

// save writes what was typed and answers with all figures anew.
func save(v *frame.Visit) error {
	q, err := asked(v)
	if err != nil {
		return err
	}
	q.form.Again = func(err error) error { return showWith(v, typedAdd{}, err) }
	return v.SaveForm(q.form, func(now *frame.Opened) (frame.Answer, error) {
		q, err := asked(v) // the workshop as it is after saving
		if err != nil {
			return frame.Answer{}, err
		}
		view := q.view(now, q.p, q.a.Results)
		q.judge(view, q.a)
		panel := q.panel(q.p, q.a.Results, v.Field("focus"))
		panel.Counts = q.counts(q.a)
		a, err := q.answer(view, panel, true)
		if n := panel.Counts.Stop + panel.Counts.Ask; n > 0 && !q.trial {
			a.Out["open-count"] = frame.Escape(frame.Number(n))
		}
		if err == nil && q.trial {
			var trial *trialView
			if trial, err = q.compared(now); err == nil {
				a.Out["trial"], err = v.Part("trialpart", map[string]any{"Trial": trial, "Page": q.page(),
					"Base": now.Hash})
			}
		}
		return a, err
	})
}

// live answers what a value comes to while it is typed. Nothing is written.
func live(v *frame.Visit) error {
	done, ok := v.Turn()
	if !ok {
		return nil
	}
	defer done()
	q, err := asked(v)
	if err != nil {
		return err
	}
	f, err := v.Base(q.form)
	if err != nil {
		return err
	}
	q.form.Thing = nil // nothing is undone by it
	edits, _, err := v.Edits(q.form, f)
	if err != nil {
		return err
	}
	g, err := f.Changed(edits)
	if err != nil {
		return err
	}
	p, results, findings := v.Shot.Figures(q.a, g.Bytes())
	if results == nil {
		return v.JSON(q.cannot(findings))
	}
	id := q.variant.ID
	q.variant = p.Variants[0]
	for _, x := range p.Variants {
		if x.ID == id {
			q.variant = x
		}
	}
	view := q.view(&frame.Opened{File: g, Hash: f.Hash}, p, results)
	panel := q.panel(p, results, v.Field("focus"))
	panel.Typing = len(edits) > 0
	for _, f := range stops(results) {
		panel.Stops = append(panel.Stops, q.names.Tell(f))
	}
	return v.JSONOf(q.answer(view, panel, len(edits) == 0))
}

// cannot words what keeps a value from being computed.
func (q *ask) cannot(findings []finding.Finding) frame.Answer {
	for _, f := range findings {
		if f.Unread || f.Severity == finding.Stop {
			t := q.names.Tell(f)
			return frame.Answer{Error: t.Message, Fix: t.Fix}
		}
	}
	return frame.Answer{Error: "That cannot be computed.", Fix: "Choose a material from the list."}
}

// stops lists what a trial breaks, each cause once with its gravest figures.
func stops(results []*calc.Result) []finding.Finding {
	var fs []finding.Finding
	at := map[string]int{}
	for _, r := range results {
		for _, f := range r.Findings {
			if f.Severity != finding.Stop {
				continue
			}
			i, was := at[f.CauseKey()]
			switch {
			case !was:
				at[f.CauseKey()] = len(fs)
				fs = append(fs, f)
			case f.Grade != nil && fs[i].Grade.Less(*f.Grade):
				fs[i] = f
			}
		}
	}
	return fs
}

// answer fills the output cells. Those of headroom and open points come with whole alone.
func (q *ask) answer(view *view, panel *panel, whole bool) (frame.Answer, error) {
	a := frame.Answer{Out: map[string]frame.HTML{}}
	for _, row := range view.all() {
		a.Out["in-"+row.Key] = row.In
		a.Out["g-"+row.Key] = row.G
		if whole {
			a.Out["up-"+row.Key] = row.Up
			a.Out["why-"+row.Key] = frame.Escape(row.Why)
			a.Out["mark-"+row.Key] = row.Mark
		}
	}
	for _, ph := range view.Phases {
		a.Out["sum-"+ph.Key] = ph.Sum
	}
	a.Out["in-base"], a.Out["g-base"], a.Out["written-base"] = view.BaseIn, view.BaseG, view.Written
	a.Out["in-whole"], a.Out["g-whole"] = view.WholeIn, view.WholeG
	a.Out["rest-base"] = frame.Escape(view.Rest)
	parts := []string{"total", "stops", "focus", "list", "allergens", "limits", "margins"}
	if whole {
		parts = append(parts, "open")
	}
	for _, part := range parts {
		html, err := q.v.Part("panel-"+part, panel)
		if err != nil {
			return a, err
		}
		a.Out["panel-"+part] = html
	}
	a.Say = panel.Say()
	return a, nil
}
