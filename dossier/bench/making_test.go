package bench

import (
	"bytes"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestUpload(t *testing.T) {
	x := begin(t, true)
	sheet := "ingredients/water.yaml"
	send := func(name, kind, base string, data []byte) *httptest.ResponseRecorder {
		var b bytes.Buffer
		w := multipart.NewWriter(&b)
		_ = w.WriteField("base", base)
		_ = w.WriteField("kind", kind)
		_ = w.WriteField("dated", "2026-03-01")
		f, err := w.CreateFormFile("paper", name)
		require.NoError(t, err)
		_, _ = f.Write(data)
		require.NoError(t, w.Close())
		return x.do("POST", "/papers/water", &b, w.FormDataContentType())
	}
	pdf := []byte("%PDF-1.7\nnothing")
	w := send("../../Sheet of Water.PDF", "sds", x.base(sheet), pdf)
	require.Equal(t, http.StatusSeeOther, w.Code)
	require.Equal(t, string(pdf), x.read("evidence/water-sds.pdf"))
	require.Contains(t, x.read(sheet), "{kind: sds, file: evidence/water-sds.pdf, dated: 2026-03-01}")
	w = x.get("/paper/evidence/water-sds.pdf")
	require.Equal(t, "application/pdf", w.Header().Get("Content-Type"))
	require.Contains(t, w.Header().Get("Content-Security-Policy"), "sandbox")
	before := x.tree()
	for _, c := range []struct {
		name, kind string
		data       []byte
		want       int
	}{
		{"a.html", "sds", []byte("<html>"), http.StatusUnsupportedMediaType},
		{"a.pdf", "sds", []byte("<html><script>"), http.StatusUnsupportedMediaType},
		{"a.txt", "sds", []byte("<html><script>alert(1)"), http.StatusUnsupportedMediaType},
		{"a.exe", "sds", pdf, http.StatusUnsupportedMediaType},
		{"a.pdf", "unheard-of", pdf, http.StatusUnprocessableEntity},
		{"a.pdf", "sds", bytes.Repeat([]byte("x"), 64<<20+1), http.StatusRequestEntityTooLarge},
	} {
		require.Equal(t, c.want, send(c.name, c.kind, x.base(sheet), c.data).Code, c.name)
	}
	require.Equal(t, before, x.tree())
	x.post("/undo")
	require.NoFileExists(t, filepath.Join(x.dir, "evidence/water-sds.pdf"))
}

func TestScale(t *testing.T) {
	x := begin(t, true)
	w := x.post("/scale", "what", "heath-wash/scrub", "size", "3 kg")
	require.Equal(t, "/scale/HW26-004", w.Header().Get("Location"))
	const file = "batches/HW26-004.yaml"
	line := func(i, lot, grams string, more ...string) *httptest.ResponseRecorder {
		return x.post("/scale/HW26-004",
			append([]string{"base", x.base(file), "index", i, "lot", lot, "grams", grams}, more...)...)
	}
	require.Equal(t, http.StatusSeeOther, line("0", "W-1", "1391,2").Code)
	require.Contains(t, x.read(file), "planned_g: 1391.4, weighed_g: 1391.2, lot: W-1, best_before: }")
	before := x.read(file)
	for what, w := range map[string]*httptest.ResponseRecorder{
		"off its plan":                   line("8", "RM-0109", "30"),
		"is on record as":                line("8", "RM-0121", "25.7"),
		"expired on":                     line("1", "RM-9", "114.3", "until", "2026-01-01"),
		"is a figure in":                 line("1", "RM-9", "a lot"),
		"Which lot it is":                line("1", "", "114.3"),
		"Write the expiry date as a day": line("1", "RM-9", "114.3", "until", "soon"),
	} {
		x.holds(w.Body.String(), what)
	}
	require.Equal(t, before, x.read(file))
	require.Equal(t, http.StatusSeeOther, line("8", "RM-0109", "30", "reason", "hand slipped").Code)
	require.Contains(t, x.read(file), "weighed_g: 30, lot: RM-0109, best_before: 2027-11-30, reason: hand slipped}")
	t.Run("another browser may look on, or take over", func(t *testing.T) {
		mine := x.cookies
		x.cookies = map[string]string{}
		x.holds(x.get("/scale/HW26-004").Body.String(), "weighed elsewhere")
		require.Equal(t, http.StatusSeeOther, line("1", "RM-0114", "114.3").Code)
		require.NotContains(t, x.read(file), "RM-0114")
		x.post("/scale/HW26-004/take")
		line("1", "RM-0114", "114.3")
		require.Contains(t, x.read(file), "RM-0114")
		x.cookies = mine
		x.holds(x.get("/scale/HW26-004").Body.String(), "weighed elsewhere")
	})
}

// The lots at the scale: those in the books to choose from, first what expires first; one that
// may not be used is refused in words, by its code too.
func TestScaleLots(t *testing.T) {
	x := begin(t, true)
	const water = "Purified water, ion exchanged"
	for _, lot := range [][2]string{{"W-7", "2027-06-30"}, {"W-8", "2027-01-31"}, {"W-9", "2026-10-01"}} {
		require.Equal(t, "/stock", x.post("/stock", "name", water, "amount", "5 kg", "lot", lot[0], "best_before",
			lot[1]).Header().Get("Location"))
	}
	x.post("/stock", "name", "Vegetable glycerin 99.5", "amount", "5 kg", "lot", "G-1")
	require.Equal(t, "/scale/HW26-004",
		x.post("/scale", "what", "heath-wash/scrub", "size", "3 kg").Header().Get("Location"))
	page := x.get("/scale/HW26-004").Body.String()
	require.Regexp(t, `(?s)data-value="W-8".*good until 2027-01-31 · 5000 g left.*data-value="W-7"`, page)
	x.lacks(page, `data-value="W-9"`)
	x.holds(page, "W-9, good until 2026-10-01")
	const file = "batches/HW26-004.yaml"
	before := x.read(file)
	line := func(lot string) *httptest.ResponseRecorder {
		return x.post("/scale/HW26-004", "base", x.base(file), "index", "0", "lot", lot, "grams", "1391.4")
	}
	x.holds(line("W-9").Body.String(), "Lot W-9 expired on 1 October 2026")
	x.holds(line("G-1").Body.String(), "Lot G-1 is on file as Vegetable glycerin 99.5")
	require.Equal(t, before, x.read(file))
	require.Equal(t, http.StatusSeeOther, line("W-8").Code)
	require.Contains(t, x.read(file), "lot: W-8")
	t.Run("two lots, with the mass of each", func(t *testing.T) {
		two := func(fields ...string) *httptest.ResponseRecorder {
			return x.post("/scale/HW26-004",
				append([]string{"base", x.base(file), "index", "0", "lot", "W-8", "grams", "1391.4"}, fields...)...)
		}
		before := x.read(file)
		for what, w := range map[string]*httptest.ResponseRecorder{
			"Which the second lot is":          two("grams2", "391.4"),
			"Both lots have the code W-8":      two("lot2", "W-8", "grams2", "391.4"),
			"from the second lot is a figure":  two("lot2", "W-7", "grams2", "some"),
			"leave nothing for the first":      two("lot2", "W-7", "grams2", "1391.4"),
			"Lot W-9 expired on":               two("lot2", "W-9", "grams2", "391.4"),
			"on file as Vegetable glycerin":    two("lot2", "G-1", "grams2", "391.4"),
			"Write the expiry date as a day, ": two("lot2", "Z-1", "grams2", "391.4", "until2", "soon"),
		} {
			x.holds(w.Body.String(), what)
		}
		require.Equal(t, before, x.read(file))
		require.Equal(t, http.StatusSeeOther, two("lot2", "W-7", "grams2", "391,4").Code)
		require.Contains(t, x.read(file),
			"weighed_g: 1391.4, lots: [{lot: W-8, g: 1000, best_before: 2027-01-31}, {lot: W-7, g: 391.4, best_before: 2027-06-30}]}")
		page := x.get("/scale/HW26-004?line=0").Body.String()
		x.holds(page, `<details class="twolots" open>`)
		x.holds(page, `name="grams2" class="num" value="391.4"`)
		x.lacks(x.get("/batch/HW26-004").Body.String(), "unreadable")
		require.NoError(t, os.WriteFile(filepath.Join(x.dir, file),
			[]byte(strings.Replace(x.read(file), "{lot: W-7, g: 391.4,", "{lot: W-7, supplier_lot: SUP-7, g: 391.4,",
				1)), 0o600))
		require.Equal(t, http.StatusSeeOther, two("lot2", "W-7", "grams2", "390").Code)
		require.Contains(t, x.read(file), "{lot: W-7, g: 390, supplier_lot: SUP-7, best_before: 2027-06-30}",
			"the supplier's number stays")
		require.Equal(t, http.StatusSeeOther, line("W-7").Code, "one lot again")
		require.Contains(t, x.read(file), "supplier_lot: SUP-7")
		require.Contains(t, x.read(file), "weighed_g: 1391.4, lot: W-7, best_before: 2027-06-30, supplier_lot: SUP-7}")
	})
}

// What is done with a phase stands beside its lines, with its place in the method, and the whole
// method behind the last line.
func TestScaleMethod(t *testing.T) {
	x := begin(t, true)
	page := x.get("/scale/HW26-003?line=0").Body.String()
	here := page[strings.Index(page, "How phase A is made"):strings.Index(page, "The whole method")]
	x.holds(here, `<p class="heat">Heat to <b>`)
	for _, want := range []string{`<li value="1"><b>A</b> Wet the gum`,
		`<b>40 °C</b> · 20 min · 600 turns a minute`, `<li value="4"><b>A</b> Join both phases`} {
		x.holds(here, want)
	}
	x.lacks(here, "Melt the flakes")
	x.holds(page[strings.Index(page, "The whole method"):], `<li value="2"><b>B</b> Melt the flakes`)
	page = x.get("/scale/SS26-001").Body.String()
	x.holds(page, "All lines are weighed")
	x.holds(page, `<details class="method" open>`)
}
