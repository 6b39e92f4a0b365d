package bench

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"net/http"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Every part of the file has the place that settles it, which is there.
func TestPartsOfTheFile(t *testing.T) {
	read := func(file string) [][]string {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		r := csv.NewReader(bytes.NewReader(data))
		r.FieldsPerRecord = -1
		all, err := r.ReadAll()
		require.NoError(t, err)
		return all[1:]
	}
	places := map[string]bool{}
	for _, r := range read("product/parts.csv") {
		places[r[0]] = true
	}
	for _, r := range read("../../calc/law/data/dossier-contents.csv") {
		require.True(t, places[r[0]], "%s %s leads nowhere", r[0], r[1])
	}
	x := begin(t, true)
	bodies := map[string]string{}
	follow := func(href string) {
		path, anchor, _ := strings.Cut(href, "#")
		if bodies[path] == "" {
			w := x.get(path)
			require.Equal(t, http.StatusOK, w.Code, href)
			bodies[path] = w.Body.String()
		}
		if anchor != "" {
			require.True(t, strings.Contains(bodies[path], ` id="`+anchor+`"`), "%s is not on its page", href)
		}
	}
	links := regexp.MustCompile(`<td class="partlinks">(.*?)</td>`)
	href := regexp.MustCompile(`href="([^"]+)"`)
	open := 0
	for _, p := range []string{"heath-wash", "salt-scrub", "body-cream", "lip-balm"} {
		page := x.get("/product/" + p + "/pack").Body.String()
		for _, row := range regexp.MustCompile(`(?s)<tr><th scope="row">.*?</tr>`).FindAllString(page[strings.Index(page, `id="parts"`):], -1) {
			cell := links.FindStringSubmatch(row)
			require.NotNil(t, cell, row)
			if !regexp.MustCompile(`</svg>(missing|partly|not stated)<`).MatchString(row) {
				require.Empty(t, cell[1])
				continue
			}
			open++
			found := href.FindAllStringSubmatch(cell[1], -1)
			require.NotEmpty(t, found, row)
			for _, m := range found {
				follow(m[1])
			}
		}
	}
	require.Greater(t, open, 20)
	for _, r := range read("product/parts.csv") { // also of those that are in order in the demo
		at := r[1]
		if !strings.HasPrefix(at, "/") {
			at = "/product/heath-wash/" + at
		}
		follow(at)
		if r[3] != "" && r[3] != "/toxicology" {
			follow("/material/kelp-extract" + r[3])
		}
	}
}

// The assessor's documents are saved from the page of the pack.
func TestAssessorFiles(t *testing.T) {
	x := begin(t, true)
	page := x.get("/product/heath-wash/pack").Body.String()
	for _, want := range []string{"/product/heath-wash/part-b.docx", "/product/heath-wash/profiles.pdf"} {
		x.holds(page, want)
	}
	w := x.get("/product/heath-wash/part-b.docx")
	require.Equal(t, http.StatusOK, w.Code)
	require.Contains(t, w.Header().Get("Content-Disposition"), "heath-wash-part-b.docx")
	book, err := zip.NewReader(bytes.NewReader(w.Body.Bytes()), int64(w.Body.Len()))
	require.NoError(t, err)
	_, err = book.Open("word/document.xml")
	require.NoError(t, err)
	w = x.get("/product/heath-wash/profiles.pdf")
	require.Equal(t, http.StatusOK, w.Code)
	require.True(t, bytes.HasPrefix(w.Body.Bytes(), []byte("%PDF-")))
}

// A label says whether a batch is on it, and takes the day of a batch on record.
func TestLabelOfABatch(t *testing.T) {
	x := begin(t, true)
	page := x.get("/product/salt-scrub/label").Body.String()
	x.holds(page, "no batch on it")
	x.lacks(page, `name="made" value="2`)
	x.lacks(page, `placeholder="20`)
	page = x.get("/product/salt-scrub/label?batch=SS26-001").Body.String()
	x.lacks(page, "no batch on it")
	x.holds(page, "batch SS26-001")
	day := regexp.MustCompile(`name="made" value="(\d{4}-\d\d-\d\d)"`).FindStringSubmatch(page)
	require.NotNil(t, day)
	x.holds(x.read("batches/SS26-001.yaml"), "date: "+day[1])
}

// A paper that waits is said on the first page: an empty list of points is not all that is open.
func TestTodaySaysWhatWaits(t *testing.T) {
	x := begin(t, false)
	dir := x.dir + "/mine"
	require.Equal(t, http.StatusSeeOther,
		x.post("/first/new", "name", "Hedge (invented)", "address", "Lane 1", "country", "GB", "gb", "1",
			"division", "0.1", "folder", dir).Code)
	x.lacks(x.get("/today").Body.String(), "nothing open")
	_, store := x.site.Workshop()
	data, err := os.ReadFile("../../testdata/demo/inbox/kelp-extract-composition.pdf")
	require.NoError(t, err)
	_, err = store.AddPaper("kelp.pdf", data)
	require.NoError(t, err)
	page := x.get("/today").Body.String()
	x.lacks(page, "nothing open")
	x.holds(page, "1 paper to be read")
	x.holds(page, "kelp.pdf")
}

// A material that no product uses is not called clear of open points, since most is found out
// with a product; and a paper that is on file does not wait.
func TestNothingIsCalledClearTooEarly(t *testing.T) {
	x := begin(t, true)
	require.Equal(t, http.StatusSeeOther,
		x.post("/materials/new", "name", "Lone wax (invented)", "supplier", "S (invented)", "inci", "Cera Alba",
			"pct", "50").Code)
	x.lacks(x.get("/material/lone-wax-invented").Body.String(), "nothing open")
	x.holds(x.get("/materials").Body.String(), "checked once a product uses it")
	data, err := os.ReadFile(x.dir + "/evidence/xanthan-sds.txt")
	require.NoError(t, err)
	_, store := x.site.Workshop()
	_, err = store.AddPaper("again.txt", data)
	require.NoError(t, err)
	x.lacks(x.get("/today").Body.String(), "again.txt")
	_, err = store.AddPaper("other.txt", append(data, '\n'))
	require.NoError(t, err)
	x.holds(x.get("/today").Body.String(), "other.txt")
}
