package bench

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestFirst(t *testing.T) {
	t.Run("a new workshop", func(t *testing.T) {
		x := begin(t, false)
		x.holds(x.get("/").Body.String(), "Where shall we work?")
		require.Equal(t, "/", x.get("/today").Header().Get("Location"))
		dir := filepath.Join(x.dir, "mine")
		w := x.post("/first/new", "name", "Hedge & Pot: makers", "address", "Lane 1\r\nNowhere", "country", "GB",
			"gb", "1", "eu", "1", "division", "0.1", "folder", dir, "later", "1")
		require.Equal(t, http.StatusSeeOther, w.Code)
		text, err := os.ReadFile(filepath.Join(dir, "workshop.yaml"))
		require.NoError(t, err)
		require.Contains(t, string(text), "Hedge & Pot: makers")
		require.Contains(t, string(text), "address: [Lane 1, Nowhere]")
		require.Contains(t, string(text), "# How these files are written")
		page := x.get("/today")
		require.Equal(t, http.StatusOK, page.Code)
		x.lacks(page.Body.String(), "unreadable")
		// a product whose first line no material has yet, with the material made beside it
		of := []string{"name", "First gel", "type", "shower-gel", "for", "adults", "net", "100", "first", "Well water"}
		unknown := x.post("/products/new", of...)
		require.Equal(t, http.StatusUnprocessableEntity, unknown.Code)
		x.holds(unknown.Body.String(), `name="inci"`)
		x.holds(unknown.Body.String(), `value="Well water"`)
		require.Equal(t, "/product/first-gel/formula",
			x.post("/products/new", append(of, "inci", "Aqua", "supplier", "The well")...).Header().Get("Location"))
		require.Equal(t, http.StatusOK, x.get("/product/first-gel/formula").Code)
		require.Equal(t, http.StatusOK, x.get("/material/well-water").Code)
		x.lacks(x.get("/today").Body.String(), "unreadable")
		// from here to a first formula, by pages alone
		require.Equal(t, "/material/spring-water",
			x.post("/materials/new", "name", "Spring water", "supplier", "The well", "kind", "inci", "inci", "Aqua",
				"pct", "100").Header().Get("Location"))
		require.Contains(t, x.post("/products/new", "name", "Plain gel", "type", "shower-gel", "net", "100",
			"first", "Spring water").Body.String(),
			"Choose whom it is intended for", "nobody but the maker states it")
		require.Equal(t, "/product/plain-gel/formula",
			x.post("/products/new", "name", "Plain gel", "type", "shower-gel", "for", "adults", "net", "100", "unit",
				"ml", "first", "Spring water").Header().Get("Location"))
		require.Equal(t, http.StatusOK, x.get("/product/plain-gel/formula").Code)
		// a part of a name is enough where it is of one material alone
		part := []string{"type", "shower-gel", "for", "adults"}
		at := func(name, first string, more ...string) *httptest.ResponseRecorder {
			return x.post("/products/new", append(append(part, "name", name, "first", first), more...)...)
		}
		require.Equal(t, "/product/second-gel/formula", at("Second gel", "spring").Header().Get("Location"))
		text, err = os.ReadFile(filepath.Join(dir, "products", "second-gel.yaml"))
		require.NoError(t, err)
		require.Contains(t, string(text), "ingredient: spring-water")
		several := at("Third gel", "WATER")
		require.Equal(t, http.StatusUnprocessableEntity, several.Code)
		x.holds(several.Body.String(), `value="WATER"`)
		x.holds(several.Body.String(), `name="meant" value="well-water">Well water</label>`)
		x.holds(several.Body.String(), `name="meant" value="spring-water">Spring water</label>`)
		x.lacks(several.Body.String(), `name="inci"`)
		require.Equal(t, "/product/third-gel/formula",
			at("Third gel", "WATER", "typed", "WATER", "meant", "well-water").Header().Get("Location"))
		text, err = os.ReadFile(filepath.Join(dir, "products", "third-gel.yaml"))
		require.NoError(t, err)
		require.Contains(t, string(text), "ingredient: well-water")
		// what was typed after the choice counts, and not the choice
		require.Equal(t, "/product/fourth-gel/formula",
			at("Fourth gel", "Spring w", "typed", "WATER", "meant", "well-water").Header().Get("Location"))
		text, err = os.ReadFile(filepath.Join(dir, "products", "fourth-gel.yaml"))
		require.NoError(t, err)
		require.Contains(t, string(text), "ingredient: spring-water")
		x.lacks(x.get("/today").Body.String(), "unreadable")
	})
	t.Run("a market that the maker is not in asks for its responsible person", func(t *testing.T) {
		x := begin(t, false)
		dir := filepath.Join(x.dir, "mine")
		of := []string{"name", "Hedge (invented)", "address", "Lane 1", "country", "GB", "gb", "1", "eu", "1",
			"division", "0.1", "folder", dir}
		w := x.post("/first/new", of...)
		require.Equal(t, http.StatusUnprocessableEntity, w.Code)
		require.NoDirExists(t, dir)
		x.holds(w.Body.String(), "Who is responsible in the European Union is not named")
		x.holds(w.Body.String(), `<details class="person" open><summary>Responsible person in the European Union`)
		w = x.post("/first/new", append(of, "eu_name", "Quay (invented)", "eu_address", "Pier 1\r\nHarbour",
			"eu_country", "ie")...)
		require.Equal(t, http.StatusSeeOther, w.Code)
		text, err := os.ReadFile(filepath.Join(dir, "workshop.yaml"))
		require.NoError(t, err)
		for _, want := range []string{"Quay (invented)", "Pier 1", "IE", "Hedge (invented)"} {
			require.Contains(t, string(text), want)
		}
		x.lacks(x.get("/today").Body.String(), "unreadable")
		x.holds(x.get("/workshop").Body.String(), `name="text:/responsible_person/EU/name" value="Quay (invented)"`)
		y := begin(t, false) // a maker inside the EU answers itself there, and is asked for Great Britain
		of = []string{"name", "Haus (invented)", "address", "Weg 1", "country", "DE", "gb", "1", "eu", "1",
			"division", "0.1", "folder", dir + "2"}
		w = y.post("/first/new", of...)
		y.holds(w.Body.String(), "Who is responsible in Great Britain is not named")
		require.Equal(t, http.StatusSeeOther, y.post("/first/new", append(of, "later", "1")...).Code)
		y.holds(y.get("/workshop").Body.String(), `name="text:/responsible_person/EU/name" value="Haus (invented)"`)
		y.holds(y.get("/workshop").Body.String(), `name="text:/responsible_person/GB/name" value=""`)
	})
	t.Run("what the file could not be read with is refused before it is made", func(t *testing.T) {
		x := begin(t, false)
		of := []string{"name", "Hedge (invented)", "address", "Lane 1", "country", "GB", "eu", "1", "division", "0.1",
			"folder", filepath.Join(x.dir, "abroad"), "eu_name", "A person (invented)", "eu_address", "Quay 1"}
		for _, abroad := range []string{"IR", "GB", "QQ"} { // the two letters of Iran, meant for Ireland
			w := x.post("/first/new", append(of, "eu_country", abroad)...)
			require.Equal(t, http.StatusUnprocessableEntity, w.Code, abroad)
			x.holds(w.Body.String(), "The responsible person in the European Union needs an address inside it")
		}
		x.holds(x.get("/first/new").Body.String(), `<option value="IE">Ireland</option>`)
		for field, wrong := range map[string]string{"division": "abc", "country": "Germany", "folder": "here",
			"address": ""} {
			x := begin(t, false)
			dir := filepath.Join(x.dir, "mine")
			form := map[string]string{"name": "Hedge", "address": "Lane 1", "country": "GB", "gb": "1",
				"division": "0.1", "folder": dir}
			form[field] = wrong
			var fields []string
			for key, text := range form {
				fields = append(fields, key, text)
			}
			require.Equal(t, http.StatusUnprocessableEntity, x.post("/first/new", fields...).Code, field)
			require.NoDirExists(t, dir)
		}
		for _, step := range []string{"0", "-1", "0,1", "1.000,5"} {
			require.False(t, isStep(step), step)
		}
	})
	t.Run("the folder list names folders only, and is gone once a workshop is open", func(t *testing.T) {
		x := begin(t, false)
		page := x.get("/first/folders?at=" + url.QueryEscape(x.dir)).Body.String()
		x.holds(page, "ingredients")
		x.lacks(page, "workshop.yaml")
		x.lacks(page, "README")
		require.Equal(t, http.StatusSeeOther, x.post("/first/open", "dir", x.dir).Code)
		require.Equal(t, http.StatusNotFound, x.get("/first/folders?at=/").Code)
		require.Equal(t, http.StatusNotFound, x.post("/first/open", "dir", "/").Code)
		require.Equal(t, "/today", x.get("/").Header().Get("Location"))
	})
	t.Run("a folder without a workshop is not opened", func(t *testing.T) {
		x := begin(t, false)
		require.Equal(t, http.StatusUnprocessableEntity, x.post("/first/open", "dir", filepath.Join(x.dir, "products")).Code)
		require.Equal(t, http.StatusUnprocessableEntity, x.post("/first/open", "dir", "../x").Code)
	})
}
