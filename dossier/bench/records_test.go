package bench

import (
	"bytes"
	"image"
	"image/png"
	"maps"
	"mime/multipart"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Each list of a product's file: what a form writes is what it says, at its place, and one
// step back gives the bytes there were.
func TestRecords(t *testing.T) {
	x := begin(t, true)
	const file = "products/heath-wash.yaml"
	before := x.read(file)
	for name, c := range map[string]struct {
		path, list string
		fields     []string
		want       string
	}{
		"a reading": {"tests", "/stability/1/readings",
			[]string{"week", "39", "ph", "5.2", "odour", "of gorse"}, "      - {week: 39, ph: 5.2, odour: of gorse}\n"},
		"a storage test": {"tests", "/stability",
			[]string{"test", "cold", "temp_c", "5", "weeks", "12", "started", "2026-11-01"},
			"  - test: cold\n    temp_c: 5\n    weeks: 12\n    started: 2026-11-01\n"},
		"a count": {"tests", "/microbiology",
			[]string{"test", "count", "method", "ISO 21149", "verdict", "pass", "cfu_per_g", "20", "dated",
				"2026-11-02"}, "  - test: count\n    method: ISO 21149\n    verdict: pass\n    cfu_per_g: 20\n    dated: 2026-11-02\n"},
		"a reason": {"tests", "/stability/1/covers",
			[]string{"variant", "plain", "because", "the same base"},
			"    covers:\n      - {variant: plain, because: the same base}\n"},
		"a complaint": {"complaints", "/complaints",
			[]string{"dated", "2026-11-03", "text", "itching: a day", "kind", "effect", "serious", "false",
				"causality", "not-clear"}, "complaints:\n  - {dated: 2026-11-03, text: \"itching: a day\", kind: effect, serious: false, causality: not-clear}\n"},
		"packs sold": {"complaints", "/sold", []string{"units", "120", "until", "2026-10-31"},
			"sold:\n  - {units: 120, until: 2026-10-31}\n"},
		"a step of making": {"making", "/process", []string{"phase", "A", "do", "Stir", "temp_c", "25"}, "Stir"},
		"an item bought": {"making", "/costs/packaging",
			[]string{"item", "tin 100 ml", "units", "2", "each", "0.41"}, "item: tin 100 ml, units: 2, each: 0.41"},
		"weeks to look at": {"tests", "/stability", []string{"test", "room", "check_weeks", "0, 4 12"},
			"    check_weeks: [0, 4, 12]\n"},
		"a notice": {"papers", "/notifications",
			[]string{"market", "GB", "number", "X-1", "dated", "2026-11-04"}, "X-1"},
	} {
		t.Run(name, func(t *testing.T) {
			fields := []string{"base", x.base(file), "list", c.list}
			for i := 0; i < len(c.fields); i += 2 {
				fields = append(fields, "new:"+c.fields[i], c.fields[i+1])
			}
			w := x.post("/records/heath-wash/add", fields...)
			require.Equal(t, "/product/heath-wash/"+c.path, w.Header().Get("Location"))
			now := x.read(file)
			x.holds(now, c.want)
			for _, line := range strings.Split(before, "\n") {
				if line != "complaints: []" {
					require.True(t, strings.Contains(now, line), line)
				}
			}
			x.lacks(x.get("/product/heath-wash/"+c.path).Body.String(), "unreadable")
			x.post("/undo")
			require.True(t, before == x.read(file), "the file as it was")
		})
	}
	t.Run("what is no value comes back with what was typed, and nothing is written", func(t *testing.T) {
		page := x.post("/records/heath-wash/add", "base", x.base(file), "list", "/stability/1/readings", "new:week",
			"soon", "new:odour", "of heather").Body.String()
		x.holds(page, `role="alert"`)
		x.holds(page, `value="soon"`)
		x.holds(page, `value="of heather"`)
		x.holds(x.post("/records/heath-wash/add", "base", x.base(file), "list", "/complaints").Body.String(),
			"Nothing was typed.")
		require.True(t, before == x.read(file), "the file as it was")
	})
	t.Run("no other list of the file, and none outside it", func(t *testing.T) {
		for _, bad := range []string{"", "/", "/formula/phases", "/decisions", "/../x", "name", "/assessments"} {
			require.Equal(t, http.StatusUnprocessableEntity,
				x.post("/records/heath-wash/add", "base", x.base(file), "list", bad, "new:text", "x").Code, bad)
		}
		require.True(t, before == x.read(file), "the file as it was")
	})
	t.Run("a value at its place, and an entry taken out", func(t *testing.T) {
		x.post("/product/heath-wash/tests", "base", x.base(file), "set:/stability/0/readings/3/ph", "5.9")
		require.True(t, strings.Replace(before, "{week: 12, ph: 5.1,", "{week: 12, ph: 5.9,", 1) == x.read(file))
		x.post("/product/heath-wash/tests", "base", x.base(file), "set:/stability/0/readings/3/ph", "5.1")
		require.True(t, before == x.read(file), "the file as it was")
		x.post("/product/heath-wash/tests", "base", x.base(file), "do", "remove:/stability/1/readings/2")
		require.True(t, strings.Replace(before, "      - {week: 26, ph: 5.0, appearance: ok, weight: 0.3 % lost}\n",
			"", 1) == x.read(file))
		x.post("/undo")
	})
	t.Run("a page whose lists are empty does not say that nothing is open", func(t *testing.T) {
		x.lacks(x.get("/product/heath-wash/making").Body.String(), "Still empty on this page")
		require.Equal(t, http.StatusSeeOther,
			x.post("/product/heath-wash/making", "base", x.base(file), "do", "remove:/process").Code)
		page := x.get("/product/heath-wash/making").Body.String()
		x.holds(page, "Still empty on this page: Steps.")
		x.lacks(page, "Nothing is open that this page settles")
		x.post("/undo")
		require.True(t, before == x.read(file), "the file as it was")
	})
	t.Run("the trend is drawn", func(t *testing.T) {
		x.holds(x.get("/product/heath-wash/tests").Body.String(), "chart-stability-ph")
	})
	t.Run("a reading outside the specification is kept, and asked about", func(t *testing.T) {
		x.post("/records/heath-wash/add", "base", x.base(file), "list", "/stability/1/readings", "new:week", "30",
			"new:ph", "9")
		require.Contains(t, x.read(file), "{week: 30, ph: 9}")
		x.holds(x.get("/product/heath-wash").Body.String(), "week 30")
		x.post("/undo")
	})
	t.Run("that no complaint is known is written, not assumed", func(t *testing.T) {
		const salt = "products/salt-scrub.yaml"
		was := x.read(salt)
		if strings.Contains(was, "\ncomplaints:") {
			t.Skip("the demo says so already")
		}
		x.holds(x.get("/product/salt-scrub/complaints").Body.String(), "not stated")
		x.post("/product/salt-scrub/complaints/none", "base", x.base(salt))
		require.Contains(t, x.read(salt), "complaints: []")
		x.post("/undo")
		require.Equal(t, was, x.read(salt))
	})
}

// A paper of a product is filed under a name of the program's making, and a report with its test.
func TestRecordPapers(t *testing.T) {
	x := begin(t, true)
	const file = "products/heath-wash.yaml"
	before := x.tree()
	send := func(path, name string, data string, fields ...string) int {
		var b bytes.Buffer
		w := multipart.NewWriter(&b)
		for i := 0; i+1 < len(fields); i += 2 {
			_ = w.WriteField(fields[i], fields[i+1])
		}
		f, err := w.CreateFormFile("paper", name)
		require.NoError(t, err)
		_, _ = f.Write([]byte(data))
		require.NoError(t, w.Close())
		return x.do("POST", path, &b, w.FormDataContentType()).Code
	}
	const add = "/records/heath-wash/add"
	require.Equal(t, http.StatusSeeOther,
		send(add, "../My Claim.PDF", "%PDF-1.7\n", "base", x.base(file), "list", "/documents", "new:kind", "claim",
			"new:dated", "2026-11-05"))
	require.Contains(t, x.read(file), "{kind: claim, dated: 2026-11-05, file: evidence/heath-wash-claim.pdf}")
	require.Equal(t, "%PDF-1.7\n", x.read("evidence/heath-wash-claim.pdf"))
	x.holds(x.get("/product/heath-wash/papers").Body.String(), "/paper/evidence/heath-wash-claim.pdf")
	x.post("/undo")
	require.Equal(t, http.StatusSeeOther,
		send("/records/heath-wash/report", "r.pdf", "%PDF-1.7\n", "base", x.base(file), "list", "/stability/1"))
	require.Contains(t, x.read(file), "file: evidence/heath-wash-report.pdf")
	x.post("/undo")
	var photo bytes.Buffer
	require.NoError(t, png.Encode(&photo, image.NewGray(image.Rect(0, 0, 8, 8))))
	require.Equal(t, http.StatusSeeOther,
		send(add, "front.png", photo.String(), "base", x.base(file), "list", "/pictures", "new:caption", "The front"))
	require.Contains(t, x.read(file), "caption: The front")
	x.holds(x.get("/product/heath-wash/papers").Body.String(), "/paper/evidence/heath-wash-pictures.png")
	x.post("/undo")
	send(add, "", "", "base", x.base(file), "list", "/pictures", "new:caption", "None")
	send(add, "x.exe", "MZ", "base", x.base(file), "list", "/documents", "new:kind", "claim")
	send(add, "x.pdf", "<html>", "base", x.base(file), "list", "/documents", "new:kind", "claim")
	send(add, "x.pdf", "%PDF-1.7\n", "base", x.base(file), "list", "/documents")
	send(add, "x.pdf", "%PDF-1.7\n", "base", x.base(file), "list", "/documents", "new:kind", "unheard-of")
	require.True(t, maps.Equal(before, x.tree()), "all files as they were")
}

// The workshop's own file is changed at its place, and not so that it could not be read.
func TestWorkshopPage(t *testing.T) {
	x := begin(t, true)
	const file = "workshop.yaml"
	before := x.read(file)
	x.holds(x.get("/workshop").Body.String(), "Pier 0")
	x.post("/workshop", "base", x.base(file), "set:/evidence_years", "5", "list:/responsible_person/EU/address",
		"Pier 1\nCork")
	now := x.read(file)
	require.Contains(t, now, "evidence_years: 5")
	require.Contains(t, now, "address: [Pier 1, Cork]")
	require.Contains(t, now, "# README.txt beside this file")
	x.post("/undo")
	require.True(t, before == x.read(file), "the file as it was")
	for field, value := range map[string]string{"set:/maker/country": "Britain", "marks:/markets": "Mars",
		"set:/balance/division_g": "fine", "set:/evidence_years": "0"} {
		require.Equal(t, http.StatusUnprocessableEntity, x.post("/workshop", "base", x.base(file), field, value).Code, field)
	}
	require.True(t, before == x.read(file), "the file as it was")
}

// Markets are ticked by name; the file keeps its order, none ticked is refused where it has to be
// stated, and a product that states none is sold where the workshop sells.
func TestMarkets(t *testing.T) {
	x := begin(t, true)
	const file = "workshop.yaml"
	before := x.read(file)
	require.Contains(t, before, "markets: [GB, EU]")
	page := x.get("/workshop").Body.String()
	x.holds(page, `value="GB" checked>Great Britain</label>`)
	x.holds(page, `value="EU" checked>European Union</label>`)
	marks := func(page, file string, values ...string) int {
		form := url.Values{"base": {x.base(file)}, "marks:/markets": append([]string{""}, values...)}
		return x.do("POST", page, strings.NewReader(form.Encode()), "application/x-www-form-urlencoded").Code
	}
	require.Equal(t, http.StatusSeeOther, marks("/workshop", file, "EU", "GB"))
	require.True(t, before == x.read(file), "the same two in another order change nothing")
	require.Equal(t, http.StatusUnprocessableEntity, marks("/workshop", file))
	require.True(t, before == x.read(file), "no market at all is refused")
	require.Equal(t, http.StatusSeeOther, marks("/workshop", file, "GB"))
	require.Contains(t, x.read(file), "markets: [GB]")
	require.Equal(t, http.StatusSeeOther, marks("/workshop", file, "GB", "NI"))
	require.Contains(t, x.read(file), "markets: [GB, NI]")
	x.holds(x.get("/workshop").Body.String(), `value="NI" checked>Northern Ireland</label>`)
	require.Equal(t, http.StatusSeeOther, x.post("/workshop", "base", x.base(file),
		"text:/responsible_person/NI/name", "Skerry Ltd (invented)",
		"list:/responsible_person/NI/address", "Pier 1\nBelfast BT1 1AA").Code)
	require.Contains(t, x.read(file), "Skerry Ltd (invented)")
	x.post("/undo")
	x.post("/undo")
	require.Contains(t, x.read(file), "markets: [GB]")
	const product = "products/heath-wash.yaml"
	was := x.read(product)
	require.Contains(t, was, "markets: [GB, EU]")
	require.Equal(t, http.StatusSeeOther, marks("/product/heath-wash/facts", product, "GB"))
	require.Contains(t, x.read(product), "markets: [GB]")
	require.Equal(t, http.StatusSeeOther, marks("/product/heath-wash/facts", product))
	require.NotContains(t, x.read(product), "markets:")
	x.holds(x.get("/product/heath-wash/facts").Body.String(), `value="GB">Great Britain</label>`)
	x.post("/undo")
	x.post("/undo")
	require.True(t, was == x.read(product), "the file as it was")
}

// Costs, the reaction with lye, the label's further measures and outlets are fields as all others:
// what is typed stands at its place, and one step back gives the bytes there were.
func TestFieldsOfTheRest(t *testing.T) {
	x := begin(t, true)
	for name, c := range map[string]struct {
		page, file string
		fields     []string
		want       string
	}{
		"costs": {"/product/salt-scrub/facts", "products/salt-scrub.yaml",
			[]string{"set:/costs/loss_pct", "2.5"}, "loss_pct: 2.5"},
		"lye": {"/product/salt-scrub/facts", "products/salt-scrub.yaml",
			[]string{"list:/formula/saponify/alkali", "NaOH\nKOH", "set:/formula/saponify/excess_fat_pct", "5"},
			"alkali: [NaOH, KOH]"},
		"label": {"/product/heath-wash/facts", "products/heath-wash.yaml",
			[]string{"set:/label/margin_mm", "2.5"}, "margin_mm: 2.5"},
		"packs bought": {"/material/glycerin", "ingredients/glycerin.yaml",
			[]string{"figures:/purchase/packs_g", "500; 2500"}, "packs_g: [500, 2500]"},
		"a value": {"/material/glycerin/toxicology/add", "ingredients/glycerin.yaml",
			[]string{"list", "/toxicology", "new:inci", "Glycerin", "new:source", "invented paper, page 2",
				"new:pod/type", "NOAEL", "new:pod/mg_per_kg_bw_d", "1000", "new:classification/h_phrases", "H318, H412",
				"new:classification/source", "sheet of 2026"},
			"  - inci: Glycerin\n    source: invented paper, page 2\n    pod: {type: NOAEL, mg_per_kg_bw_d: 1000}\n    classification:\n      h_phrases: [H318, H412]\n      source: sheet of 2026\n"},
		"outlet": {"/workshop/outlets", "workshop.yaml",
			[]string{"new:name", "Harbour stall", "new:contact/name", "R. Quill (invented)", "new:contact/phone", "01"},
			"{name: R. Quill (invented), phone: \"01\"}"},
	} {
		t.Run(name, func(t *testing.T) {
			before := x.read(c.file)
			w := x.post(c.page, append([]string{"base", x.base(c.file)}, c.fields...)...)
			require.Equal(t, http.StatusSeeOther, w.Code, w.Body.String())
			x.holds(x.read(c.file), c.want)
			require.NotContains(t, x.get("/today").Body.String(), "cannot be read")
			x.post("/undo")
			require.True(t, before == x.read(c.file), "the file as it was")
		})
	}
	refused := x.post("/workshop/outlets", "base", x.base("workshop.yaml"))
	x.holds(refused.Body.String(), "Nothing was typed.")
	require.Equal(t, http.StatusUnprocessableEntity, refused.Code)
}

// What papers say of a substance's endpoints is entered under it, and nowhere else in the file.
func TestToxicologyPage(t *testing.T) {
	x := begin(t, true)
	const file, at = "ingredients/glycerin.yaml", "/material/glycerin/toxicology"
	before := x.read(file)
	add := func(fields ...string) string {
		return x.post(at+"/add", append([]string{"base", x.base(file)}, fields...)...).Body.String()
	}
	add("list", "/toxicology", "new:inci", "Glycerin", "new:source", "invented paper")
	add("list", "/toxicology/0/endpoints", "new:endpoint", "skin-irrit", "new:result", "not irritant",
		"new:source", "page 3")
	x.holds(x.read(file), "{endpoint: skin-irrit, result: not irritant, source: page 3}")
	page := x.get(at).Body.String()
	x.holds(page, "Skin irritation and corrosion")
	x.holds(x.get("/material/glycerin").Body.String(), "Values or statements of Glycerin.")
	now := x.read(file)
	x.holds(add("list", "/toxicology/0/endpoints", "new:endpoint", "skin-sens", "new:result", "no"), `role="alert"`)
	x.holds(add("list", "/toxicology/0/endpoints"), "Nothing was typed.")
	for _, bad := range []string{"", "/", "/composition/constituents", "/toxicology/7/endpoints", "/documents",
		"/x/0/endpoints"} {
		require.Equal(t, http.StatusUnprocessableEntity,
			x.post(at+"/add", "base", x.base(file), "list", bad, "new:inci", "Glycerin").Code, bad)
	}
	require.Equal(t, now, x.read(file))
	x.post(at, "base", x.base(file), "do", "remove:/toxicology/0")
	x.lacks(x.read(file), "invented paper")
	x.post("/undo")
	x.post("/undo")
	x.post("/undo")
	require.True(t, before == x.read(file), "the file as it was")
}
