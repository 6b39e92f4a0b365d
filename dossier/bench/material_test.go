package bench

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"
)

// A fragrance without a certificate has the place to enter one, where the finding about it leads;
// a whole row of the paper goes in at once.
func TestCertificate(t *testing.T) {
	x := begin(t, true)
	require.Equal(t, "/material/quiet-fern", x.post("/materials/new", "name", "Quiet Fern", "supplier",
		"A house (invented)", "kind", "parfum").Header().Get("Location"))
	const page, file = "/material/quiet-fern", "ingredients/quiet-fern.yaml"
	x.holds(x.get(page).Body.String(), `id="certificate"><h2>Fragrance certificate</h2>`)
	x.lacks(x.get("/material/water").Body.String(), `id="certificate"`)
	before := x.read(file)
	w := x.post(page+"/add", "base", x.base(file), "what", "limit", "name", "4 5A 9", "amount", "2.1 0.5", "amendment", "51")
	require.Equal(t, http.StatusUnprocessableEntity, w.Code)
	x.holds(w.Body.String(), "Categories typed: 3; figures: 2.")
	x.holds(w.Body.String(), `value="4 5A 9"`)
	require.Equal(t, before, x.read(file))
	require.Equal(t, http.StatusSeeOther, x.post(page+"/add", "base", x.base(file), "what", "limit", "name",
		"4 5a\t9", "amount", "2.1 0.5\t4", "amendment", "51").Code)
	for _, want := range []string{`"4": 2.1`, "5A: 0.5", `"9": 4`, "amendment: 51"} {
		x.holds(x.read(file), want)
	}
	x.holds(x.get(page).Body.String(), `id="cat-5A"`)
	require.Equal(t, http.StatusSeeOther, x.post(page+"/add", "base", x.base(file), "what", "limit", "name", "6",
		"amount", "not permitted").Code)
	x.holds(x.read(file), `not permitted`)
}

// A name that the inventory has is no name to ask about, and is found by how it begins.
// A day of a declaration that is none is said at its field, and the lists are called by name.
func TestAllergensDated(t *testing.T) {
	x := begin(t, true)
	const page = "/material/fo-gorse/allergens"
	x.holds(x.get(page).Body.String(), "the longer list of 2023 (Regulation (EU) 2023/1545)</option>")
	w := x.post(page, "base", x.base("ingredients/fo-gorse.yaml"), "list", "2023-1545", "dated", "some day", "new:Citral", "0.02")
	require.Equal(t, http.StatusUnprocessableEntity, w.Code)
	x.holds(w.Body.String(), `value="some day" placeholder="such as 31 January 2026" size="22" class="bad" aria-invalid="true"`)
	x.holds(w.Body.String(), "Date of the paper: ")
	x.holds(w.Body.String(), `value="0.02"`)
}

func TestNamesOfTheInventory(t *testing.T) {
	x := begin(t, true)
	require.Equal(t, http.StatusSeeOther, x.post("/materials/new", "name", "Dispersing ester", "supplier", "A house (invented)",
		"kind", "inci", "inci", "Polyglyceryl-4 Oleate", "pct", "100").Code)
	x.lacks(x.get("/material/dispersing-ester").Body.String(), "the name is in no list")
	x.holds(x.get("/material/dispersing-ester").Body.String(), "named: 100 %")
	require.Equal(t, http.StatusSeeOther, x.post("/materials/new", "name", "Mystery", "supplier", "A house (invented)",
		"kind", "inci", "inci", "Wholly Unheard Thing", "pct", "100").Code)
	x.holds(x.get("/material/mystery").Body.String(), "the name is in no list")
	hits := x.post("/seek/substance", "q", "Theobroma Cac").Body.String()
	require.Contains(t, hits, "Theobroma Cacao Extract")
}

// What can be taken back is called as its field is.
func TestUndoNamesFields(t *testing.T) {
	x := begin(t, true)
	x.post("/workshop", "base", x.base("workshop.yaml"), "set:/responsible_person/EU/holds_file", "false",
		"set:/responsible_person/GB/holds_file", "true")
	page := x.get("/workshop").Body.String()
	x.holds(page, "Keeps the file")
	x.lacks(page, "holds file")
	x.post("/product/heath-wash/facts", "base", x.base("products/heath-wash.yaml"), "set:/label/height_mm", "61")
	x.lacks(x.get("/product/heath-wash/facts").Body.String(), "height mm")
}
