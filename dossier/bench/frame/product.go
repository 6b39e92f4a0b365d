package frame

import (
	"net/url"
	"strings"

	"gallipot/calc/law"
	"gallipot/dossier/assess"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// productTabs are the pages of a product, in their order. A package that adds a page adds
// its row.
var productTabs = []struct{ key, path, text string }{
	{"points", "", "Open points"},
	{"formula", "/formula", "Formula"},
	{"label", "/label", "Label"},
	{"facts", "/facts", "What it is"},
	{"figures", "/figures", "Figures"},
	{"making", "/making", "Making"},
	{"tests", "/tests", "Tests"},
	{"papers", "/papers", "Papers"},
	{"complaints", "/complaints", "Complaints"},
	{"notification", "/notification", "Notification"},
	{"cost", "/cost", "Cost"},
	{"pack", "/pack", "Assessor and pack"},
}

// ProductPage gives a page of a product its head and tabs. a may be nil where the product
// cannot be computed.
func ProductPage(v *Visit, p *workshop.Product, a *assess.Assessment, tab string, page Page) Page {
	base := "/product/" + url.PathEscape(p.ID)
	page.Title, page.Place, page.Crumb = p.Name, "products", &Link{"/products", "Products"}
	kind := p.Type
	if t, ok := law.ProductType(v.Shot.Options.Law, p.Type); ok {
		kind = t.Name
		if t.RinseOff {
			kind += ", rinsed off"
		} else {
			kind += ", left on"
		}
	}
	markets := make([]string, len(p.Markets))
	for i, m := range p.Markets {
		markets[i] = string(m)
	}
	facts := []string{kind}
	if p.IntendedFor != "" {
		facts = append(facts, strings.ReplaceAll(string(p.IntendedFor), "-", " "))
	}
	switch {
	case p.Net.G != nil:
		facts = append(facts, p.Net.G.String()+" g")
	case p.Net.ML != nil:
		facts = append(facts, p.Net.ML.String()+" ml")
	}
	facts = append(facts, strings.Join(markets, ", "))
	if p.Revision > 0 {
		facts = append(facts, "revision "+itoa(p.Revision))
	}
	page.Facts = Escape(strings.Join(facts, " · "))
	for _, t := range productTabs {
		x := pageTab{Link: Link{base + t.path, t.text}, Here: t.key == tab}
		if t.key == "points" && a != nil {
			c := finding.Count(v.Open(a))
			x.Count = c.Stop + c.Ask
		}
		page.Tabs = append(page.Tabs, x)
	}
	if !v.Site.ReadOnly && tab == "formula" {
		page.Acts = append(page.Acts, Act{Link: Link{base + "/trial", "What if…"}},
			Act{Link: Link{"/scale?product=" + url.QueryEscape(p.ID), "Weigh it"}, Main: true})
	}
	return page
}

// Number writes a count.
func Number(n int) string { return itoa(n) }

func itoa(n int) string {
	if n < 10 {
		return string(rune('0' + n))
	}
	return itoa(n/10) + string(rune('0'+n%10))
}
