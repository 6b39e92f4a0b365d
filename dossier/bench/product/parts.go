package product

import (
	_ "embed"
	"encoding/csv"
	"net/url"
	"slices"
	"strings"
	"sync"

	"gallipot/calc/law/rows"
	"gallipot/dossier/assess"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/evidence"
	"gallipot/dossier/ready"
)

// partsTable says for each part of the file at which field it is settled, one a row: the id in
// dossier-contents.csv; an address, beginning with a word for a page of the product and with a
// stroke for one of the workshop; what stands on the button; and behind the address of a
// material, where a part is one of materials, its place there.
//
//go:embed parts.csv
var partsTable string

type partPlace struct{ href, text, material string }

var partPlaces = sync.OnceValue(func() map[string]partPlace {
	all, err := csv.NewReader(strings.NewReader(partsTable)).ReadAll()
	if err != nil {
		panic(err) // it is part of the program
	}
	places := map[string]partPlace{}
	for _, r := range all[1:] {
		places[r[0]] = partPlace{r[1], r[2], r[3]}
	}
	return places
})

// part of the file, with the fields that settle what is open of it.
type filePart struct {
	ID, Title, State, Because, From string
	Kind                            string // of its mark; "" where nothing is open
	Links                           []frame.Link
}

// Most materials that a part leads to by name.
const mostLinks = 6

// parts are those of the file of a product, each that is open with the place that settles it.
func parts(v *frame.Visit, a *assess.Assessment) []filePart {
	names := v.Names()
	filing := ready.Questioned(a)
	var list []filePart
	for _, item := range ready.Readiness(a) {
		from := item.Suppliers()
		for i, who := range from {
			from[i] = names.Short(who)
		}
		x := filePart{ID: item.ID, Title: item.Title, State: string(item.State), Because: names.Worded(item.Because()),
			From: strings.Join(from, ", ")}
		switch item.State {
		case evidence.ReadyMissing, evidence.ReadyPartly, evidence.ReadyNotStated:
			x.Kind = "ask"
			x.Links = linksOf(v, a, item.ID, filing.Answer(item.ID).From)
		case evidence.ReadyAssessor:
			x.Kind = "note"
		case evidence.ReadyPresent:
			x.Kind = "ok"
		}
		list = append(list, x)
	}
	return list
}

// linksOf lead to the fields that settle a part: those of the materials it is asked for, or else
// that of the product.
func linksOf(v *frame.Visit, a *assess.Assessment, id string, from []evidence.Asked) (links []frame.Link) {
	place := partPlaces()[id]
	if place.material != "" {
		seen := map[string]bool{}
		for _, x := range from {
			for _, sheet := range v.Workshop().SheetIDs() {
				name := v.Workshop().Sheets[sheet].Name
				if x.Material == "" || sheet != x.Material && name != x.Material || seen[sheet] {
					continue
				}
				if seen[sheet] = true; len(links) < mostLinks {
					links = append(links, frame.Link{Href: "/material/" + url.PathEscape(sheet) + place.material,
						Text: "Open " + name})
				}
			}
		}
	}
	if len(links) == 0 && place.href != "" {
		href := place.href
		if !slices.Contains(a.Markets, rows.EU) { // the person of the other market
			href = strings.ReplaceAll(href, "-EU-", "-GB-")
		}
		if !strings.HasPrefix(href, "/") {
			href = "/product/" + url.PathEscape(a.Product.ID) + "/" + href
		}
		links = append(links, frame.Link{Href: href, Text: place.text})
	}
	return links
}
