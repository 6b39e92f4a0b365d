package bench

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit"
	"gallipot/dossier/store"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/pattern"
	"gallipot/templates"
)

// start is the first page: where shall we work?
func (b *bench) start(v *frame.Visit) error {
	type row struct {
		Dir, Name, When string
		There           bool
	}
	var data struct {
		Before []row
		Papers []string
	}
	data.Papers = b.broughtNames()
	for _, r := range readRecent(b.opt.Base) {
		data.Before = append(data.Before, row{r.Dir, filepath.Base(r.Dir), r.Time.Local().
			Format("2 January 2006, 15:04"), isWorkshop(r.Dir)})
	}
	return v.Show(frame.Page{Title: "Where shall we work?", Template: "first", Data: data})
}

// usual is where new workshops go if no other place is named.
func usual() string {
	home, err := os.UserHomeDir()
	if err != nil {
		return "."
	}
	if docs := filepath.Join(home, "Documents"); isFolder(docs) {
		return docs
	}
	return home
}

func isFolder(dir string) bool {
	info, err := os.Stat(dir)
	return err == nil && info.IsDir()
}

// newWorkshop is what the page of a new workshop asks for.
type newWorkshop struct {
	Name, Address, Country, Division, Folder string
	GB, EU                                   bool
	Persons                                  []person // who answers for the products in each market
	Later                                    bool     // nobody is named yet
	inEU                                     bool     // the maker is
	Error                                    string
	Papers                                   []string // brought along
	Countries                                []frame.Choice
}

// person is the responsible person of a market, as far as named.
type person struct {
	Market, Where, Name, Address, Country string
	Missing                               bool // needed, and not named
	Countries                             []frame.Choice
}

// personsOf are those of the markets, as sent.
func personsOf(v *frame.Visit) []person {
	list := []person{{Market: "GB", Where: "Great Britain"}, {Market: "EU", Where: "the European Union"}}
	for i := range list {
		x := &list[i]
		key := strings.ToLower(x.Market) + "_"
		x.Name, x.Address = v.Field(key+"name"), v.Field(key+"address")
		x.Country = strings.ToUpper(v.Field(key + "country"))
	}
	return list
}

// needed says whether a market needs a responsible person beside the maker: one who is not
// inside it cannot answer for the products there.
func (b *bench) needed(n newWorkshop, market rows.Market) bool {
	if market == rows.GB && !n.GB || market == rows.EU && !n.EU {
		return false
	}
	c, known := law.Country(b.opt.Law, n.Country)
	return !known || !c.Within(market)
}

// lacking marks the persons that are needed and not whole; the words name their markets.
func (b *bench) lacking(n newWorkshop) (where []string) {
	for i := range n.Persons {
		x := &n.Persons[i]
		x.Missing = b.needed(n, rows.Market(x.Market)) && (x.Name == "" || x.Address == "")
		if x.Missing {
			where = append(where, x.Where)
		}
	}
	return where
}

func (b *bench) newPage(v *frame.Visit) error {
	folder := v.Field("at")
	if folder == "" {
		folder = filepath.Join(usual(), "workshop")
	}
	return b.showNew(v, newWorkshop{Country: "GB", GB: true, Division: "0.1", Folder: folder, Persons: personsOf(v)})
}

var twoLetters = pattern.New(`^[A-Z]{2}$`)

// isStep says whether a text is a mass that a scale can tell apart, in g; nothing is none.
func isStep(text string) bool {
	n, err := exact.ParseNum(text)
	return text == "" || err == nil && n.Sign() > 0
}

func (b *bench) showNew(v *frame.Visit, n newWorkshop) error {
	n.Papers = b.broughtNames()
	n.Countries = here(frame.Countries(b.opt.Law, ""), n.Country)
	for i := range n.Persons {
		x := &n.Persons[i]
		x.Countries = here(frame.Countries(b.opt.Law, rows.Market(x.Market)), x.Country)
	}
	return v.Show(frame.Page{Title: "A new workshop",
		Crumb: &frame.Link{Href: "/", Text: "Where shall we work?"}, Template: "new", Data: n, Refused: n.Error != ""})
}

// here marks the choice that is made; one that is not among them stands as it was sent.
func here(list []frame.Choice, value string) []frame.Choice {
	at := slices.IndexFunc(list, func(c frame.Choice) bool { return c.Value == value })
	switch {
	case at >= 0:
		list[at].Here = true
	case value != "":
		list = append(list, frame.Choice{Value: value, Text: value, Here: true})
	}
	return list
}

// outside says whether the responsible person of a market has an address outside it.
func (b *bench) outside(x person) bool {
	c, known := law.Country(b.opt.Law, x.Country)
	return x.Country != "" && (!known || !c.Within(rows.Market(x.Market)))
}

func (b *bench) makeNew(v *frame.Visit) error {
	n := newWorkshop{Name: v.Field("name"), Address: v.Field("address"),
		Country:  strings.ToUpper(v.Field("country")),
		Division: v.Field("division"), Folder: v.Field("folder"), GB: v.Field("gb") != "", EU: v.Field("eu") != "",
		Persons: personsOf(v), Later: v.Field("later") != ""}
	lacking := b.lacking(n)
	switch {
	case n.Name == "" || n.Address == "":
		n.Error = "Name and address are needed: the label and the file have to say who makes the products."
	case !n.GB && !n.EU:
		n.Error = "Choose at least one market: its law decides what is checked."
	case n.Country != "" && !twoLetters.MatchString(n.Country):
		n.Error = "Choose your country from the list."
	case slices.ContainsFunc(n.Persons, b.outside):
		x := n.Persons[slices.IndexFunc(n.Persons, b.outside)]
		n.Error = "The responsible person in " + x.Where + " needs an address inside it: choose a country of the list."
	case len(lacking) > 0 && !n.Later:
		n.Error = "Who is responsible in " + strings.Join(lacking, " and in ") +
			" is not named: you are not inside that market. Name a person or firm there, or say that nobody is named yet."
	case !isStep(n.Division):
		n.Error = "The smallest step of your scale is a mass in g, such as 0.1 or 1: not “" + n.Division + "”."
	case !filepath.IsAbs(n.Folder):
		n.Error = "Name the folder from its beginning, such as " + filepath.Join(usual(), "workshop") + "."
	case isWorkshop(n.Folder):
		n.Error = "That folder is a workshop already. Open it instead, or name another folder."
	}
	if n.Error != "" {
		return b.showNew(v, n)
	}
	n.inEU = n.EU && n.Country != "" && !b.needed(n, rows.EU)
	text, err := workshopText(n)
	if err != nil {
		return err
	}
	for _, folder := range []string{"ingredients", "products", "batches", "evidence"} {
		if err := os.MkdirAll(filepath.Join(n.Folder, folder), 0o755); err != nil {
			return frame.Wrong("The folder cannot be made.", "Name a place where you may write.")
		}
	}
	if err := store.WriteFiles(store.NewFile{Path: filepath.Join(n.Folder, "workshop.yaml"),
		Data: text}); err != nil {
		return err
	}
	return b.enter(v, n.Folder)
}

// workshopText fills the commented starter file with the answers.
func workshopText(n newWorkshop) ([]byte, error) {
	starter, err := fs.ReadFile(templates.Begin(), "workshop.yaml")
	if err != nil {
		return nil, err
	}
	f, err := edit.Parse("workshop.yaml", starter)
	if err != nil {
		return nil, err
	}
	var markets []edit.Value
	address := edit.List(addressLines(n.Address)...)
	edits := []edit.Edit{edit.Set(edit.Path{"maker", "name"}, edit.Text(n.Name)),
		edit.Set(edit.Path{"maker", "address"}, address)}
	if n.Country != "" {
		edits = append(edits, edit.Set(edit.Path{"maker", "country"}, edit.Typed(n.Country)))
	}
	if n.Division != "" {
		edits = append(edits, edit.Set(edit.Path{"balance", "division_g"}, edit.Typed(n.Division)))
	}
	inside := n.Country == "GB"
	if n.GB {
		markets = append(markets, edit.Typed("GB"))
	}
	if n.EU {
		markets = append(markets, edit.Typed("EU"))
	}
	edits = append(edits, edit.Set(edit.Path{"markets"}, edit.List(markets...)))
	edits = append(edits, answerable(n, address, n.GB && inside)...)
	g, err := f.Apply(edits...)
	if err != nil {
		return nil, err
	}
	return g.Bytes(), nil
}

// answerable names who is responsible in each market: whoever was named, else the maker where it
// is inside, until another is named.
func answerable(n newWorkshop, maker edit.Value, inGB bool) (edits []edit.Edit) {
	named := map[string]person{}
	for _, x := range n.Persons {
		if x.Name != "" && (x.Market == "GB" && n.GB || x.Market == "EU" && n.EU) {
			named[x.Market] = x
		}
	}
	at := edit.Path{"responsible_person"}
	switch x, ok := named["GB"]; {
	case ok:
		edits = append(edits, edit.Set(at.Then("GB"), x.value()))
	case inGB:
		edits = append(edits, edit.Set(at.Then("GB", "name"), edit.Text(n.Name)),
			edit.Set(at.Then("GB", "address"), maker))
	default:
		edits = append(edits, edit.Remove(at.Then("GB")))
	}
	switch x, ok := named["EU"]; {
	case ok:
		edits = append(edits, edit.Set(at.Then("EU"), x.value()))
	case n.EU && n.inEU:
		edits = append(edits, edit.Set(at.Then("EU"), edit.Group().With("name", edit.Text(n.Name)).
			With("address", maker).With("country", edit.Typed(n.Country))))
	}
	return edits
}

// value is a person as the file of the workshop holds it.
func (x person) value() edit.Value {
	v := edit.Group().With("name", edit.Text(x.Name))
	if lines := addressLines(x.Address); len(lines) > 0 {
		v = v.With("address", edit.List(lines...))
	}
	if x.Country != "" {
		v = v.With("country", edit.Typed(x.Country))
	}
	return v
}

// addressLines are the lines of an address.
func addressLines(text string) (lines []edit.Value) {
	for _, l := range strings.FieldsFunc(text, func(r rune) bool { return r == '\n' || r == '\r' }) {
		if l = strings.TrimSpace(l); l != "" {
			lines = append(lines, edit.Text(l))
		}
	}
	return lines
}

// makeDemo writes the demo workshop into a folder of its own and opens it.
func (b *bench) makeDemo(v *frame.Visit) error {
	dir := ""
	for i := range 100 {
		dir = filepath.Join(usual(), "gallipot-demo"+strings.Repeat("-", min(i, 1))+strings.TrimLeft(itoa(i), "0"))
		if _, err := os.Lstat(dir); errors.Is(err, fs.ErrNotExist) {
			break
		}
	}
	if err := store.WriteTree(dir, b.opt.Demo); err != nil {
		return err
	}
	return b.enter(v, dir)
}

func itoa(i int) string {
	if i < 10 {
		return string(rune('0' + i))
	}
	return itoa(i/10) + itoa(i%10)
}

func (b *bench) enter(v *frame.Visit, dir string) error {
	if err := v.Site.Open(v.Site, dir); err != nil {
		return err
	}
	return b.unpack(v)
}

// folders lists the folders inside a folder, and nothing but their names: the one page that
// looks outside the workshop, gone once one is open.
func (b *bench) folders(v *frame.Visit) error {
	at := v.Field("at")
	if at == "" {
		at = usual()
	}
	at = filepath.Clean(at)
	type entry struct {
		Name, Dir string
		Workshop  bool
	}
	data := struct {
		At, Up          string
		Workshop, Empty bool
		Folders         []entry
		Roots           []entry
	}{At: at, Workshop: isWorkshop(at)}
	if up := filepath.Dir(at); up != at {
		data.Up = up
	}
	entries, err := os.ReadDir(at)
	if err != nil || !filepath.IsAbs(at) {
		return frame.Wrong("That folder cannot be looked into.", "Choose another one.")
	}
	for _, e := range entries {
		dir := filepath.Join(at, e.Name())
		if !strings.HasPrefix(e.Name(), ".") && (e.IsDir() || e.Type()&fs.ModeSymlink != 0 && isFolder(dir)) {
			data.Folders = append(data.Folders, entry{e.Name(), dir, isWorkshop(dir)})
		}
	}
	slices.SortFunc(data.Folders,
		func(a, b entry) int { return strings.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)) })
	data.Empty = len(data.Folders) == 0
	for _, root := range roots() {
		data.Roots = append(data.Roots, entry{Name: root, Dir: root})
	}
	return v.Show(frame.Page{Title: "Open a folder", Crumb: &frame.Link{Href: "/", Text: "Where shall we work?"},
		Template: "folders", Data: data})
}

// roots are where sticks and drives are found.
func roots() []string {
	switch runtime.GOOS {
	case "windows":
		var drives []string
		for d := 'C'; d <= 'Z'; d++ {
			if dir := string(d) + `:\`; isFolder(dir) {
				drives = append(drives, dir)
			}
		}
		return drives
	case "darwin":
		return []string{"/Volumes"}
	}
	var list []string
	for _, dir := range []string{"/media", "/mnt"} {
		if isFolder(dir) {
			list = append(list, dir)
		}
	}
	return list
}

func (b *bench) openFolder(v *frame.Visit) error {
	dir := v.Field("dir")
	if !filepath.IsAbs(dir) || !isWorkshop(dir) {
		return frame.Wrong("That folder holds no workshop.",
			"Choose one that holds workshop.yaml, or start a new workshop there.")
	}
	return b.enter(v, filepath.Clean(dir))
}
