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

func readContact(v ingredients.Node) (c Contact) {
	v.In("contact", "{name: …, phone: …, email: …}", func(m *ingredients.Mapping) {
		m.Need("name", "name: …")
		c = Contact{Name: m.At("name").Text(), Phone: m.At("phone").Text(), Email: m.At("email").Text()}
	})
	return c
}

// readFirstPlaced reads the member state in which a product is placed on the
// market of the EU first.
func readFirstPlaced(v ingredients.Node) string {
	code := v.Text()
	if code == "" {
		return ""
	}
	if c, ok := law.Builtin().Country(code); !ok || !c.Within(law.EU) {
		v.Stop(CodeBadCountry, "write the two capital letters of the state, such as IE", "%q is %q, wanted a state of the EU", "first_placed_in", code)
	}
	return code
}
