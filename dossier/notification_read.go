package dossier

import (
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// Contact is a person who can be reached about a product. Empty fields are not
// given.
type Contact struct {
	Name  string
	Phone string
	Email string
}

// words prints a contact, a line each.
func (c Contact) words() string {
	return strings.Join(slices.DeleteFunc([]string{c.Name, c.Phone, c.Email}, func(s string) bool { return s == "" }), "\n")
}

// contactFor returns whom to reach about a product on a market: the person for the
// EU serves Northern Ireland too.
func (w *Workshop) contactFor(m law.Market) Contact {
	person, ok := w.ResponsiblePersons[m]
	if !ok {
		person = w.ResponsiblePersons[m.Annexes()]
	}
	return person.Contact
}

// madeIn returns the country of making: the maker's own, unless the product says
// otherwise; "" when neither is stated.
func (p *Product) madeIn(w *Workshop) string {
	if p.MadeIn != "" {
		return p.MadeIn
	}
	return w.Maker.Country
}

func readContact(v ingredients.Node) (c Contact) {
	v.In("contact", "{name: …, phone: …, email: …}", func(m *ingredients.Mapping) {
		m.Need("name", "name: …")
		c = Contact{Name: m.At("name").Text(), Phone: m.At("phone").Text(), Email: m.At("email").Text()}
	})
	return c
}

// readFirstPlaced reads the member state in which a product is placed on the
// market of the EU first.
func readFirstPlaced(v ingredients.Node, tables *law.Tables) string {
	code := v.Text()
	if code == "" {
		return ""
	}
	if c, ok := tables.Country(code); !ok || !c.Within(law.EU) {
		v.Stop(CodeBadCountry, "eu", with().Quote("typed", code))
	}
	return code
}
