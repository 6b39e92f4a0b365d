package bench

import (
	"html"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/answer/answertest"
)

func TestStock(t *testing.T) {
	x := begin(t, true)
	before := x.tree()
	glycerin := "Vegetable glycerin 99.5"
	t.Run("what cannot be is refused in words, with what was typed", func(t *testing.T) {
		for want, form := range map[string][]string{
			"is no material here":    {"name", "glycerine of somebody", "amount", "5 kg"},
			"is not a date":          {"name", glycerin, "amount", "5 kg", "best_before", "soon"},
			"is no price":            {"name", glycerin, "amount", "5 kg", "price", "much"},
			"cannot be the number":   {"name", glycerin, "amount", "5 kg", "lot", "../x"},
			"what came in":           {"amount", "5 kg"},
			"value=\"SG-1\"":         {"name", glycerin, "amount", "some", "supplier_lot", "SG-1"},
			"is no number of pieces": {"name", "jar 120 ml", "amount", "many"},
		} {
			w := x.post("/stock", form...)
			require.Equal(t, http.StatusUnprocessableEntity, w.Code, want)
			if want != "what came in" {
				x.holds(w.Body.String(), want)
			}
		}
		require.Equal(t, before, x.tree())
	})
	t.Run("entered, counted, thrown away, and back", func(t *testing.T) {
		require.Equal(t, "/stock", x.post("/stock", "name", glycerin, "amount", "5 kg", "lot", "RM-9001",
			"supplier_lot", "SG-1", "best_before", "2028-03-31", "price", "18.40").Header().Get("Location"))
		require.Equal(t, "lot: \"RM-9001\"\ningredient: glycerin\nsupplier_lot: \"SG-1\"\nreceived: 2026-11-29\nreceived_g: 5000\nbest_before: 2028-03-31\nprice: 18.4   # of the whole lot\n", x.read("lots/RM-9001.yaml"))
		x.holds(x.get("/stock").Body.String(), "RM-9001")
		x.holds(x.post("/stock", "name", glycerin, "amount", "1 kg", "lot", "rm-9001").Body.String(), "no lot is overwritten")
		require.Equal(t, http.StatusUnprocessableEntity,
			x.post("/stock/move", "lot", "RM-9001", "kind", "discarded", "amount", "100").Code)
		x.post("/stock/move", "lot", "RM-9001", "kind", "discarded", "amount", "100 g", "reason", "spilt")
		require.Contains(t, x.read("lots/RM-9001.yaml"), "reason: spilt")
		x.holds(x.get("/stock").Body.String(), "4900")
		for range 2 {
			x.post("/undo")
		}
		require.Equal(t, before, x.tree())
	})
	t.Run("packaging is counted", func(t *testing.T) {
		x.post("/stock", "name", "jar 120 ml", "amount", "200", "lot", "PK-9")
		require.Contains(t, x.read("lots/PK-9.yaml"), "item: \"jar 120 ml\"\nreceived: 2026-11-29\nreceived_units: 200\n")
	})
}

func TestDates(t *testing.T) {
	x := begin(t, true)
	x.holds(x.get("/dates").Body.String(), "2027")
	w := x.get("/dates.ics")
	require.Contains(t, w.Header().Get("Content-Type"), "text/calendar")
	x.holds(w.Body.String(), "BEGIN:VCALENDAR")
}

// What is asked is decided for the values that were shown, counts as decided, and is taken
// back like any change.
func TestDecision(t *testing.T) {
	x := begin(t, true)
	const file, page = "products/heath-wash.yaml", "/product/heath-wash"
	before := x.read(file)
	m := regexp.MustCompile(`name="code" value="(open-order)"><input type="hidden" name="subject" value="([^"]*)"><input type="hidden" name="values" value="([^"]*)"`).
		FindStringSubmatch(x.get(page).Body.String())
	require.NotNil(t, m)
	send := func(more ...string) *httptest.ResponseRecorder {
		return x.post(page+"/decide",
			append([]string{"code", m[1], "subject", html.UnescapeString(m[2]), "values", m[3]}, more...)...)
	}
	t.Run("refused without who and what, for other values, for a day that is past", func(t *testing.T) {
		require.Equal(t, http.StatusUnprocessableEntity, send("by", "M").Code)
		require.Equal(t, http.StatusUnprocessableEntity, send("decision", "order as it is").Code)
		require.Equal(t, http.StatusUnprocessableEntity, send("decision", "x", "by", "M", "until", "2026-11-29").Code)
		require.Equal(t, http.StatusConflict, send("decision", "x", "by", "M", "values", "v0").Code)
		require.Equal(t, before, x.read(file))
	})
	t.Run("decided, and taken back", func(t *testing.T) {
		require.Equal(t, page, send("decision", "the order stays", "by", "M. Invented", "until",
			"2027-11-30").Header().Get("Location"))
		require.Contains(t, x.read(file), "the order stays")
		x.holds(x.get(page).Body.String(), "Decided in writing")
		require.Equal(t, http.StatusSeeOther, x.post(page, "base", x.base(file), "do", "remove:/decisions/0").Code)
		require.NotContains(t, x.read(file), "the order stays")
		x.post("/undo")
		x.post("/undo")
		require.Equal(t, before, x.read(file))
	})
}

// The assessor's answer is shown before anything is recorded, recorded as one step, and its
// signed report filed. Names and words are invented.
func TestAnswer(t *testing.T) {
	x := begin(t, true)
	require.Equal(t, http.StatusOK, x.post("/product/heath-wash/pack").Code)
	form, err := os.ReadFile(filepath.Join(x.dir, "out/heath-wash-part-b.docx"))
	require.NoError(t, err)
	before := x.tree()
	t.Run("no answer", func(t *testing.T) {
		require.Equal(t, http.StatusUnprocessableEntity, x.send("/answer/heath-wash", "a.docx", []byte("PK")).Code)
		require.Equal(t, http.StatusUnprocessableEntity, x.send("/answer/heath-wash", "a.pdf", []byte("%PDF-1.4")).Code)
		require.Equal(t, http.StatusUnprocessableEntity, x.send("/answer/lip-balm", "a.docx", form).Code)
		require.Equal(t, before, x.tree())
	})
	filled := answertest.Fill(t, form,
		map[string]answertest.Cells{"B4": {2: "Dr Morag Fenwick (invented), 2 Tarn Row, Northness"},
			"B4a": {2: "toxicologist, university degree (invented)"}, "B4b": {2: "25 November 2026"},
			"B1a": {2: "Safe under the conditions written."},
			"B1e": {2: "at most 0.9 % of the preservative"}, "V01": {2: "valid"}})
	at := x.send("/answer/heath-wash", "a.docx", filled).Header().Get("Location")
	require.Regexp(t, `^/answer/heath-wash/[0-9a-f]{32}$`, at)
	page := x.get(at).Body.String()
	for _, want := range []string{"Dr Morag Fenwick (invented)", "25 November 2026",
		"at most 0.9 % of the preservative", "Nothing is recorded yet"} {
		x.holds(page, want)
	}
	require.Equal(t, before, x.tree())
	x.holds(x.get("/papers").Body.String(), "0 waiting")
	require.Equal(t, http.StatusNotFound, x.get(strings.Replace(at, "heath-wash", "lip-balm", 1)).Code)
	require.Equal(t, "/product/heath-wash/pack", x.post(at).Header().Get("Location"))
	require.Contains(t, x.read("products/heath-wash.yaml"), "Dr Morag Fenwick (invented)")
	require.FileExists(t, filepath.Join(x.dir, "out/heath-wash-part-b.pdf"))
	x.post("/undo")
	require.Equal(t, before, x.tree())
}

// What is asked about a lot is decided for the values that were shown, and taken back.
func TestDecisionOnLot(t *testing.T) {
	x := begin(t, true)
	require.NoError(t, os.MkdirAll(filepath.Join(x.dir, "lots"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(x.dir, "lots/RM-9002.yaml"),
		[]byte("lot: RM-9002\ningredient: glycerin\nreceived: 2026-11-01\nreceived_g: 1000\nbest_before: 2026-10-01\n"), 0o644))
	before := x.read("workshop.yaml")
	m := regexp.MustCompile(`name="code" value="(lot-days)"><input type="hidden" name="subject" value="([^"]*)"><input type="hidden" name="values" value="([^"]*)"`).
		FindStringSubmatch(x.get("/stock").Body.String())
	require.NotNil(t, m)
	require.Equal(t, "RM-9002", m[2])
	send := func(more ...string) *httptest.ResponseRecorder {
		return x.post("/stock/decide", append([]string{"code", m[1], "subject", m[2], "values", m[3]}, more...)...)
	}
	require.Equal(t, http.StatusUnprocessableEntity, send("by", "M").Code)
	require.Equal(t, http.StatusConflict, send("decision", "x", "by", "M", "values", "v0").Code)
	require.Equal(t, before, x.read("workshop.yaml"))
	require.Equal(t, "/stock", send("decision", "the day was mistyped on the drum", "by",
		"M. Invented").Header().Get("Location"))
	require.Contains(t, x.read("workshop.yaml"), "the day was mistyped on the drum")
	page := x.get("/stock").Body.String()
	x.holds(page, "Decided in writing")
	require.NotContains(t, page, `name="code" value="lot-days"`)
	require.Equal(t, http.StatusSeeOther,
		x.post("/stock/decisions", "base", x.base("workshop.yaml"), "do", "remove:/decisions/0").Code)
	require.NotContains(t, x.read("workshop.yaml"), "mistyped")
	x.post("/undo")
	x.post("/undo")
	require.Equal(t, before, x.read("workshop.yaml"))
}
