package bench

import (
	"html"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestSaving(t *testing.T) {
	const file = "products/heath-wash.yaml"
	const amount = "set:/formula/phases/2/lines/1/amount"
	t.Run("one value at its place, and back", func(t *testing.T) {
		x := begin(t, true)
		before := x.read(file)
		w := x.post("/product/heath-wash/formula", "base", x.base(file), amount, "1.05")
		require.Equal(t, http.StatusSeeOther, w.Code)
		require.Equal(t, strings.Replace(before, "{ingredient: keeper-pe, amount: 0.9}",
			"{ingredient: keeper-pe, amount: 1.05}", 1), x.read(file))
		x.holds(x.get("/today").Body.String(), "Strandkeeper P, preservative blend 0.9 → 1.05")
		require.Equal(t, http.StatusSeeOther, x.post("/undo").Code)
		require.Equal(t, before, x.read(file))
		require.Equal(t, http.StatusSeeOther, x.post("/redo").Code)
		require.Contains(t, x.read(file), "keeper-pe, amount: 1.05")
	})
	t.Run("while typing nothing is written", func(t *testing.T) {
		x := begin(t, true)
		before := x.tree()
		w := x.post("/product/heath-wash/formula/live", "base", x.base(file), "variant", "scrub", "seq", "7",
			"focus", "2-1", amount, "1.3")
		require.Equal(t, http.StatusOK, w.Code)
		x.holds(w.Body.String(), `"seq":"7"`)
		x.holds(w.Body.String(), "Phenoxyethanol")
		x.holds(w.Body.String(), "Use 1.09")
		require.Equal(t, before, x.tree())
	})
	t.Run("what is no value is refused at its field", func(t *testing.T) {
		x := begin(t, true)
		before := x.tree()
		w := x.post("/product/heath-wash/formula/live", "base", x.base(file), amount, "3 drops")
		x.holds(w.Body.String(), `"error":"`)
		require.Equal(t, before, x.tree())
	})
	t.Run("what the program could not read afterwards is not written", func(t *testing.T) {
		x := begin(t, true)
		before := x.tree()
		require.Equal(t, http.StatusUnprocessableEntity,
			x.post("/product/heath-wash/formula", "base", x.base(file), amount, "3 drops").Code)
		require.Equal(t, http.StatusUnprocessableEntity,
			x.post("/material/water", "base", x.base("ingredients/water.yaml"), "do", "remove:/composition/constituents/0").Code)
		require.Equal(t, http.StatusUnprocessableEntity,
			x.post("/product/heath-wash/facts", "base", x.base(file), "set:/revision", "two").Code)
		require.Equal(t, before, x.tree())
	})
	t.Run("changed meanwhile: both versions, nothing lost", func(t *testing.T) {
		x := begin(t, true)
		base := x.base(file)
		x.get("/product/heath-wash/formula") // the page that is open
		theirs := strings.Replace(x.read(file), "amount: 0.9}", "amount: 1.2}", 1)
		require.NoError(t, os.WriteFile(filepath.Join(x.dir, file), []byte(theirs), 0o644))
		w := x.post("/product/heath-wash/formula", "base", base, amount, "0.95")
		require.Equal(t, http.StatusSeeOther, w.Code)
		require.Equal(t, theirs, x.read(file))
		where := w.Header().Get("Location")
		require.Regexp(t, `^/conflict/\d+$`, where)
		page := x.get(where).Body.String()
		for _, want := range []string{"0.9", "0.95", "1.2", "both changed it", "Not written"} {
			x.holds(page, want)
		}
		w = x.post(where, "take", "chosen", "row:/formula/phases/2/lines/1/amount", "mine")
		require.Equal(t, http.StatusSeeOther, w.Code)
		require.Contains(t, x.read(file), "keeper-pe, amount: 0.95}")
		require.Equal(t, http.StatusNotFound, x.get(where).Code)
		require.Equal(t, http.StatusSeeOther, x.post("/undo").Code)
		require.Equal(t, theirs, x.read(file))
	})
	t.Run("two windows", func(t *testing.T) {
		x := begin(t, true)
		base := x.base(file)
		require.Equal(t, http.StatusSeeOther, x.post("/product/heath-wash/formula", "base", base, amount, "0.95").Code)
		w := x.post("/product/heath-wash/formula", "base", base, amount, "0.85")
		require.Contains(t, w.Header().Get("Location"), "/conflict/")
		require.Contains(t, x.read(file), "keeper-pe, amount: 0.95}")
	})
	t.Run("structure", func(t *testing.T) {
		x := begin(t, true)
		before := x.read(file)
		for _, c := range [][]string{
			{"/product/heath-wash/formula", "do", "down:/formula/phases/2/lines/0"},
			{"/product/heath-wash/formula", "do", "remove:/formula/phases/2/lines/0"},
			{"/product/heath-wash/formula/add", "what", "line", "name", "Vegetable glycerin 99.5", "amount", "1", "phase", "0"},
			{"/product/heath-wash/formula/add", "what", "slot", "name", "pearl", "amount", "0.1", "phase", "1"},
			{"/product/heath-wash/formula/add", "what", "phase", "name", "End", "first", "Vegetable glycerin 99.5",
				"amount", "1"},
			{"/product/heath-wash/formula/add", "what", "variant", "name", "Sea Salt"},
			{"/product/heath-wash/formula/add", "what", "addition", "name", "Vegetable glycerin 99.5", "amount", "2",
				"at", "/variants/0"},
			{"/product/heath-wash/formula", "pick:/variants/1/fill/scent", "Gorse in Bloom fragrance"},
			{"/product/heath-wash/formula/add", "what", "part", "name", "Heather Moor fragrance", "amount", "20", "at",
				"/variants/2/fill/scent"},
			{"/product/heath-wash/facts", "list:/claims", "one\r\ntwo: three", "text:/directions", "",
				"set:/net_content/g", "150"},
		} {
			w := x.post(c[0], append(c[1:], "base", x.base(file))...)
			require.Equal(t, http.StatusSeeOther, w.Code, "%v\n%s", c)
			require.Equal(t, http.StatusOK, x.get("/product/heath-wash/formula").Code, "%v", c)
			x.lacks(x.get("/today").Body.String(), "unreadable")
		}
		for range 10 {
			x.post("/undo")
		}
		require.Equal(t, before, x.read(file))
	})
	t.Run("materials", func(t *testing.T) {
		x := begin(t, true)
		sheet := "ingredients/kelp-extract.yaml"
		before := x.read(sheet)
		w := x.post("/material/kelp-extract", "base", x.base(sheet), "text:/name", "Kelp: extract",
			"set:/composition/constituents/3/pct", "1-2", "set:/price/per_kg", "")
		require.Equal(t, http.StatusSeeOther, w.Code)
		require.Contains(t, x.read(sheet), "name: 'Kelp: extract'\n")
		require.Contains(t, x.read(sheet), "ec: 204-589-7, pct: 1-2}")
		require.Contains(t, x.read(sheet), "# FAULT 12")
		require.Equal(t, http.StatusSeeOther, x.post("/undo").Code)
		require.Equal(t, before, x.read(sheet))
		paste := "Water (Aqua)\t7732-18-5\t60 – 65 %\nGlycerine  56-81-5  20-25%\nnothing here\n2-Phenoxyethanol 122-99-6 2,5 %"
		w = x.post("/material/kelp-extract/paste", "base", x.base(sheet), "table", paste)
		x.holds(w.Body.String(), "3 lines read")
		x.holds(w.Body.String(), "Not understood: nothing here")
		require.Equal(t, before, x.read(sheet))
		fills := x.post("/material/kelp-extract/paste", "base", x.base(sheet), "table", "Glycerin 56-81-5 50 to 100 %\n"+
			"Aqua 7732-18-5 rest to 100\nAqua ad 100\nAqua q.s. to 100 %\nAqua balance\nAqua to 100").Body.String()
		x.holds(fills, "1 line read") // a range that ends at 100 is one
		x.holds(fills, ">50-100<")
		require.Equal(t, 5, strings.Count(fills, "It fills up to 100"), "what fills up is no 100 %")
		w = x.post("/material/kelp-extract/paste", "base", x.base(sheet), "table", paste, "take", "1")
		require.Equal(t, http.StatusSeeOther, w.Code)
		require.Contains(t, x.read(sheet), "{inci: Phenoxyethanol, cas: 122-99-6, pct: 2.5}")
		water := "ingredients/water.yaml"
		require.Equal(t, http.StatusUnprocessableEntity,
			x.post("/material/water/add", "base", x.base(water), "what", "limit", "name", "5a", "amount", "1.2").Code)
		require.Equal(t, http.StatusSeeOther,
			x.post("/material/water/add", "base", x.base(water), "what", "limit", "name", "5a", "amount", "1.2",
				"amendment", "51").Code)
		require.Contains(t, x.read(water), `max_pct: {5A: 1.2}`)
		gorse := "ingredients/fo-gorse.yaml"
		w = x.post("/material/fo-gorse/allergens", "base", x.base(gorse), "list", "2023-1545", "dated",
			"22/1/2026", "new:Citral", "0.02", "set:/allergens/declared/0/pct", "3.5")
		require.Equal(t, http.StatusSeeOther, w.Code)
		require.Contains(t, x.read(gorse), "{name: Coumarin, cas: 91-64-5, pct: 3.5}")
		require.Contains(t, x.read(gorse), "name: Citral")
		require.NotContains(t, x.read(gorse), "Farnesol") // left empty: taken out
	})
	t.Run("as text, with the line ends of the file", func(t *testing.T) {
		x := begin(t, true)
		crlf := strings.ReplaceAll(x.read(file), "\n", "\r\n")
		require.NoError(t, os.WriteFile(filepath.Join(x.dir, file), []byte(crlf), 0o644))
		x.get("/text/" + file)
		typed := strings.Replace(x.read(file), "amount: 0.9}", "amount: 0.9", 1)
		w := x.post("/text/"+file, "base", x.base(file), "text", typed)
		require.Equal(t, http.StatusSeeOther, w.Code)
		require.Equal(t, typed, x.read(file))
		page := x.get("/text/" + file).Body.String()
		x.holds(page, "Unreadable")
		x.holds(x.get("/today").Body.String(), "1 file unreadable")
	})
	t.Run("read only", func(t *testing.T) {
		x := begin(t, true)
		x.site.ReadOnly = true
		before := x.tree()
		require.Equal(t, http.StatusForbidden, x.post("/product/heath-wash/formula", "base", x.base(file), amount, "1").Code)
		require.Equal(t, http.StatusForbidden, x.post("/undo").Code)
		require.Equal(t, before, x.tree())
	})
}

func TestTrial(t *testing.T) {
	x := begin(t, true)
	const file, page = "products/heath-wash.yaml", "/product/heath-wash/trial"
	before := x.tree()
	hash := func() string {
		return regexp.MustCompile(`name="base" value="([0-9a-f]+)"`).FindStringSubmatch(x.get(page).Body.String())[1]
	}
	x.holds(x.get(page).Body.String(), "Nothing yet")
	w := x.post(page, "base", hash(), "set:/formula/phases/2/lines/1/amount", "1.3",
		"text:/formula/phases/0/name", "Start")
	require.Equal(t, http.StatusSeeOther, w.Code)
	require.Equal(t, before, x.tree())
	body := x.get(page).Body.String()
	for _, want := range []string{"Keep as revision 3", "Strandkeeper P, preservative blend, written",
		"Phenoxyethanol, of 1 %", "1 stop"} {
		x.holds(body, want)
	}
	require.Equal(t, http.StatusSeeOther, x.post(page+"/back", "base", hash(), "path", "/formula/phases/0/name").Code)
	x.lacks(x.get(page).Body.String(), "Start")
	require.Equal(t, before, x.tree())
	require.Equal(t, http.StatusSeeOther, x.post(page+"/keep").Code)
	require.Contains(t, x.read(file), "revision: 3\n")
	require.Contains(t, x.read(file), "keeper-pe, amount: 1.3}")
	x.holds(x.get(page).Body.String(), "Nothing yet")
	x.post("/undo")
	require.Equal(t, before, x.tree())
	x.post(page, "base", hash(), "set:/formula/phases/2/lines/1/amount", "1.2")
	x.post(page + "/drop")
	x.holds(x.get(page).Body.String(), "Nothing yet")
	require.Equal(t, before, x.tree())
}

// A material taken for another in a trial: what the label, the limits, the margins and the papers
// come to stands filed against trial, also what only one of the two has, in the batch asked for.
func TestTrialOfAnotherMaterial(t *testing.T) {
	x := begin(t, true)
	const page = "/product/heath-wash/trial"
	before := x.tree()
	hash := regexp.MustCompile(`name="base" value="([0-9a-f]+)"`).FindStringSubmatch(x.get(page).Body.String())[1]
	require.Equal(t, http.StatusSeeOther,
		x.post(page, "base", hash, "pick:/formula/phases/2/lines/1/ingredient", "Citric acid, anhydrous").Code)
	body := x.get(page + "?batch=3kg").Body.String()
	x.holds(body, "3kg, g")
	trial := html.UnescapeString(body[strings.Index(body, `<div id="trial">`):])
	for _, want := range []string{"Ingredient list, ", "Raw materials a kg", "Phenoxyethanol, of 1 % (V/29)",
		"Margin of Phenoxyethanol", "not in it",
		"Papers of Strandkeeper P", "safety data sheet of "} {
		x.holds(trial, want)
	}
	require.Equal(t, before, x.tree())
}
