package bench

import (
	"html"
	"net/http"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// A limit of the maker's own counts from the moment it is kept, and goes without a trace.
func TestOwnLimits(t *testing.T) {
	x := begin(t, true)
	const file = "limits/own.csv"
	before := x.tree()
	keep := func(base string, fields ...string) string {
		return x.post("/limits", append([]string{"base", base, "name", "Glycerin", "market", "EU+GB", "condition",
			"all", "max", "0,5",
			"source", "letter of our assessor (invented), 2026-01-15"}, fields...)...).Body.String()
	}
	for what, fields := range map[string][]string{
		"Which substance is limited is not stated.": {"name", ""},
		"The most is a figure in %":                 {"max", "some"},
		"can be read in two ways":                   {"max", "1,250"},
		"Choose the market":                         {"condition", ""},
		"Who asks for the limit is not stated.":     {"source", ""},
		"The file has changed":                      {"base", "x"},
	} {
		page := x.post("/limits", append([]string{"name", "Glycerin", "market", "EU+GB", "condition", "all", "max",
			"0,5", "source", "letter",
			"base", ""}, fields...)...)
		x.holds(page.Body.String(), what)
	}
	require.Equal(t, before, x.tree())

	keep("", "seen", "yes")
	x.holds(x.read(file), "\nown-1,own,1,EU+GB,Glycerin,,,all,0.5,,,,,,,,\"letter of our assessor (invented), 2026-01-15\",seen,\n")
	x.holds(x.get("/product/heath-wash").Body.String(), "0.5 %")
	x.holds(x.get("/limits").Body.String(), "letter of our assessor")
	keep(x.base(file), "name", "Squalane", "condition", "leave-on")
	x.holds(x.read(file), "own-2,own,2,EU+GB,Squalane,,,leave-on,0.5,")
	x.holds(x.read(file), ",unverified,")
	first := x.read(file)
	require.Equal(t, http.StatusSeeOther, x.post("/limits/out", "file", file, "base", x.base(file), "line", "0").Code)
	x.lacks(x.read(file), "Glycerin")
	x.holds(x.read(file), "own-2,own,2,EU+GB,Squalane")
	x.post("/undo")
	require.Equal(t, first, x.read(file))
	for _, bad := range []string{"limits/none.csv", "workshop.yaml", "../x", ""} {
		require.Equal(t, http.StatusUnprocessableEntity, x.post("/limits/out", "file", bad, "line", "0").Code, bad)
	}
	x.post("/undo")
	x.post("/undo")
	require.Equal(t, before, x.tree())
}

// What is wrong with a table that the maker wrote is said by the names of the fields, with the way
// to the line.
func TestOwnLimitsNameFields(t *testing.T) {
	x := begin(t, true)
	const head = "key,annex,entry,market,inci_names,cas,ec,condition,max_pct,basis,sum_group,sum_rule," +
		"required_label_text,colorant_field,applies_from,applies_until,source,seen,note\n"
	require.NoError(t, os.MkdirAll(filepath.Join(x.dir, "limits"), 0o755))
	for cells, want := range map[string]string{
		"m,own,1,EU+GB,Phenoxyethanol,,,all,much,,,,,,,,letter,seen,\n":    "At most, %: ",
		"m,own,1,Mars,Phenoxyethanol,,,all,1,,,,,,,,letter,seen,\n":        "Market: ",
		"m,own,1,EU+GB,Phenoxyethanol,,,all,1,,,,,,soon,,letter,seen,\n":   "Column “applies_from”: ",
		"m,own,1,EU+GB,Phenoxyethanol,,,sometimes,1,,,,,,,,letter,seen,\n": "Kind of product: ",
	} {
		require.NoError(t, os.WriteFile(filepath.Join(x.dir, "limits/own.csv"), []byte(head+cells), 0o600))
		w, _ := x.site.Workshop()
		w.Touch()
		page := html.UnescapeString(x.get("/limits").Body.String())
		x.holds(page, want)
		x.holds(page, ", in line 2 of own.csv.")
		x.holds(page, `href="/text/limits/own.csv#text">Mend it in the table</a>`)
		x.lacks(page, "max_pct")
	}
}

// Lines, ends of lines and columns of a file that the maker wrote stay as they are.
func TestOwnLimitsOfTheMaker(t *testing.T) {
	x := begin(t, true)
	const head, row = "key,annex,entry,market,inci_names,cas,ec,condition,max_pct,basis,sum_group,sum_rule,required_label_text,colorant_field,applies_from,applies_until,source,seen,note\r\n",
		"mine-1,own,1,EU+GB,Phenoxyethanol,122-99-6,,all,0.8,,,,,,,,letter,seen,kept"
	require.NoError(t, os.MkdirAll(filepath.Join(x.dir, "limits"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(x.dir, "limits/own.csv"), []byte(head+row), 0o600))
	x.get("/today")
	w := x.post("/limits", "base", x.base("limits/own.csv"), "name", "Squalane", "market", "GB", "condition",
		"leave-on", "max", "3", "source", "customer")
	require.Equal(t, "/limits", w.Header().Get("Location"), w.Body.String())
	require.Equal(t, head+row+"\r\nown-2,own,2,GB,Squalane,,,leave-on,3,,,,,,,,customer,unverified,\r\n",
		x.read("limits/own.csv"))
}
