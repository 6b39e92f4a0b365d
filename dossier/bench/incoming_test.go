package bench

import (
	"bytes"
	"html"
	"maps"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// send drops a paper onto a page.
func (x *trial) send(path, name string, data []byte, fields ...string) *httptest.ResponseRecorder {
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	for i := 0; i+1 < len(fields); i += 2 {
		require.NoError(x.t, w.WriteField(fields[i], fields[i+1]))
	}
	f, err := w.CreateFormFile("paper", name)
	require.NoError(x.t, err)
	_, err = f.Write(data)
	require.NoError(x.t, err)
	require.NoError(x.t, w.Close())
	return x.do("POST", path, &b, w.FormDataContentType())
}

// invented is an allergen declaration of a supplier who does not exist.
const invented = "Company: Cragmoor Aromas Ltd\nALLERGEN DECLARATION: the 26 allergens of Directive 2003/15/EC\n" +
	"Product name: Fell Mint\nProduct code: CM-77\nDate of issue: 2026-03-02\nAllergen;CAS;Content (%)\n" +
	"Linalool;78-70-6;1.5\nLimonene;5989-27-5;0.4\nCitral;5392-40-5;traces\n"

// number finds the number of the row of a name.
func (x *trial) number(page, name string) string {
	m := regexp.MustCompile(`(?s)<th scope="row">` + regexp.QuoteMeta(name) + `[<\n].*?name="v(\d+)"`).FindStringSubmatch(page)
	require.NotNil(x.t, m, name)
	return m[1]
}

func TestIncoming(t *testing.T) {
	x := begin(t, true)
	before := x.tree()
	w := x.send("/papers", "fell-mint.csv", []byte(invented))
	require.Equal(t, http.StatusSeeOther, w.Code)
	at := w.Header().Get("Location")
	require.Regexp(t, `^/incoming/[0-9a-f]{32}$`, at)
	t.Run("shown with its places before anything is written", func(t *testing.T) {
		page := x.get(at).Body.String()
		for _, want := range []string{"makes a new sheet", "page 1, line 7", "78-70-6", "traces without a limit",
			`id="l0-7"`, "the 26 names of 2003"} {
			x.holds(page, want)
		}
		require.Equal(t, before, x.tree())
		x.holds(x.get("/papers").Body.String(), "fell-mint.csv")
	})
	t.Run("not filed while a value is not answered", func(t *testing.T) {
		require.Equal(t, http.StatusUnprocessableEntity, x.post(at+"/file").Code)
		require.Equal(t, before, x.tree())
	})
	t.Run("what is typed in place of a printed value is never confirmed as printed", func(t *testing.T) {
		linalool := x.number(x.get(at).Body.String(), "Linalool")
		wrong := x.post(at, "together", "1", "v"+linalool, "about one")
		require.Equal(t, http.StatusUnprocessableEntity, wrong.Code)
		x.holds(wrong.Body.String(), `name="v`+linalool+`" value="about one"`)
		x.holds(wrong.Body.String(), `role="alert" id="w`+linalool+`"`)
		require.Equal(t, http.StatusSeeOther, x.post(at, "together", "1", "v"+linalool, "1.6").Code)
		x.holds(x.get(at).Body.String(), "corrected")
		x.post(at, "again", linalool)
		require.NotContains(t, x.get(at).Body.String(), "corrected")
		require.Equal(t, before, x.tree())
	})
	t.Run("together, one corrected, one refused", func(t *testing.T) {
		require.Equal(t, http.StatusSeeOther, x.post(at, "together", "1").Code)
		page := x.get(at).Body.String()
		citral, limonene := x.number(page, "Citral"), x.number(page, "Limonene")
		x.holds(page, `name="confirm" value="`+citral+`"`) // what is not decided is answered alone
		require.Equal(t, http.StatusUnprocessableEntity, x.post(at, "confirm", citral, "v"+citral, "").Code)
		wrong := x.post(at, "confirm", citral, "v"+citral, "some")
		require.Equal(t, http.StatusUnprocessableEntity, wrong.Code)
		x.holds(wrong.Body.String(), `name="v`+citral+`" value="some"`) // what was typed stays, and why stands at its field
		x.holds(wrong.Body.String(), `role="alert" id="w`+citral+`"`)
		x.post(at, "confirm", citral, "v"+citral, "<0.01")
		x.post(at, "again", limonene)
		require.Equal(t, http.StatusSeeOther, x.post(at, "refuse", limonene).Code)
		require.Equal(t, before, x.tree())
	})
	t.Run("filed as one step, with the places as comments", func(t *testing.T) {
		w := x.post(at+"/file", "base", "")
		require.Equal(t, "/material/fell-mint", w.Header().Get("Location"))
		sheet := x.read("ingredients/fell-mint.yaml")
		require.Contains(t, sheet, "- {name: Linalool, cas: 78-70-6, pct: 1.5} # p. 1 line 7: 1.5\n")
		require.Contains(t, sheet, `- {name: Citral, cas: 5392-40-5, pct: "<0.01"} # p. 1 line 9: traces (corrected)`)
		require.NotContains(t, sheet, "Limonene")
		require.Equal(t, invented, x.read("evidence/fell-mint-allergens.csv"))
		require.Equal(t, http.StatusOK, x.get("/material/fell-mint").Code)
		x.holds(x.get(at).Body.String(), "On file")
		x.holds(x.get("/papers").Body.String(), "0 waiting")
	})
	t.Run("undone, and the answers are still there", func(t *testing.T) {
		require.Equal(t, http.StatusSeeOther, x.post("/undo").Code)
		require.Equal(t, before, x.tree())
		page := x.get(at).Body.String()
		x.holds(page, "0 left to answer")
		x.holds(page, "Make the sheet and file the paper")
	})
	t.Run("thrown away", func(t *testing.T) {
		x.post(at + "/drop")
		require.Equal(t, http.StatusNotFound, x.get(at).Code)
	})
}

// Each material of a paper that holds several is answered and filed by itself, and all name
// the one paper.
func TestIncomingSeveral(t *testing.T) {
	x := begin(t, true)
	paper, err := os.ReadFile("../../testdata/papers/layouts/hazelbank-two-materials.html")
	require.NoError(t, err)
	at := x.send("/papers", "hazelfirm.html", paper).Header().Get("Location")
	first := x.get(at).Body.String()
	x.holds(first, "The paper holds 2 materials.")
	x.holds(first, `href="`+at+`-2"`)
	x.lacks(first, "Propanediol</th>")
	x.holds(x.get("/papers").Body.String(), "hazelfirm.html: Hazelfirm B")
	require.Equal(t, http.StatusNotFound, x.get(at+"-3").Code)

	settle := func(at string) *httptest.ResponseRecorder {
		x.post(at, "together", "1")
		for strings.Contains(x.get(at).Body.String(), `name="confirm"`) {
			page := x.get(at).Body.String()
			n := regexp.MustCompile(`name="confirm" value="(\d+)"`).FindStringSubmatch(page)[1]
			value := regexp.MustCompile(`name="v` + n + `" value="([^"]*)"`).FindStringSubmatch(page)[1]
			require.Equal(t, http.StatusSeeOther, x.post(at, "confirm", n, "v"+n, html.UnescapeString(value)).Code)
		}
		return x.post(at+"/file", "base", "", "complete", "true")
	}
	require.Equal(t, at+"-2", settle(at).Header().Get("Location"), "on to the next")
	x.holds(x.get(at).Body.String(), "On file")
	second := x.get(at + "-2").Body.String()
	x.lacks(second, "This paper is filed")
	x.holds(second, "Propanediol")
	require.Equal(t, "/material/hazelfirm-b", settle(at+"-2").Header().Get("Location"))
	for name, inci := range map[string]string{"hazelfirm-a": "Glycerin", "hazelfirm-b": "Propanediol"} {
		sheet := x.read("ingredients/" + name + ".yaml")
		x.holds(sheet, inci)
		x.holds(sheet, "file: evidence/hazelfirm-a-composition.html")
		x.lacks(sheet, map[string]string{"Glycerin": "Propanediol", "Propanediol": "Glycerin"}[inci])
	}
	require.Equal(t, string(paper), x.read("evidence/hazelfirm-a-composition.html"))
	x.holds(x.get("/papers").Body.String(), "0 waiting")
}

// A paper of a material that is there fills what its sheet lacks and leaves what differs
// until that is taken over.
func TestIncomingSheet(t *testing.T) {
	x := begin(t, true)
	const file = "ingredients/fell-mint.yaml"
	sheet := "# kept\nid: fell-mint\nname: Fell Mint\nsupplier: {name: Cragmoor Aromas Ltd, code: CM-77} # by telephone\nlabel_as: parfum\n" +
		"allergens:\n  list: 2003-15\n  dated: 2026-03-02\n  declared:\n    - {name: Linalool, cas: 78-70-6, pct: 2}\n    - {name: Eugenol, cas: 97-53-0, pct: 1}\n"
	require.NoError(t, os.WriteFile(filepath.Join(x.dir, file), []byte(sheet), 0o644))
	at := x.send("/papers", "fell-mint.csv",
		[]byte(strings.Replace(invented, "traces", "0.2", 1))).Header().Get("Location")
	x.post(at, "together", "1")
	page := x.get(at).Body.String()
	for _, want := range []string{"the sheet says 2", "the sheet says not listed", "allergens: eugenol",
		"Leave the sheet"} {
		x.holds(page, want)
	}
	linalool, limonene, citral := x.number(page, "Linalool"), x.number(page, "Limonene"), x.number(page, "Citral")
	x.post(at, "confirm", linalool, "v"+linalool, "1.5")
	x.post(at, "confirm", limonene, "v"+limonene, "0.4")
	x.post(at, "refuse", citral)
	eugenol := regexp.MustCompile(`(?s)allergens: eugenol.*?name="confirm" value="(\d+)"`).FindStringSubmatch(page)[1]
	x.post(at, "confirm", eugenol)
	x.holds(x.get(at).Body.String(), "0 left to answer")
	t.Run("changed meanwhile: shown anew", func(t *testing.T) {
		require.Equal(t, http.StatusConflict, x.post(at+"/file", "base", "else").Code)
		require.Equal(t, sheet, x.read(file))
	})
	require.Equal(t, http.StatusSeeOther, x.post(at+"/file", "base", x.base(file)).Code)
	got := x.read(file)
	require.Contains(t, got, "# kept\nid: fell-mint\nname: Fell Mint\nsupplier: {name: Cragmoor Aromas Ltd, code: CM-77} # by telephone\n")
	require.Contains(t, got, "    - {name: Linalool, cas: 78-70-6, pct: 1.5} # fell-mint-allergens.csv p. 1 line 7: 1.5\n")
	require.Contains(t, got, "name: Limonene, cas: 5989-27-5, pct: 0.4} # fell-mint-allergens.csv p. 1 line 8: 0.4\n")
	require.NotContains(t, got, "Eugenol")
	require.NotContains(t, got, "Citral")
	x.post("/undo")
	require.Equal(t, sheet, x.read(file))
}

// What is no paper, or leads elsewhere, is refused in words and leaves nothing.
func TestIncomingRefused(t *testing.T) {
	x := begin(t, true)
	before := x.tree()
	for _, c := range []struct {
		name string
		data string
		want int
	}{{"x.exe", "MZ", http.StatusUnsupportedMediaType}, {"x.pdf", "no PDF", http.StatusUnprocessableEntity},
		{"x.csv", "", http.StatusUnprocessableEntity}, {"x.xlsx", "PK\x03\x04 torn", http.StatusUnprocessableEntity}} {
		require.Equal(t, c.want, x.send("/papers", c.name, []byte(c.data)).Code, c.name)
	}
	require.Equal(t, http.StatusNotFound, x.send("/papers", "x.csv", []byte(invented), "sheet", "../water").Code)
	require.Equal(t, http.StatusUnprocessableEntity, x.post("/papers").Code)
	for _, key := range []string{"../versions", "zz", strings.Repeat("0", 32), "..%2f..%2fworkshop"} {
		for _, path := range []string{"/incoming/" + key, "/incoming/" + key + "/page/1", "/incoming/" + key + "/paper"} {
			require.GreaterOrEqual(t, x.get(path).Code, 300, path)
		}
	}
	at := x.send("/papers", `..\..\fell.csv`, []byte(invented)).Header().Get("Location")
	for _, bad := range [][]string{{"confirm", "99", "v99", "1"}, {"confirm", "-1"}, {"refuse", "x"},
		{"again", "99"}, {}} {
		require.Equal(t, http.StatusUnprocessableEntity, x.post(at, bad...).Code, bad)
	}
	require.Equal(t, http.StatusUnprocessableEntity, x.get(at+"/page/1").Code, "no PDF has no picture")
	require.Equal(t, before, x.tree())
	w := x.get(at + "/paper")
	require.Contains(t, w.Header().Get("Content-Disposition"), "attachment")
}

const blend = `<html><body><h2>SAFETY DATA SHEET</h2><p>Revision date: 03.02.2026</p>
<h3>SECTION 1: Identification of the substance/mixture and of the company/undertaking</h3><p>Trade name: Softlather Blend 40<br>Product code: HW-4010</p><p>Company: Hollowbrook Wash Supplies Ltd (invented)</p>
<h3>SECTION 3: Composition/information on ingredients</h3><table><tr><th>INCI name</th><th>CAS-No.</th><th>Concentration % (w/w)</th></tr>
<tr><td>Coco-Glucoside</td><td>141464-42-8</td><td>18 - 22</td></tr><tr><td>Glycerin</td><td>56-81-5</td><td>5</td></tr><tr><td>Aqua</td><td>7732-18-5</td><td>ad 100</td></tr></table></body></html>`

// What no paper says of a new material is asked before it is filed: how it stands on the label,
// and whether everything in it is named. The rest to 100 has a place only where it is.
func TestIncomingTold(t *testing.T) {
	for name, c := range map[string]struct {
		complete     string
		holds, lacks []string
	}{
		"the whole": {"true", []string{"label_as: inci", "complete: true",
			"{inci: Aqua, cas: 7732-18-5, pct: q.s.}"}, nil},
		"not the whole": {"false", []string{"label_as: inci", "complete: false"}, []string{"Aqua, cas"}},
	} {
		t.Run(name, func(t *testing.T) {
			x := begin(t, true)
			before := x.tree()
			where := x.sendFile("/papers", "softlather.html", blend).Header().Get("Location")
			x.post(where, "together", "1")
			page := x.get(where).Body.String()
			for i := range 12 { // what is not confirmed together
				if strings.Contains(page, `id="file"`) {
					break
				}
				x.post(where, "confirm", strconv.Itoa(i), "v"+strconv.Itoa(i), html.UnescapeString(valueOf(page, i)))
				page = x.get(where).Body.String()
			}
			x.holds(page, "Is everything in it named?")
			base := regexp.MustCompile(`name="base" value="([^"]*)"`).FindStringSubmatch(page)[1]
			require.Equal(t, "/material/softlather-blend-40",
				x.post(where+"/file", "base", base, "label_as", "inci", "complete", c.complete).Header().Get("Location"))
			sheet := x.read("ingredients/softlather-blend-40.yaml")
			for _, want := range c.holds {
				x.holds(sheet, want)
			}
			for _, not := range c.lacks {
				x.lacks(sheet, not)
			}
			x.post("/undo")
			require.True(t, maps.Equal(before, x.tree()))
		})
	}
}

// A composition that comes to a sheet without one is not complete before somebody says so, and
// the sheet can be read.
func TestIncomingComposition(t *testing.T) {
	x := begin(t, true)
	x.post("/materials/new", "name", "Softlather Blend 40", "supplier",
		"Hollowbrook Wash Supplies Ltd (invented)", "kind", "parfum")
	const sheet = "ingredients/softlather-blend-40.yaml"
	statement := regexp.MustCompile(`SECTION \d: `).ReplaceAllString(strings.Replace(blend, "SAFETY DATA SHEET",
		"COMPOSITION STATEMENT", 1), "")
	x.lacks(x.read(sheet), "composition")
	where := x.sendFile("/papers", "softlather.html", statement).Header().Get("Location")
	x.post(where, "together", "1")
	page := x.get(where).Body.String()
	for i := range 12 {
		if strings.Contains(page, `id="file"`) {
			break
		}
		x.post(where, "confirm", strconv.Itoa(i), "v"+strconv.Itoa(i), html.UnescapeString(valueOf(page, i)))
		page = x.get(where).Body.String()
	}
	x.holds(page, "Is everything in it named?")
	x.lacks(page, `name="label_as"`)
	base := regexp.MustCompile(`name="base" value="([^"]*)"`).FindStringSubmatch(page)[1]
	require.Equal(t, "/material/softlather-blend-40",
		x.post(where+"/file", "base", base, "complete", "false").Header().Get("Location"))
	x.holds(x.read(sheet), "complete: false")
	x.lacks(x.get("/today").Body.String(), "unreadable")
}

// valueOf is what stands in the field of a value.
func valueOf(page string, i int) string {
	m := regexp.MustCompile(`name="v` + strconv.Itoa(i) + `" value="([^"]*)"`).FindStringSubmatch(page)
	if m == nil {
		return ""
	}
	return m[1]
}
