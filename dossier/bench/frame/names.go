package frame

import (
	"html/template"
	"regexp"
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// Namer writes sentences for a page: a material is called by its name and not by its id.
type Namer struct {
	names map[string]string // for sentences
	all   map[string]string
	ids   *regexp.Regexp
	files map[string]string // what a file of the workshop is called in a sentence
}

// file finds the files that the maker's values stand in.
var file = regexp.MustCompile(`\b(?:ingredients|products)/[a-z0-9-]+\.ya?ml\b`)

// NamesOf returns the namer of a workshop.
func NamesOf(w *workshop.Workshop) Namer {
	n := Namer{names: map[string]string{}, all: map[string]string{}, files: map[string]string{}}
	var ids []string
	for id, sheet := range w.Sheets {
		if sheet.Name != "" {
			n.all[id] = sheet.Name
			if src := w.SheetSource(id); src != nil {
				n.files[src.Name] = "the sheet of " + sheet.Name
			}
		}
		if strings.ContainsAny(id, "-0123456789") && sheet.Name != "" { // a plain word may mean itself
			n.names[id] = sheet.Name
			ids = append(ids, regexp.QuoteMeta(id))
		}
	}
	for _, p := range w.Products {
		if p.Source != nil && p.Name != "" {
			n.files[p.Source.Name] = "the file of " + p.Name
		}
		if strings.Contains(p.ID, "-") {
			n.names[p.ID] = p.Name
			ids = append(ids, regexp.QuoteMeta(p.ID))
		}
	}
	if len(ids) > 0 {
		slices.SortFunc(ids, func(a, b string) int { return len(b) - len(a) })
		n.ids = regexp.MustCompile(`(^|[\s(,:“"])(` + strings.Join(ids, "|") + `)($|[\s),.;:”"'’\]])`)
	}
	return n
}

// Sentence makes a sentence of a message, with names in place of ids.
func (n Namer) Sentence(s string) string { return sentence(n.Short(s)) }

// Short returns a text with names in place of ids and of the files of sheets and products.
func (n Namer) Short(s string) string {
	s = file.ReplaceAllStringFunc(s, func(name string) string {
		if words := n.files[name]; words != "" {
			return words
		}
		return name
	})
	if n.ids != nil {
		for range 2 { // two ids that share the space between them
			s = n.ids.ReplaceAllStringFunc(s, func(hit string) string {
				m := n.ids.FindStringSubmatch(hit)
				return m[1] + n.names[m[2]] + m[3]
			})
		}
	}
	return s
}

// Name returns the name of a material, or its id where it has none.
func (n Namer) Name(id string) string {
	if name := n.all[id]; name != "" {
		return name
	}
	return id
}

// VariantName returns what a variant is called beside its product: without the name of the
// product in front.
func VariantName(p *workshop.Product, v *formula.Variant) string {
	name := strings.TrimPrefix(v.Name, p.Name)
	name = strings.TrimLeft(name, " ,:–-")
	switch {
	case name == "" && v.ID == "":
		return "the only variant"
	case name == "":
		return v.ID
	}
	return name
}

// VariantShort returns a word or two for a variant, for a narrow place: its id with a capital.
func VariantShort(p *workshop.Product, v *formula.Variant) string {
	if v.ID == "" {
		return "the product"
	}
	s := strings.ReplaceAll(v.ID, "-", " ")
	return strings.ToUpper(s[:1]) + s[1:]
}

// CountsHTML returns counts as marks.
func CountsHTML(c finding.Counts) template.HTML { return counts(c) }
