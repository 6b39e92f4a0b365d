package bench

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A form that cannot be written comes back as the form, with what was typed and what is wrong.
func TestRefusedForms(t *testing.T) {
	x := begin(t, true)
	before := x.tree()
	refused := func(t *testing.T, path, file string, fields ...string) string {
		w := x.post(path, append([]string{"base", x.base(file)}, fields...)...)
		require.Equal(t, http.StatusUnprocessableEntity, w.Code)
		require.Equal(t, before, x.tree(), "all files as they were")
		page := w.Body.String()
		x.lacks(page, "This cannot be done")
		x.holds(page, `role="alert"`)
		return page
	}
	t.Run("allergens: the row is named and all rows stay", func(t *testing.T) {
		const path, file = "/material/fo-gorse/allergens", "ingredients/fo-gorse.yaml"
		page := refused(t, path, file, "list", "2023-1545", "dated", "2026-01-22", "new:Citral", "abc", "new:Menthol", "0.017",
			"set:/allergens/declared/0/pct", "3,5%%")
		for _, want := range []string{`name="new:Citral" value="abc"`, `name="new:Menthol" value="0.017"`, `value="3,5%%"`, `value="2026-01-22"`,
			`-wrong">Citral: `, `-wrong">Coumarin: `, "see Citral, Coumarin"} {
			x.holds(page, want)
		}
		require.Equal(t, 2, strings.Count(page, `aria-invalid="true"`))
		page = refused(t, path, file, "new:Citral", "0.02")
		x.holds(page, "Which list the supplier declared against is not stated")
		x.holds(page, `value="0.02"`)
		page = refused(t, path, file, "list", "2023-1545", "dated", "soon", "new:Citral", "0.02")
		x.holds(page, `value="soon"`)
		x.holds(page, `value="0.02"`)
	})
	t.Run("a line of the formula, and the other additions", func(t *testing.T) {
		const path, file = "/product/heath-wash/formula/add", "products/heath-wash.yaml"
		for _, fields := range [][]string{
			{"what", "line", "name", "Vegetable glycerin 99.5", "amount", "1,5", "phase", "1"},
			{"what", "line", "name", "Nothing of that name", "amount", "2", "phase", "1"},
			{"what", "slot", "name", "pearl", "amount", "1,5", "phase", "1"},
			{"what", "phase", "name", "End", "first", "Vegetable glycerin 99.5", "amount", "1,5"},
			{"what", "addition", "name", "Vegetable glycerin 99.5", "amount", "1,5", "at", "/variants/0"},
		} {
			for _, at := range []string{path, strings.Replace(path, "/formula/", "/trial/", 1)} {
				page := refused(t, at, file, fields...)
				for i := 2; i < len(fields); i += 2 {
					if fields[i] == "name" || fields[i] == "amount" || fields[i] == "first" {
						x.holds(page, `<input name="`+fields[i]+`" value="`+fields[i+1]+`"`)
					}
				}
				x.lacks(page, "Amount: ")
			}
		}
	})
	t.Run("the workshop: what belongs together is asked at the field that needs it", func(t *testing.T) {
		page := refused(t, "/workshop", "workshop.yaml", "set:/balance/division_g", "fine", "text:/maker/name", "Other (invented)")
		x.holds(page, `id="balance-division_g-wrong"`)
		x.holds(page, `value="fine"`)
		x.holds(page, `value="Other (invented)"`)
		x.lacks(page, "Division_g")
		page = refused(t, "/workshop", "workshop.yaml", "text:/responsible_person/GB/contact/phone", "01 (invented)")
		x.holds(page, `id="responsible_person-GB-contact-name-wrong" role="alert">Whom to reach: it is missing in this contact. Fill it in`)
		x.holds(page, `value="01 (invented)"`)
		x.lacks(page, "Add name")
	})
	t.Run("what a product is", func(t *testing.T) {
		page := refused(t, "/product/heath-wash/facts", "products/heath-wash.yaml", "set:/revision", "two", "text:/directions", "Rinse well twice.")
		x.holds(page, `id="revision-wrong"`)
		x.holds(page, `value="two"`)
		x.holds(page, "Rinse well twice.")
	})
	t.Run("an entry of a list says its column and not its key", func(t *testing.T) {
		const file = "products/heath-wash.yaml"
		page := refused(t, "/records/heath-wash/add", file, "list", "/stability", "new:test", "cold", "new:temp_c", "cool")
		x.holds(page, "Temperature, °C: ")
		x.holds(page, `value="cool"`)
		x.lacks(page, "Temp_c")
		page = refused(t, "/records/heath-wash/add", file, "list", "/process", "new:do", "Stir", "new:temp_c", "warm")
		x.holds(page, "°C: ")
		x.lacks(page, "Temp_c")
	})
}
