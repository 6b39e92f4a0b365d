package bench

import (
	"bytes"
	"maps"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// sendFile posts a file as a browser does.
func (x *trial) sendFile(path, name, data string, fields ...string) *httptest.ResponseRecorder {
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	for i := 0; i+1 < len(fields); i += 2 {
		_ = w.WriteField(fields[i], fields[i+1])
	}
	f, err := w.CreateFormFile("paper", name)
	require.NoError(x.t, err)
	_, _ = f.Write([]byte(data))
	require.NoError(x.t, w.Close())
	return x.do("POST", path, &b, w.FormDataContentType())
}

const ownFormula = "Sorrel Scrub Gel\n\nPhase,Ingredient,%\nA,\"Purified water, ion exchanged\",q.s. to 100\nA,\"Vegetable glycerin 99.5\",3\nB,Sorrel powder,2-3\nB,Lactic acid 80 %,to pH 5.0\n"

// A formula in a table becomes a product: what is open is asked, nothing is written before,
// and product and new sheets are one step.
func TestFormulas(t *testing.T) {
	x := begin(t, true)
	before := x.tree()
	where := x.sendFile("/formulas", "../sorrel gel.csv", ownFormula).Header().Get("Location")
	require.Regexp(t, `^/formulas/[0-9a-f]+$`, where)
	page := x.get(where).Body.String()
	x.holds(page, "2-3")
	x.holds(page, "Sorrel powder")
	x.lacks(page, "no-value")
	require.True(t, maps.Equal(before, x.tree()))
	x.holds(x.get("/formulas").Body.String(), "sorrel gel.csv")
	x.lacks(x.get("/papers").Body.String(), "sorrel gel.csv")
	const powder, acid = "set:/formula/phases/1/lines/0/amount", "set:/formula/phases/1/lines/1/amount"
	fields := []string{"product", "0", "text:/name", "Sorrel Gel", "set:/product_type", "shower-gel",
		"set:/intended_for", "adults", "set:/net_content/g", "100"}
	t.Run("an open amount is asked for, with what was typed", func(t *testing.T) {
		page := x.post(where, append(fields, powder, "2.5", acid, "")...).Body.String()
		x.holds(page, "is open")
		x.holds(page, `value="2.5"`)
		x.holds(x.post(where, append(fields, powder, "a pinch", acid, "0.2")...).Body.String(), `role="alert"`)
		require.True(t, maps.Equal(before, x.tree()))
	})
	t.Run("written as one step", func(t *testing.T) {
		w := x.post(where, append(fields, powder, "2.5", acid, "0.2")...)
		require.Equal(t, "/torn", w.Header().Get("Location"))
		text := x.read("products/sorrel-gel.yaml")
		for _, want := range []string{"product_type: shower-gel", `{ingredient: sorrel-powder, amount: "2.5"}`,
			`amount: "0.2"}`, "amount: q.s.}", "{ingredient: water,"} {
			x.holds(text, want)
		}
		x.holds(x.read("ingredients/sorrel-powder.yaml"), "Sorrel powder")
		x.lacks(x.get("/today").Body.String(), "unreadable")
		x.holds(x.get("/torn").Body.String(), `href="/material/sorrel-powder"`)
		x.holds(x.get("/product/sorrel-gel/formula").Body.String(), "cannot be computed yet: what is in Sorrel powder")
		const sheet = "ingredients/sorrel-powder.yaml"
		w = x.post("/material/sorrel-powder/add", "base", x.base(sheet), "what", "constituent", "name",
			"Rumex Acetosa Leaf Powder", "amount", "100")
		require.Equal(t, http.StatusSeeOther, w.Code)
		require.Equal(t, http.StatusUnprocessableEntity, x.get("/product/sorrel-gel/formula").Code)
		x.post("/material/lactic-acid-80/add", "base", x.base("ingredients/lactic-acid-80.yaml"), "what",
			"constituent", "name", "Lactic Acid", "amount", "80")
		require.Equal(t, http.StatusOK, x.get("/product/sorrel-gel/formula").Code)
		x.post("/undo")
		x.post("/undo")
		x.post("/undo")
		require.NoFileExists(t, filepath.Join(x.dir, "products/sorrel-gel.yaml"))
		require.NoFileExists(t, filepath.Join(x.dir, "ingredients/sorrel-powder.yaml"))
	})
	t.Run("a line left out, and a name that is a sheet", func(t *testing.T) {
		where := x.sendFile("/formulas", "sorrel.csv", ownFormula).Header().Get("Location")
		w := x.post(where, append(fields, powder, "2.5", acid, "", "out:/formula/phases/1/lines/1/amount", "1",
			"is0", "olive-stone")...)
		require.Equal(t, "/product/sorrel-gel/formula", w.Header().Get("Location"))
		x.holds(x.read("products/sorrel-gel.yaml"), `{ingredient: olive-stone, amount: "2.5"}`)
		x.lacks(x.read("products/sorrel-gel.yaml"), "lactic")
		x.post("/undo")
	})
	t.Run("no formula", func(t *testing.T) {
		x.holds(x.sendFile("/formulas", "note.txt", "Dear Ann, the kettle is broken.").Body.String(), "No formula was found")
		require.Equal(t, http.StatusUnsupportedMediaType, x.sendFile("/formulas", "a.exe", "MZ").Code)
	})
}

// What is dropped on the first page waits for the workshop, and is shown there.
func TestBrought(t *testing.T) {
	fields := func(dir string) []string {
		return []string{"name", "Hedge", "address", "Lane 1", "country", "GB", "gb", "1", "division", "0.1", "folder", dir}
	}
	kelp, err := os.ReadFile("../../testdata/demo/inbox/kelp-extract-composition.pdf")
	require.NoError(t, err)
	t.Run("a paper", func(t *testing.T) {
		x := begin(t, false)
		require.Equal(t, "/first/new",
			x.sendFile("/first/papers", "kelp.pdf", string(kelp), "as", "papers").Header().Get("Location"))
		x.holds(x.get("/first/new").Body.String(), "kelp.pdf")
		where := x.post("/first/new", fields(filepath.Join(x.dir, "mine"))...).Header().Get("Location")
		require.True(t, strings.HasPrefix(where, "/incoming/"), where)
		require.Equal(t, http.StatusOK, x.get(where).Code)
	})
	t.Run("a formula", func(t *testing.T) {
		x := begin(t, false)
		x.sendFile("/first/papers", "sorrel.csv", ownFormula, "as", "formula")
		where := x.post("/first/new", fields(filepath.Join(x.dir, "mine"))...).Header().Get("Location")
		require.True(t, strings.HasPrefix(where, "/formulas/"), where)
	})
	t.Run("gone once a workshop is open", func(t *testing.T) {
		x := begin(t, true)
		require.Equal(t, http.StatusNotFound, x.sendFile("/first/papers", "kelp.pdf", string(kelp)).Code)
	})
}
