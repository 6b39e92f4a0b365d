package product

import (
	"regexp"
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit"
	"gallipot/dossier/edit/history"
	"gallipot/ingredients/exact"
)

// kindOf is a row of the product types to choose from.
type kindOf struct{ Key, Name string }

func typesOf(v *frame.Visit) []kindOf {
	var list []kindOf
	for _, t := range law.ProductTypes(v.Shot.Options.Law) {
		list = append(list, kindOf{t.Key, t.Name})
	}
	slices.SortFunc(list, func(a, b kindOf) int { return strings.Compare(a.Name, b.Name) })
	return list
}

type newProduct struct {
	Name, Type, For, Net, First, Error string
	Types                              []kindOf
	Users                              []frame.Choice
	Materials                          []string
}

// users are those that a product can be intended for; the maker states it.
var users = []frame.Choice{{Value: "adults", Text: "adults"}, {Value: "children-3-plus", Text: "children from 3 years"},
	{Value: "under-3", Text: "children under 3"}}

func newPage(v *frame.Visit) error { return showNew(v, newProduct{}) }

func showNew(v *frame.Visit, n newProduct) error {
	n.Types, n.Users = typesOf(v), users
	for _, id := range v.Workshop().SheetIDs() {
		n.Materials = append(n.Materials, v.Workshop().Sheets[id].Name)
	}
	return v.Show(frame.Page{Title: "A new product", Place: "products", Crumb: &frame.Link{Href: "/products",
		Text: "Products"}, Template: "newproduct", Data: n})
}

var noWord = regexp.MustCompile(`[^a-z0-9]+`)

// makeNew writes the file of a new product with its first line.
func makeNew(v *frame.Visit) error {
	n := newProduct{Name: v.Field("name"), Type: v.Field("type"), For: v.Field("for"), Net: v.Field("net"),
		First: v.Field("first")}
	id := strings.Trim(noWord.ReplaceAllString(strings.ToLower(n.Name), "-"), "-")
	first := ""
	for _, s := range v.Workshop().SheetIDs() {
		if strings.EqualFold(v.Workshop().Sheets[s].Name, n.First) {
			first = s
		}
	}
	switch {
	case id == "":
		n.Error = "The product needs a name with letters in it."
	case !frame.FreeName(v, "products", id):
		n.Error = "There is a product of that name. Give this one another."
	case first == "":
		n.Error = "There is no material called " + n.First + ". Choose one from the list."
	}
	if _, ok := law.ProductType(v.Shot.Options.Law, n.Type); !ok && n.Error == "" {
		n.Error = "Choose what kind of product it is: the law and the exposure depend on it."
	}
	if !slices.ContainsFunc(users, func(u frame.Choice) bool { return u.Value == n.For }) && n.Error == "" {
		n.Error = "Choose whom it is intended for: exposure and target depend on it."
	}
	if n.Net != "" && n.Error == "" {
		if _, err := exact.ParseNum(n.Net); err != nil {
			n.Error = "The content of a pack is a figure, such as 100."
		}
	}
	if n.Error != "" {
		return showNew(v, n)
	}
	f, err := edit.Parse("products/"+id+".yaml", nil)
	if err != nil {
		return err
	}
	line := edit.Group().With("ingredient", edit.Typed(first)).With("amount", edit.Typed("q.s."))
	phase := edit.Group().With("id", edit.Text("A")).With("lines", edit.List(line))
	edits := []edit.Edit{
		edit.Set(edit.Path{"id"}, edit.Text(id)), edit.Set(edit.Path{"name"},
			edit.Text(n.Name)), edit.Set(edit.Path{"revision"}, edit.Typed("1")),
		edit.Set(edit.Path{"product_type"}, edit.Typed(n.Type)), edit.Set(edit.Path{"intended_for"},
			edit.Typed(n.For)),
	}
	if n.Net != "" {
		unit := "g"
		if v.Field("unit") == "ml" {
			unit = "ml"
		}
		edits = append(edits, edit.Set(edit.Path{"net_content", unit}, edit.Typed(n.Net)))
	}
	edits = append(edits, edit.Set(edit.Path{"formula"}, edit.Group().With("basis", edit.Typed("percent")).
		With("phases", edit.List(phase))))
	g, err := f.Apply(edits...)
	if err != nil {
		return err
	}
	return v.SaveFiles(history.Label{Thing: "new product", New: n.Name, Place: "/products"},
		"/product/"+id+"/formula",
		history.Change{Name: "products/" + id + ".yaml", Data: g.Bytes()})
}
