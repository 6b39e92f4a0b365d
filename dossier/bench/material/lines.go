package material

import (
	"fmt"
	"net/url"
	"slices"
	"strings"
	"unicode"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit"
	"gallipot/dossier/edit/history"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/pattern"
)

// add writes a new row: a substance, an impurity, a line of the certificate.
func add(v *frame.Visit) error {
	sheet, form, err := of(v)
	if err != nil {
		return err
	}
	if err := addTo(v, sheet, form); refusable(v, err) {
		return showAgain(v, sheet, form, refusal{added: err, what: v.Field("what"), sent: v.Field})
	} else if err != nil {
		return err
	}
	return nil
}

func addTo(v *frame.Visit, sheet *ingredients.Sheet, form frame.Form) error {
	f, err := v.Base(form)
	if err != nil {
		return err
	}
	if form.Label, err = fieldNames(); err != nil {
		return err
	}
	name, cas, amount := v.Field("name"), v.Field("cas"), v.Field("amount")
	if name == "" || amount == "" {
		return frame.Wrong("A name and a content are needed.",
			"Write both; a content may be a range such as 10-15.")
	}
	if _, err := exact.ParseAmount(amount); err != nil && v.Field("what") != "limit" {
		return err
	}
	label := history.Label{Thing: "new line in " + sheet.Name, New: name}
	var e edit.Edit
	switch v.Field("what") {
	case "constituent":
		e = edit.Insert(edit.Path{"composition", "constituents", "-"}, constituent(name, cas, v.Field("ec"),
			amount))
		if !f.Has(edit.Path{"composition"}) {
			e = edit.Set(edit.Path{"composition"}, edit.Group().With("complete", edit.Typed("false")).
				With("constituents", edit.List(constituent(name, cas, v.Field("ec"), amount))))
		}
	case "impurity":
		value := edit.Group().With("name", edit.Text(name))
		if cas != "" {
			value = value.With("cas", edit.Typed(cas))
		}
		e = edit.Insert(edit.Path{"impurities", "-"}, value.With("amount", edit.Typed(amount)))
	case "limit":
		edits, err := certificate(v, f, name, amount)
		if err != nil {
			return err
		}
		return v.SaveEdits(form, f, label, edits, nil)
	default:
		return frame.Wrong("That button is not known.", "Load the page anew.")
	}
	return v.SaveEdits(form, f, label, []edit.Edit{e}, nil)
}

// certificate adds categories with their limits, which stand in the same order, to the certificate
// of a fragrance; the first of them begin it.
func certificate(v *frame.Visit, f *frame.Opened, categories, limits string) (edits []edit.Edit, err error) {
	row := func(s string) []string {
		return strings.FieldsFunc(s, func(r rune) bool { return r == ';' || unicode.IsSpace(r) })
	}
	keys, values := row(strings.ToUpper(categories)), row(limits)
	if strings.EqualFold(limits, "not permitted") || strings.EqualFold(limits, "no limit") {
		values = []string{strings.ToLower(limits)}
	}
	if len(keys) != len(values) {
		return nil, frame.Wrong(fmt.Sprintf("Categories typed: %d; figures: %d.", len(keys), len(values)),
			"Write one figure for each category, in the same order, with blanks between them.")
	}
	if f.Has(edit.Path{"fragrance_limits"}) {
		for i, k := range keys {
			edits = append(edits, edit.Set(edit.Path{"fragrance_limits", "max_pct", k}, edit.Typed(values[i])))
		}
		return edits, nil
	}
	if v.Field("amendment") == "" {
		return nil, frame.Wrong("Which amendment the certificate is to is not stated.",
			"It stands on the certificate, as a number.")
	}
	group := edit.Group().With("amendment", edit.Typed(v.Field("amendment")))
	if dated := v.Field("dated"); dated != "" {
		group = group.With("dated", edit.Typed(dated))
	}
	most := edit.Group()
	for i, k := range keys {
		most = most.With(k, edit.Typed(values[i]))
	}
	return append(edits, edit.Set(edit.Path{"fragrance_limits"}, group.With("max_pct", most))), nil
}

func constituent(name, cas, ec, pct string) edit.Value {
	value := edit.Group().With("inci", edit.Text(name))
	if cas != "" {
		value = value.With("cas", edit.Typed(cas))
	}
	if ec != "" {
		value = value.With("ec", edit.Typed(ec))
	}
	return value.With("pct", edit.Typed(pct))
}

// pasted is a table that was pasted, as it was read.
type pasted struct {
	Text  string
	Lines []pastedLine
	Bad   []string // what was not understood
	Rest  []string // what fills up to 100, so that its content is not stated
	Set   int      // names set to their label form
}

type pastedLine struct{ Name, From, CAS, EC, Pct string }

var (
	casForm = pattern.New(`\b[1-9][0-9]{1,6}-[0-9]{2}-[0-9]\b`)
	ecForm  = pattern.New(`\b[1-9][0-9]{2}-[0-9]{3}-[0-9]\b`)
	// what fills up to 100: "rest to 100", "ad 100", "q.s. 100", "balance"
	restForm = pattern.New(`(?i)(?:\b(?:rest|remainder|balance)\b|` +
		`\b(?:q\.?\s?s\.?|ad|make up)\s*(?:to\s*)?100\b|[a-z)\t]\s*\bto\s+100)` +
		`\s*(?:to\s*100)?\s*%?\s*$`)
	pctForm = pattern.New(`(?i)(?:[<>≤≥]=?\s*)?[0-9]+(?:[.,][0-9]+)?(?:\s*(?:-|–|to|bis)\s*[0-9]+(?:[.,][0-9]+)?)?\s*(?:%|ppm|mg/kg)?|q\.?s\.?`)
)

// paste reads lines from a spreadsheet, a PDF or a mail. They are shown first, and go into
// the table when that is asked for.
func paste(v *frame.Visit) error {
	sheet, form, err := of(v)
	if err != nil {
		return err
	}
	f, err := v.Base(form)
	if err != nil {
		return err
	}
	from := readPasted(v, v.R.PostForm.Get("table"))
	if v.Field("take") == "" || len(from.Lines) == 0 {
		return showWith(v, sheet, f, form, refusal{paste: from})
	}
	if form.Label, err = fieldNames(); err != nil {
		return err
	}
	var values []edit.Value
	for _, l := range from.Lines {
		values = append(values, constituent(l.Name, l.CAS, l.EC, l.Pct))
	}
	var edits []edit.Edit
	at := edit.Path{"composition", "constituents"}
	switch {
	case !f.Has(edit.Path{"composition"}):
		edits = append(edits, edit.Set(edit.Path{"composition"}, edit.Group().With("complete", edit.Typed("false")).
			With("constituents", edit.List(values...))))
	case !f.Has(at):
		edits = append(edits, edit.Set(at, edit.List(values...)))
	default:
		for _, value := range values {
			edits = append(edits, edit.Insert(at.Then("-"), value))
		}
	}
	err = v.SaveEdits(form, f, history.Label{Thing: "table of " + sheet.Name, New: "lines pasted"}, edits, nil)
	if refusable(v, err) {
		return showWith(v, sheet, f, form, refusal{paste: from, added: err, what: "paste", sent: v.Field})
	}
	return err
}

// readPasted cuts each line into name, numbers and content. A number whose decimal sign is a
// comma is taken with a point; what has no content is not understood, and said.
func readPasted(v *frame.Visit, text string) pasted {
	p := pasted{Text: text}
	dict := v.Shot.Options.Law.Dictionary()
	for _, raw := range strings.Split(strings.ReplaceAll(text, "\r", ""), "\n") {
		s := strings.TrimSpace(raw)
		if s == "" {
			continue
		}
		l := pastedLine{CAS: casForm.FindString(s)}
		s = strings.Replace(s, l.CAS, "\t", 1)
		l.EC = ecForm.FindString(s)
		s = strings.Replace(s, l.EC, "\t", 1)
		if cut := restForm.FindStringIndex(s); cut != nil { // what fills up is no content of that figure
			p.Rest = append(p.Rest, strings.TrimSpace(raw))
			continue
		}
		hits := pctForm.FindAllStringIndex(s, -1)
		if len(hits) == 0 {
			p.Bad = append(p.Bad, strings.TrimSpace(raw))
			continue
		}
		last := hits[len(hits)-1]
		l.Pct = cleanPct(s[last[0]:last[1]])
		l.From = strings.Trim(strings.Join(strings.Fields(strings.NewReplacer("\t", " ", ";", " ", "|", " ").
			Replace(s[:last[0]])), " "), " ,:")
		if _, err := exact.ParseAmount(l.Pct); err != nil || l.From == "" {
			p.Bad = append(p.Bad, strings.TrimSpace(raw))
			continue
		}
		l.Name = l.From
		if sub := dict.Lookup(l.From); sub != nil && sub.INCI != l.From {
			l.Name = sub.INCI
			p.Set++
		}
		p.Lines = append(p.Lines, l)
	}
	return p
}

var (
	aroundDash = pattern.New(`\s*-\s*`)
	behindSign = pattern.New(`^([<>]=?)\s+`)
)

func cleanPct(s string) string {
	s = strings.NewReplacer("–", "-", " to ", "-", " bis ", "-", "≤", "<=", "≥", ">=").
		Replace(strings.TrimSpace(s))
	s = strings.ReplaceAll(s, ",", ".")
	s = strings.TrimSpace(strings.TrimSuffix(s, "%"))
	s = aroundDash.ReplaceAllString(s, "-")
	return behindSign.ReplaceAllString(s, "$1")
}

// Most hits of a search for a name.
const mostHits = 8

// beginning are the first names of a list that begin with a text in small letters.
func beginning(list []string, text string, most int) (found []string) {
	for _, name := range list {
		if len(found) == most {
			break
		}
		if len(name) >= len(text) && strings.EqualFold(name[:len(text)], text) {
			found = append(found, name)
		}
	}
	return found
}

// seek finds substances by a part of their name or number.
func seek(v *frame.Visit) error {
	q := strings.ToLower(v.Field("q"))
	if len(q) < 2 {
		return v.JSON(frame.Answer{Out: map[string]frame.HTML{"hits": ""}})
	}
	dict := v.Shot.Options.Law.Dictionary()
	var starts, holds []string
	for _, name := range dict.All() {
		low := strings.ToLower(name)
		switch {
		case strings.HasPrefix(low, q):
			starts = append(starts, name)
		case strings.Contains(low, q):
			holds = append(holds, name)
		}
	}
	for _, s := range dict.ByCAS(v.Field("q")) {
		starts = append(starts, s.INCI)
	}
	if s := dict.Lookup(v.Field("q")); s != nil {
		starts = slices.Insert(starts, 0, s.INCI)
	}
	if len(starts) < mostHits && len(q) > 3 {
		for _, name := range beginning(dict.Names().Inventory().Names(), q, mostHits-len(starts)) {
			starts = append(starts, dict.Canonical(name)) // as a label has it
		}
	}
	for _, near := range dict.Names().Nearest(v.Field("q"), mostHits) { // of the whole inventory
		holds = append(holds, near.Name)
	}
	type hit struct{ Name, CAS, EC, Fill string }
	var hits []hit
	for _, name := range slices.Concat(starts, holds) {
		if len(hits) == mostHits {
			break
		}
		if slices.ContainsFunc(hits, func(h hit) bool { return h.Name == name }) {
			continue
		}
		h := hit{Name: name}
		if s := dict.Lookup(name); s != nil {
			if len(s.CAS) == 1 { // several: the paper has to say which
				h.CAS = s.CAS[0]
			}
			if len(s.EC) == 1 {
				h.EC = s.EC[0]
			}
		}
		h.Fill = `[["cas","` + h.CAS + `"],["ec","` + h.EC + `"]]`
		hits = append(hits, h)
	}
	html, err := v.Part("substancehits", map[string]any{"Hits": hits, "Typed": v.Field("q")})
	if err != nil {
		return err
	}
	return v.JSON(frame.Answer{Out: map[string]frame.HTML{"hits": html}})
}

// newMaterial is what the page of a new material asks for.
type newMaterial struct {
	Name, Supplier, Kind, INCI, CAS, Pct string
	Error, At                            string // what is wrong, and the field at which it stands
}

// Is says whether it is wrong at a field, for the template.
func (n newMaterial) Is(field string) bool { return n.Error != "" && n.At == field }

// newPage asks for what a sheet cannot be without.
func newPage(v *frame.Visit) error { return showNew(v, newMaterial{Kind: "inci"}) }

func showNew(v *frame.Visit, n newMaterial) error {
	return v.Show(frame.Page{Title: "A new material", Place: "materials", Crumb: &frame.Link{Href: "/materials",
		Text: "Materials"}, Template: "newmaterial", Data: n, Refused: n.Error != ""})
}

var noWord = pattern.New(`[^a-z0-9]+`)

// makeNew writes the sheet of a new material. What is not stated is asked for and never
// taken as nothing: a list that does not come to 100 % is not complete.
func makeNew(v *frame.Visit) error {
	n := newMaterial{Name: v.Field("name"), Supplier: v.Field("supplier"), Kind: v.Field("kind"),
		INCI: v.Field("inci"), CAS: v.Field("cas"), Pct: v.Field("pct")}
	id := strings.Trim(noWord.ReplaceAllString(strings.ToLower(n.Name), "-"), "-")
	pct, bad := exact.ParseAmount(n.Pct)
	scent := n.Kind == "parfum" || n.Kind == "aroma"
	switch {
	case id == "":
		n.At, n.Error = "name", "The material needs a name with letters in it."
	case n.Supplier == "":
		n.At, n.Error = "supplier", "Who sells it is needed: papers are asked of the supplier."
	case !frame.FreeName(v, "ingredients", id):
		n.At = "name"
		n.Error = "There is a material of that name. Give this one another, such as with the supplier behind it."
	case !scent && n.INCI == "":
		n.At, n.Error = "new-name", "What it is, or what most of it is, is needed. The rest is added on its page."
	case n.INCI != "" && bad != nil:
		n.At, n.Error = "pct", "How much of it that is is a figure or a range in %, such as 100 or 50-55."
	}
	if n.Error != "" {
		return showNew(v, n)
	}
	f, err := edit.Parse("ingredients/"+id+".yaml", nil)
	if err != nil {
		return err
	}
	if !scent {
		n.Kind = "inci"
	}
	edits := []edit.Edit{edit.Set(edit.Path{"id"}, edit.Text(id)),
		edit.Set(edit.Path{"name"}, edit.Text(n.Name)),
		edit.Set(edit.Path{"supplier"}, edit.Group().
			With("name", edit.Text(n.Supplier))), edit.Set(edit.Path{"label_as"}, edit.Typed(n.Kind))}
	if n.INCI != "" {
		complete := "false"
		if pct.Min.Equal(exact.Int(100)) {
			complete = "true"
		}
		edits = append(edits, edit.Set(edit.Path{"composition"}, edit.Group().
			With("complete", edit.Typed(complete))),
			edit.Insert(edit.Path{"composition", "constituents", "-"}, constituent(n.INCI, n.CAS, "", n.Pct)))
	}
	g, err := f.Apply(edits...)
	if err != nil {
		return err
	}
	return v.SaveFiles(history.Label{Thing: "new material", New: n.Name, Place: "/materials"},
		"/material/"+url.PathEscape(id),
		history.Change{Name: "ingredients/" + id + ".yaml", Data: g.Bytes()})
}
