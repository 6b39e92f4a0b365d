package bench

import (
	"fmt"
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
		page := refused(t, path, file, "list", "2023-1545", "dated", "2026-01-22", "new:Citral", "abc",
			"new:Menthol", "0.017",
			"set:/allergens/declared/0/pct", "3,5%%")
		for _, want := range []string{`name="new:Citral" value="abc"`, `name="new:Menthol" value="0.017"`,
			`value="3,5%%"`, `value="2026-01-22"`,
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
		page := refused(t, "/workshop", "workshop.yaml", "set:/balance/division_g", "fine", "text:/maker/name",
			"Other (invented)")
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
		page := refused(t, "/product/heath-wash/facts", "products/heath-wash.yaml", "set:/revision", "two",
			"text:/directions", "Rinse well twice.")
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
	t.Run("the sheet of a material", func(t *testing.T) {
		const path, file = "/material/kelp-extract", "ingredients/kelp-extract.yaml"
		page := refused(t, path, file, "set:/composition/constituents/1/pct", "some", "text:/name", "Kelp, other (invented)",
			"set:/physical/ph", "sour", "set:/price/per_kg", "12.5")
		for _, want := range []string{`id="c1-pct-wrong" role="alert">% of the material: `, `value="some"`,
			`value="Kelp, other (invented)"`,
			`id="physical-ph-wrong" role="alert">pH: `, `value="sour"`, `value="12.5"`} {
			x.holds(page, want)
		}
		x.lacks(page, "Pct: ")
		page = refused(t, path+"/add", file, "what", "constituent", "name", "Glycerin", "cas", "56-81-5", "amount", "much")
		x.holds(page, `name="name" value="Glycerin"`)
		x.holds(page, `name="amount" value="much"`)
		page = refused(t, path+"/add", file, "what", "limit", "name", "5A", "amount", "lots", "amendment", "51")
		x.holds(page, `name="amount" value="lots"`)
	})
	t.Run("toxicology", func(t *testing.T) {
		const path, file = "/material/kelp-extract/toxicology", "ingredients/kelp-extract.yaml"
		page := refused(t, path+"/add", file, "list", "/toxicology", "new:inci", "Phenoxyethanol",
			"new:pod/mg_per_kg_bw_d", "high", "new:source", "A paper (invented)")
		x.holds(page, `id="toxicology-new-pod-mg_per_kg_bw_d-wrong" role="alert">Value, mg for 1 kg of body weight and day: `)
		x.holds(page, `value="high"`)
		x.holds(page, `value="A paper (invented)"`)
		y := begin(t, true)
		require.Equal(t, http.StatusSeeOther,
			y.post(path+"/add", "base", y.base(file), "list", "/toxicology", "new:inci", "Phenoxyethanol",
				"new:pod/type", "NOAEL", "new:pod/mg_per_kg_bw_d", "164", "new:source", "A paper (invented)").Code)
		w := y.post(path, "base", y.base(file), "set:/toxicology/0/pod/mg_per_kg_bw_d", "low",
			"text:/toxicology/0/study", "rat (invented)")
		require.Equal(t, http.StatusUnprocessableEntity, w.Code)
		y.holds(w.Body.String(), `id="toxicology-0-pod-mg_per_kg_bw_d-wrong" role="alert">Value, mg for 1 kg of body weight and day: `)
		y.holds(w.Body.String(), `value="low"`)
		y.holds(w.Body.String(), `value="rat (invented)"`)
		y.lacks(w.Body.String(), "This cannot be done")
	})
	t.Run("cells of the grid", func(t *testing.T) {
		const file = "products/heath-wash.yaml"
		for _, path := range []string{"/product/heath-wash/formula", "/product/heath-wash/trial"} {
			page := refused(t, path, file, "set:/formula/phases/2/lines/1/amount", "3 drops",
				"set:/formula/phases/0/heat_c", "warm",
				"set:/formula/phases/2/lines/2/amount", "0.77")
			x.holds(page, `id="amount-2-1-wrong" role="alert">Written: `)
			x.holds(page, `id="heat-0-wrong" role="alert">Heat to: `)
			for _, typed := range []string{"3 drops", "warm", "0.77"} {
				x.holds(page, `value="`+typed+`"`)
			}
			x.lacks(page, "eat_c: ")
			page = refused(t, path, file, "pick:/formula/phases/2/lines/1/ingredient", "Nothing of that name")
			x.holds(page, `id="name-2-1-wrong" role="alert">There is no material called Nothing of that name.`)
			x.holds(page, `value="Nothing of that name"`)
		}
	})
	t.Run("an outlet that is there", func(t *testing.T) {
		y := begin(t, true)
		require.Equal(t, http.StatusSeeOther,
			y.post("/workshop/outlets", "base", y.base("workshop.yaml"), "list", "/outlets", "new:name", "Pier Shop (invented)",
				"new:contact/name", "A. Person (invented)", "new:contact/phone", "01 (invented)").Code)
		n := strings.Count(y.read("workshop.yaml"), "Pier Shop") // it is there
		require.Equal(t, 1, n)
		last := 0
		for strings.Contains(y.get("/workshop").Body.String(), fmt.Sprintf(`name="text:/outlets/%d/name"`, last+1)) {
			last++
		}
		at := fmt.Sprintf("/outlets/%d", last)
		w := y.post("/workshop", "base", y.base("workshop.yaml"), "text:"+at+"/name", "",
			"text:"+at+"/contact/phone", "02 (invented)")
		require.Equal(t, http.StatusUnprocessableEntity, w.Code)
		y.lacks(w.Body.String(), "This cannot be done")
		y.holds(w.Body.String(), fmt.Sprintf(`id="outlets-%d-name-wrong" role="alert">Name: `, last))
		y.holds(w.Body.String(), `value="02 (invented)"`)
	})
	t.Run("a line of a list that is there", func(t *testing.T) {
		page := refused(t, "/product/heath-wash/making", "products/heath-wash.yaml", "set:/process/0/temp_c",
			"warm", "text:/process/0/do", "Stir (invented)")
		x.holds(page, `id="process-0-temp_c-wrong" role="alert">°C: `)
		x.holds(page, `value="warm"`)
		x.holds(page, `value="Stir (invented)"`)
	})
	t.Run("a new material", func(t *testing.T) {
		w := x.post("/materials/new", "name", "New wax (invented)", "supplier", "", "inci", "Cera Alba", "pct", "100")
		require.Equal(t, http.StatusUnprocessableEntity, w.Code)
		x.holds(w.Body.String(), `id="supplier-wrong" role="alert">`)
		x.holds(w.Body.String(), `value="New wax (invented)"`)
		w = x.post("/materials/new", "name", "New wax (invented)", "supplier", "S (invented)", "inci", "Cera Alba",
			"pct", "most")
		require.Equal(t, http.StatusUnprocessableEntity, w.Code)
		x.holds(w.Body.String(), `id="pct-wrong" role="alert">`)
		x.holds(w.Body.String(), `value="most"`)
		require.Equal(t, before, x.tree())
	})
}
