package workshop

import (
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients/source"
)

// Origin returns the country of making: the maker's own, unless the product says
// otherwise; "" when neither is stated.
func (p *Product) Origin(w *Workshop) string {
	if p.MadeIn != "" {
		return p.MadeIn
	}
	return w.Maker.Country
}

func readContact(v source.Node) (c contact) {
	v.In("contact", "{name: …, phone: …, email: …}", func(m *source.Mapping) {
		m.Need("name", "name: …")
		c = contact{Name: m.At("name").Text(), Phone: m.At("phone").Text(), Email: m.At("email").Text()}
	})
	return c
}

// readFirstPlaced reads the member state in which a product is placed on the
// market of the EU first.
func readFirstPlaced(v source.Node, tables *table.Tables) string {
	code := v.Text()
	if code == "" {
		return ""
	}
	if c, ok := law.Country(tables, code); !ok || !c.Within(rows.EU) {
		v.Stop(codeBadCountry, "eu", With().Quote("typed", code))
	}
	return code
}
