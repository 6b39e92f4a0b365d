package frame

import (
	"net/url"
	"slices"
	"strings"

	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// Said puts a finding into words for a page.
func Said(f *finding.Finding) words.Said { return words.Say(f, words.Bench) }

// Told is a finding in sentences, for the templates "told" and "tip".
type Told struct {
	Finding finding.Finding
	Kind    string
	Against string // of a stop: what it is against
	Message string
	Items   []string // the things it is about, where they are too many for a sentence
	Sum     []string // what adds up
	Why     string
	Fix     string
	Whom    string // who can settle it, where that is somebody else too
	Link    Link   // the page and field that settle it
}

// Most things that a message names in its sentence.
const mostInSentence = 6

// Tell puts a finding into sentences, with names in place of ids.
func (n Namer) Tell(f finding.Finding) Told { return n.tell(f, words.Bench) }

// TellText is [Namer.Tell] for a page that shows the file as text, where its keys are the matter.
func (n Namer) TellText(f finding.Finding) Told { return n.tell(f, words.Files) }

func (n Namer) tell(f finding.Finding, reader words.Reader) Told {
	said := words.Say(&f, reader)
	fieldsNamed, fix := fieldsNamed, n.fix
	if reader == words.Files {
		fieldsNamed, fix = func(s string) string { return s }, n.Sentence
	}
	t := Told{Finding: f, Kind: KindOf(f), Against: sentence(said.Against), Fix: fix(said.Fix),
		Why: n.Sentence(fieldsNamed(tableless(said.Why)))}
	line := said.Message
	switch {
	case len(said.Items) == 0:
	case len(said.Items) <= mostInSentence && !said.ItemsHoldLists():
		line = said.Text()
	default:
		for _, x := range said.Under() {
			t.Items = append(t.Items, n.Short(fieldsNamed(tableless(x))))
		}
	}
	if said.Subject != "" {
		line = said.Subject + ": " + line
	}
	t.Message = n.Sentence(fieldsNamed(line))
	if strings.Contains(said.Subject, "/") { // a file keeps the letters of its name
		t.Message = strings.TrimRight(line, ".") + "."
	}
	for _, x := range said.Sum {
		t.Sum = append(t.Sum, n.Short(tableless(x.Text)))
	}
	if len(f.Who) > 1 || len(f.Who) == 1 && f.Who[0].Role != finding.RoleMaker {
		t.Whom = n.Short(words.Whom(f.Who))
	}
	return t
}

// fix is what to do in a sentence. Many findings ask for the same.
func (n Namer) fix(s string) string {
	known, is := n.done[s]
	if !is {
		known = n.Sentence(fieldsNamed(plain(s)))
		n.done[s] = known
	}
	return known
}

// Message returns the sentence of a finding alone.
func (n Namer) Message(f finding.Finding) string { return n.Tell(f).Message }

// Tell puts a finding into sentences, with the page that settles it.
func (v *Visit) Tell(f finding.Finding) Told {
	return v.TellAll([]finding.Finding{f})[0]
}

// TellAll is Tell for several.
func (v *Visit) TellAll(fs []finding.Finding) []Told {
	names, at := v.Names(), v.filed()
	list := make([]Told, len(fs))
	for i, f := range fs {
		list[i] = names.Tell(f)
		if link := where(at, &f); link.Href != v.R.URL.EscapedPath() { // not to where one is
			list[i].Link = link
		}
	}
	return list
}

// Where leads to the field that settles a finding, or else to the page of the file that it
// is about. A file without a page is opened as text.
func (v *Visit) Where(f finding.Finding) Link { return where(v.filed(), &f) }

// filed are the files of the workshop, gathered once for a visit.
func (v *Visit) filed() *filed {
	if v.files == nil {
		v.files = filedOf(v.Workshop())
	}
	return v.files
}

func where(at *filed, f *finding.Finding) Link {
	file, key := f.Pos.File, ""
	line := f.Pos.Line
	if f.Settle != nil && f.Settle.File != "" {
		file, key = f.Settle.File, f.Settle.Key
		if f.Settle.Pos.Line > 0 {
			line = f.Settle.Pos.Line
		}
	}
	if p := at.products[file]; p != nil {
		if f.Code == "dossier-open" {
			return Link{"/product/" + url.PathEscape(p.ID) + "/pack#parts", "Open the parts of the file"}
		}
		return productLink(p, key, line)
	}
	if id, is := at.ids[file]; is {
		return sheetLink(id, at.sheets[id].Name, file, key)
	}
	if code, is := at.batches[file]; is {
		return Link{"/batch/" + url.PathEscape(code) + batchAnchor(key), "Open batch " + code}
	}
	if file == "workshop.yaml" {
		return workshopLink(key)
	}
	if strings.HasPrefix(file, "limits/") {
		return Link{"/limits", "Open the limits of your own"}
	}
	return Link{}
}

// SamePage says whether two addresses are of one page.
func SamePage(a, b string) bool {
	a, _, _ = strings.Cut(a, "#")
	b, _, _ = strings.Cut(b, "#")
	return a == b
}

// fieldAnchor is the field of a key in a form whose table has its group.
func fieldAnchor(key string, groups ...string) string {
	first, _, _ := strings.Cut(key, ".")
	if slices.Contains(groups, first) {
		return "#" + strings.ReplaceAll(key, ".", "-")
	}
	return ""
}

func productLink(p *workshop.Product, key string, line int) Link {
	base := "/product/" + url.PathEscape(p.ID)
	if key == "claim" {
		key = "claims"
	}
	first, _, _ := strings.Cut(key, ".")
	switch first {
	case "saponify":
		if key == "saponify.values" {
			return Link{base + "/making#formula-saponify-values", "Open saponification values of " + p.Name}
		}
		if key == first {
			key += ".alkali"
		}
		return Link{base + "/facts#formula-" + strings.ReplaceAll(key, ".", "-"),
			"Open the reaction with lye of " + p.Name}
	case "costs":
		if strings.HasPrefix(key, "costs.packaging") {
			return Link{base + "/making#costs-packaging", "Open what is bought for " + p.Name}
		}
		return Link{base + "/facts" + fieldAnchor(key, first), factText(p, first)}
	case "amount", "formula", "fill", "then_add", "variants":
		return Link{base + "/formula" + lineAnchor(p, line), "Open the line in " + p.Name}
	case "name", "function", "product_type", "intended_for", "professional", "revision", "made_in", "claims",
		"directions", "storage", "warnings", "body_area", "first_placed_in", "markets", "tail_order":
		return Link{base + "/facts" + fieldAnchor(key, first), factText(p, first)}
	case "net_content":
		if key == first {
			key += ".g"
		}
		return Link{base + "/facts" + fieldAnchor(key, first), factText(p, first)}
	case "label", "durability", "specification", "low_risk", "exposure":
		anchor := fieldAnchor(key, first)
		if key == first { // the part of the page
			anchor = "#" + first
		}
		return Link{base + "/facts" + anchor, factText(p, first)}
	case "stability", "microbiology":
		return Link{base + "/tests#" + first, "Open the tests of " + p.Name}
	case "process", "packaging":
		return Link{base + "/making#" + first, "Open how " + p.Name + " is made"}
	case "documents", "notifications", "pictures":
		return Link{base + "/papers#" + first, "Open the papers of " + p.Name}
	case "complaints", "sold":
		return Link{base + "/complaints#" + first, "Open complaints about " + p.Name}
	case "assessments":
		return Link{base + "/pack", "Open assessor and pack of " + p.Name}
	case "":
		if at := lineAnchor(p, line); at != "" {
			return Link{base + "/formula" + at, "Open the line in " + p.Name}
		}
		return Link{base, "Open " + p.Name}
	}
	what := strings.ReplaceAll(key, "_", " ")
	return Link{"/text/" + p.Source.Name + "#text", "Write " + what + " into the file of " + p.Name}
}

// workshopLink leads to the part of the workshop's page that a key is in.
func workshopLink(key string) Link {
	const href, text = "/workshop", "Open what is written of the workshop"
	switch parts := strings.Split(key, "."); {
	case parts[0] == "responsible_person" && len(parts) > 1:
		return Link{href + "#responsible_person-" + parts[1] + "-name", text}
	case parts[0] == "maker":
		return Link{href + "#maker-name", text}
	case parts[0] == "outlets":
		return Link{href + "#outlets", text}
	case parts[0] == "decisions":
		return Link{"/text/workshop.yaml#text", "Write " + parts[0] + " into the file of the workshop"}
	}
	return Link{href, text}
}

func factText(p *workshop.Product, key string) string {
	return "Open " + strings.ReplaceAll(key, "_", " ") + " of " + p.Name
}

// lineAnchor is the amount of the line of the formula that stands in a line of the file.
func lineAnchor(p *workshop.Product, line int) string {
	for i, ph := range p.Formula.Phases {
		for j, l := range ph.Lines {
			if l.Pos.Line == line && line > 0 {
				return "#amount-" + itoa(i) + "-" + itoa(j)
			}
		}
	}
	return ""
}

func sheetLink(id, name, file, key string) Link {
	base := "/material/" + url.PathEscape(id)
	if whole := map[string]string{"supplier": "supplier.name", "price": "price.per_kg"}[key]; whole != "" {
		key = whole
	}
	first, _, _ := strings.Cut(key, ".")
	switch first {
	case "allergens":
		return Link{base + "/allergens", "Open the allergens of " + name}
	case "toxicology":
		return Link{base + "/toxicology", "Open the toxicology of " + name}
	case "documents":
		return Link{base + "#papers", "File a paper of " + name}
	case "fragrance_limits":
		return Link{base + "#certificate", "Open the certificate of " + name}
	case "composition", "impurities":
		return Link{base + "#" + first, "Open what is in " + name}
	case "density_g_ml":
		return Link{base + "#physical-density_g_ml", "Open the field of " + name}
	case "name", "supplier", "form", "label_as", "functions", "price", "physical", "handling", "purchase":
		return Link{base + fieldAnchor(key, first), "Open the field of " + name}
	case "":
		return Link{base, "Open " + name}
	}
	return Link{"/text/" + file + "#text", "Write " + strings.ReplaceAll(first, "_", " ") +
		" into the file of " + name}
}

func batchAnchor(key string) string {
	return fieldAnchor(key, "yield", "labels", "retained", "release", "made_by", "place", "remarks")
}
