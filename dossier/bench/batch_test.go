package bench

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The record of a batch: a field that is wrong takes no other with it silently, and a decision is
// asked about before it is written.
func TestBatchRecord(t *testing.T) {
	const file, page = "batches/HW26-003.yaml", "/batch/HW26-003"
	x := begin(t, true)
	before := x.read(file)
	post := func(fields ...string) *httptest.ResponseRecorder {
		return x.post(page, append([]string{"base", x.base(file)}, fields...)...)
	}
	refused := func(t *testing.T, fields ...string) string {
		w := post(fields...)
		require.Equal(t, http.StatusUnprocessableEntity, w.Code)
		require.Equal(t, before, x.read(file), "the file as it was")
		return w.Body.String()
	}
	t.Run("two wrong fields and two right ones: each message at its field, all typed values kept", func(t *testing.T) {
		body := refused(t, "set:/yield/filled_units", "15,5", "set:/yield/filled_g", "1.000,5",
			"text:/made_by", "A. Other (invented)", "text:/remarks", "Seen twice")
		for _, want := range []string{`value="15,5"`, `value="1.000,5"`, `value="A. Other (invented)"`, `value="Seen twice"`,
			`id="yield-filled_units-wrong" role="alert">Packs filled: `, `id="yield-filled_g-wrong" role="alert">Filled, g: `,
			"Nothing else of this form is written"} {
			x.holds(body, want)
		}
		x.lacks(body, "made_by-wrong")
		x.lacks(body, "remarks-wrong")
		x.lacks(body, "Filled_units")
		x.lacks(body, "Back to the start")
	})
	t.Run("the script is told which fields are wrong", func(t *testing.T) {
		r := x.scripted(page, url.Values{"base": {x.base(file)}, "set:/yield/filled_units": {"15,5"},
			"text:/made_by": {"A. Other"}})
		var a struct {
			Error string
			Wrong map[string]string
		}
		require.NoError(t, json.Unmarshal(r.Body.Bytes(), &a))
		require.True(t, strings.HasPrefix(a.Error, "Packs filled: "), a.Error)
		require.Len(t, a.Wrong, 1)
		require.Contains(t, a.Wrong["set:/yield/filled_units"], "Packs filled: ")
		require.Equal(t, before, x.read(file))
	})
	t.Run("the script is given the record anew", func(t *testing.T) {
		r := x.scripted(page, url.Values{"base": {x.base(file)}, "text:/made_by": {"A. Other (invented)"}})
		var a struct{ Out map[string]string }
		require.NoError(t, json.Unmarshal(r.Body.Bytes(), &a))
		require.Contains(t, a.Out["out-record"], "A. Other (invented)")
		require.Contains(t, a.Out, "out-points")
		x.post("/undo")
		require.Equal(t, before, x.read(file))
	})
	t.Run("right ones together are written", func(t *testing.T) {
		require.Equal(t, http.StatusSeeOther, post("set:/yield/filled_units", "22", "text:/remarks", "Seen twice").Code)
		require.Contains(t, x.read(file), "filled_units: 22")
		x.post("/undo")
		require.Equal(t, before, x.read(file))
	})
	t.Run("released needs a name, a day, and what stands against it known", func(t *testing.T) {
		body := refused(t, "set:/release/decision", "released")
		x.holds(body, "Who decided is not stated")
		x.holds(body, "The day of the decision is not stated")
		x.holds(body, `value="released" selected`)
		x.holds(refused(t, "set:/release/decision", "rejected", "text:/release/by", "A. Other"),
			"The day of the decision is not stated")
		all := []string{"set:/release/decision", "released", "text:/release/by", "A. Other (invented)",
			"set:/release/date", "2026-02-25"}
		body = refused(t, all...)
		x.holds(body, "against it stands: ")
		x.holds(body, `id="release-decision-wrong"`)
		x.holds(x.get(page).Body.String(), "If it were released now")
		x.holds(x.get(page).Body.String(), "no signed assessment")
		require.Equal(t, http.StatusSeeOther, post(append(all, "anyway", "1")...).Code)
		require.Contains(t, x.read(file), "release: {decision: released, by: A. Other (invented), date: 2026-02-25}")
		x.post("/undo")
		require.Equal(t, before, x.read(file))
	})
	t.Run("a word where a figure is wanted is asked about", func(t *testing.T) {
		require.Equal(t, http.StatusSeeOther, post("set:/checks/0/found", "abc", "set:/checks/0/ok", "true").Code)
		body := x.get(page).Body.String()
		x.holds(body, "no figure that can be held to what is wanted")
		x.holds(body, "not compared")
		x.post("/undo")
	})
}
