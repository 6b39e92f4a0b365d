package bench

import (
	"encoding/json"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const washFile = "products/heath-wash.yaml"

// write changes a file of the workshop as an editor would.
func (x *trial) write(name string, data string) {
	require.NoError(x.t, os.WriteFile(filepath.Join(x.dir, name), []byte(data), 0o644))
}

// A line is added by a part of a name; undo calls the material by its name, and where several have
// it they are listed and what was typed stays.
func TestGridNames(t *testing.T) {
	x := begin(t, true)
	before := x.read(washFile)
	of := func(name string) (string, int) {
		w := x.post("/product/heath-wash/formula/add", "base", x.base(washFile), "what", "line", "name", name,
			"amount", "0.1", "phase", "0")
		return w.Body.String(), w.Code
	}
	_, code := of("strandkeeper p")
	require.Equal(t, http.StatusSeeOther, code)
	require.Contains(t, x.read(washFile), "{ingredient: keeper-pe, amount: 0.1}")
	x.holds(x.get("/product/heath-wash/formula").Body.String(), "new line: Strandkeeper P, preservative blend")
	x.post("/undo")
	require.True(t, before == x.read(washFile), "as it was")
	body, code := of("strandkeeper")
	require.Equal(t, http.StatusUnprocessableEntity, code)
	x.holds(body, "in their name. Choose one: ")
	x.holds(body, `value="strandkeeper"`)
	require.True(t, before == x.read(washFile), "as it was")
}

// A slot that no variant fills says so, and what to do.
func TestGridEmptySlot(t *testing.T) {
	x := begin(t, true)
	const file = "products/plain-gel.yaml"
	require.Equal(t, http.StatusSeeOther, x.post("/products/new", "name", "Plain gel", "type", "shower-gel", "for", "adults",
		"first", "Purified water, ion exchanged").Code)
	x.lacks(x.get("/product/plain-gel/formula").Body.String(), "No variant fills it yet")
	require.Equal(t, http.StatusSeeOther, x.post("/product/plain-gel/formula/add", "base", x.base(file), "what", "slot",
		"name", "scent", "amount", "0.2", "phase", "0").Code)
	x.holds(x.get("/product/plain-gel/formula").Body.String(), "No variant fills it yet")
}

// What is kept comes back with all that it changes: what the q.s. line fills, and how many points
// are open.
func TestGridAnswer(t *testing.T) {
	x := begin(t, true)
	r := x.scripted("/product/heath-wash/formula", url.Values{"base": {x.base(washFile)},
		"set:/formula/phases/2/lines/1/amount": {"5.9"}, "variant": {"scrub"}, "market": {"EU"}})
	var a struct{ Out map[string]string }
	require.NoError(t, json.Unmarshal(r.Body.Bytes(), &a))
	page := x.get("/product/heath-wash/formula?variant=scrub&market=EU").Body.String()
	x.holds(page, `<span id="rest-base" data-stale>`+a.Out["rest-base"]+`</span>`)
	x.holds(page, `<span id="open-count">`+a.Out["open-count"]+`</span>`)
}

// Beside a material with a trace of something prohibited, nothing is left by that rule, and the page
// says why, whom to ask, and what the other rules leave: no bare "up to 0".
func TestGridTrace(t *testing.T) {
	x := begin(t, true)
	sheet := "ingredients/keeper-pe.yaml"
	x.write(sheet, strings.Replace(x.read(sheet), "physical:", "impurities:\n  - {name: Dioxane, cas: 123-91-1, amount: 5 ppm}\nphysical:", 1))
	key := ""
	page := x.get("/product/heath-wash/formula?variant=scrub&market=EU").Body.String()
	for _, k := range []string{"2-0", "2-1", "2-2", "3-0", "3-1"} {
		if i := strings.Index(page, `id="amount-`+k+`"`); i > 0 && strings.Contains(page[i:i+300], "Strandkeeper P") {
			key = k
		}
	}
	require.NotEmpty(t, key, page[strings.Index(page, "<main"):][:900])
	x.holds(page, "a trace of Dioxane, prohibited unless it is technically unavoidable")
	focused := x.get("/product/heath-wash/formula?variant=scrub&market=EU&focus=" + key).Body.String()
	x.holds(focused, "<b>0 %</b> is what is left as it stands. A trace of Dioxane, prohibited unless")
	x.holds(focused, "Article 17")
	x.holds(focused, "Ask Wrackline Works (invented) whether the trace can be avoided, and the assessor")
	x.holds(focused, "For the other rules 1.09 % is the most: annex V/29, Phenoxyethanol")
	x.lacks(focused, "Use 0, the most allowed")
}
