package product

import (
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit"
	"gallipot/dossier/edit/history"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/pattern"
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
	Name, Type, For, Net, Unit, First, Error string

	// No material has the name of the first line: it can be made one with these.
	Unknown        bool
	INCI, Supplier string
	Fits           []frame.Material // that what was typed for the first line may mean
	FirstWrong     string
	Types          []kindOf
	Materials      []string
}

func newPage(v *frame.Visit) error { return showNew(v, newProduct{}) }

func showNew(v *frame.Visit, n newProduct) error {
	n.Types = typesOf(v)
	for _, id := range v.Workshop().SheetIDs() {
		n.Materials = append(n.Materials, v.Workshop().Sheets[id].Name)
	}
	return v.Show(frame.Page{Title: "A new product", Place: "products", Crumb: &frame.Link{Href: "/products",
		Text: "Products"}, Template: "newproduct", Data: n, Refused: n.Error != ""})
}

var noWord = pattern.New(`[^a-z0-9]+`)

// makeNew writes the file of a new product with its first line.
func makeNew(v *frame.Visit) error {
	n := newProduct{Name: v.Field("name"), Type: v.Field("type"), For: v.Field("for"), Net: v.Field("net"),
		Unit: v.Field("unit"), First: v.Field("first"), INCI: v.Field("inci"), Supplier: v.Field("supplier")}
	id := strings.Trim(noWord.ReplaceAllString(strings.ToLower(n.Name), "-"), "-")
	first := v.Field("meant") // chosen of those that fit what was typed
	if v.Workshop().Sheets[first] == nil || v.Field("typed") != n.First {
		first = ""
	}
	if first == "" {
		if n.Fits = frame.Materials(v.Workshop(), n.First); len(n.Fits) == 1 && (n.Fits[0].Whole || n.INCI == "") {
			first, n.Fits = n.Fits[0].ID, nil
		}
	}
	made := "" // id of a material that is made with it
	if first == "" && n.First != "" {
		if n.INCI != "" && n.Supplier != "" {
			first = strings.Trim(noWord.ReplaceAllString(strings.ToLower(n.First), "-"), "-")
			made = first
		}
		n.Unknown = len(n.Fits) == 0 || n.INCI != "" || n.Supplier != ""
	}
	switch {
	case id == "":
		n.Error = "The product needs a name with letters in it."
	case !frame.FreeName(v, "products", id):
		n.Error = "There is a product of that name. Give this one another."
	case n.First == "":
		n.Error = "Its first line is missing: choose a material, or write the name of a new one."
	case first == "" && len(n.Fits) > 1:
		n.FirstWrong = "Several materials have “" + n.First + "” in their name. Choose the one you mean."
		n.Error = "The product is not made yet: see its first line."
	case first == "":
		n.Error = "There is no material called " + n.First +
			". Choose one from the list, or say below it what it is and who sells it: then it is made."
	case made != "" && !frame.FreeName(v, "ingredients", made):
		n.Error = "There is a material with a name like " + n.First +
			". Choose it from the list, or give this one another name."
	}
	if _, ok := law.ProductType(v.Shot.Options.Law, n.Type); !ok && n.Error == "" {
		n.Error = "Choose what kind of product it is: the law and the exposure depend on it."
	}
	if n.For == "" && n.Error == "" {
		n.Error = "Choose whom it is intended for: some limits and the exposure depend on it."
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
		if n.Unit == "ml" {
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
	changes := []history.Change{{Name: "products/" + id + ".yaml", Data: g.Bytes()}}
	if made != "" {
		sheet, err := pureOf(made, n)
		if err != nil {
			return err
		}
		changes = append(changes, sheet)
	}
	return v.SaveFiles(history.Label{Thing: "new product", New: n.Name, Place: "/products"},
		"/product/"+id+"/formula", changes...)
}

// pureOf is the sheet of a material that is one substance, such as water or an oil.
func pureOf(id string, n newProduct) (history.Change, error) {
	f, err := edit.Parse("ingredients/"+id+".yaml", nil)
	if err != nil {
		return history.Change{}, err
	}
	g, err := f.Apply(edit.Set(edit.Path{"id"}, edit.Text(id)), edit.Set(edit.Path{"name"}, edit.Text(n.First)),
		edit.Set(edit.Path{"supplier"}, edit.Group().With("name", edit.Text(n.Supplier))),
		edit.Set(edit.Path{"composition"}, edit.Group().With("complete", edit.Typed("true")).
			With("constituents",
				edit.List(edit.Group().With("inci", edit.Text(n.INCI)).With("pct", edit.Typed("100"))))))
	if err != nil {
		return history.Change{}, err
	}
	return history.Change{Name: "ingredients/" + id + ".yaml", Data: g.Bytes()}, nil
}
