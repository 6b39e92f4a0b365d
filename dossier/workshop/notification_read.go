package workshop

import (
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients/source"
)

// contact is a person who can be reached about a product. Empty fields are not
// given.
type contact struct {
	Name  string
	Phone string
	Email string
}

// Words prints a contact, a line each.
func (c contact) Words() string {
	return strings.Join(slices.DeleteFunc([]string{c.Name, c.Phone, c.Email}, func(s string) bool { return s == "" }), "\n")
}

// ContactFor returns whom to reach about a product on a market: the person for the
// EU serves Northern Ireland too.
func (w *Workshop) ContactFor(m rows.Market) contact {
	person, ok := w.ResponsiblePersons[m]
	if !ok {
		person = w.ResponsiblePersons[m.Annexes()]
	}
	return person.Contact
}

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
		v.Stop(CodeBadCountry, "eu", With().Quote("typed", code))
	}
	return code
}
