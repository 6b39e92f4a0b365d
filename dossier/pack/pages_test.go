package pack_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/dossiertest"
	"gallipot/dossier/pack"
	"gallipot/dossier/workshop"
	"gallipot/templates"
	"gallipot/testdata"
)

// measured is what a reader sees of a pack without reading it.
type measured struct {
	pages, signed int             // in all, and up to the signature
	summary       int             // page on which the last table of S.2 ends
	lonely        []string        // headings that end a page
	empty         map[int]float64 // share of the text area below the last line, by page
	last          map[int]bool    // pages that end a part
	rows, tall    int             // of tables, and those of more than three lines
	cut           []string        // texts with a word that had to be broken
	parted        []string        // tables of a few rows that go over to another page
	items         []string        // of the readiness of the file, those of more than one line
	text          strings.Builder
}

// The text area of a page in mm, as the grid has it.
const (
	areaTop    = 19.0
	areaBottom = 281.0
)

// measure lays a document out and looks at its pages.
func measure(t *testing.T, d *document.Document) *measured {
	t.Helper()
	require.Empty(t, d.Check())
	m := &measured{empty: map[int]float64{}, last: map[int]bool{}}
	w := pdf.NewWriter(d.ForPages())
	low, foot := map[int]float64{}, map[int]string{}
	w.Placed = func(_, y, _ float64, _ layout.FontStyle, s string) {
		if page := w.P.PageNo(); y > areaTop && y < areaBottom+1 {
			if y >= low[page] {
				low[page], foot[page] = y, s
			}
		}
		m.text.WriteString(s + "\n")
	}
	rows, pagesOf := map[string]int{}, map[string]map[int]bool{}
	w.RowSet = func(lines int, row string) {
		id, _, _ := strings.Cut(row, ": ")
		if rows[id]++; pagesOf[id] == nil {
			pagesOf[id] = map[int]bool{}
		}
		pagesOf[id][w.P.PageNo()] = true
		if lines > 1 && strings.HasPrefix(row, "readiness-items: ") {
			m.items = append(m.items, row)
		}
		m.rows++
		if lines > 3 {
			m.tall++
		}
	}
	w.Cut = func(text string) { m.cut = append(m.cut, text) }
	w.Document()
	require.NoError(t, w.P.Error())
	for id, n := range rows {
		if n <= 4 && len(pagesOf[id]) > 1 && id != "" {
			m.parted = append(m.parted, id)
		}
	}
	m.pages = w.P.PageCount()
	m.signed = w.Pages["file"] - 1
	m.summary = w.Pages["changes"]
	for _, part := range []string{"part-a", "part-b", "file", "annexes"} {
		m.last[w.Pages[part]-1] = true
	}
	m.last[m.pages] = true
	d.Walk(func(s *document.Section, _ int) {
		for page, text := range foot {
			if text != "" && text == s.Title {
				m.lonely = append(m.lonely, fmt.Sprintf("page %d: %s", page, text))
			}
		}
	})
	for page := 1; page <= m.pages; page++ {
		m.empty[page] = (areaBottom - low[page]) / (areaBottom - areaTop)
	}
	return m
}

// TestPagesOfThePack holds what a pack may take: pages, white space, tall rows, broken
// words. The wash of five variants has at most 24 pages to the signature and 30 with
// the rest of the file and the annexes.
func TestPagesOfThePack(t *testing.T) {
	type sample struct {
		a             *assess.Assessment
		signed, pages int // at most
	}
	samples := map[string]sample{"two materials": {twoMaterials(t), 12, 16}}
	for _, id := range []string{"heath-wash", "body-cream", "lip-balm", "salt-scrub"} {
		samples[id] = sample{dossiertest.Demo(t, id), 24, 30}
	}
	sizes := []int{4, 12}
	if !testdata.Long() {
		sizes = sizes[1:]
	}
	for _, variants := range sizes {
		w, _ := workshop.LoadFS("large", testdata.Large(testdata.Size{Sheets: 40, Products: 4, Variants: variants}),
			table.Builtin())
		for _, p := range w.Products[:testdata.Cases(2, len(w.Products))] {
			samples[fmt.Sprintf("%s of %d variants", p.ID, variants)] = sample{dossier.Assess(w, p, batchOptions()), 30, 45}
		}
	}
	for name, a := range others(t) {
		samples[name] = sample{a, 24, 30}
	}
	for name, x := range samples {
		t.Run(name, func(t *testing.T) {
			m := measure(t, pack.Build(x.a))
			assert.LessOrEqual(t, m.signed, x.signed, "pages to the signature")
			assert.LessOrEqual(t, m.pages, x.pages, "pages in all")
			if x.pages == 30 { // a longer range of variants, or a maker's own, may need more
				assert.LessOrEqual(t, m.summary, 2, "pages of the summary")
				assert.Positive(t, m.summary)
			}
			sum, inner := 0.0, 0
			for page, share := range m.empty {
				if !m.last[page] {
					assert.LessOrEqual(t, share, 1.0/3, "page %d is more than a third empty", page)
					sum, inner = sum+share, inner+1
				}
			}
			assert.Less(t, sum/float64(inner), 0.17, "white below the last line, mean of the pages that end no part")
			assert.Less(t, float64(m.tall)/float64(m.rows), 0.08, "%d of %d rows have more than three lines", m.tall, m.rows)
			assert.Empty(t, m.cut, "words broken")
			assert.Empty(t, m.parted, "tables of up to four rows on two pages")
			assert.Empty(t, m.items, "items of the file of more than one line")
			assert.Empty(t, m.lonely, "headings at the foot of a page")
			t.Logf("%d pages, %d to the signature; %.0f %% white; %d of %d rows over three lines", m.pages, m.signed,
				100*sum/float64(inner), m.tall, m.rows)
		})
	}
}

// TestPagesOfTheVolume holds the second document, of the profiles that do not stand in the
// pack, to the same measures.
func TestPagesOfTheVolume(t *testing.T) {
	all := others(t)
	for _, id := range []string{"heath-wash", "body-cream", "lip-balm", "salt-scrub"} {
		all[id] = dossiertest.Demo(t, id)
	}
	for id, a := range all {
		d := pack.Volume(a)
		if d == nil {
			continue
		}
		t.Run(id, func(t *testing.T) {
			m := measure(t, d)
			for page, share := range m.empty {
				if page < m.pages {
					assert.LessOrEqual(t, share, 1.0/3, "page %d is more than a third empty", page)
				}
			}
			assert.Less(t, float64(m.tall)/float64(m.rows), 0.08, "%d of %d rows have more than three lines", m.tall, m.rows)
			assert.Empty(t, m.cut, "words broken")
			assert.Empty(t, m.lonely, "headings at the foot of a page")
		})
	}
}

// others are products of a workshop that is not the demo: the one that a maker begins with.
func others(t *testing.T) map[string]*assess.Assessment {
	t.Helper()
	out := map[string]*assess.Assessment{}
	w, _ := workshop.LoadFS("begun", templates.Begin(), table.Builtin())
	require.NotNil(t, w)
	for _, p := range w.Products {
		out["begun: "+p.ID] = dossier.Assess(w, p, batchOptions())
	}
	require.NotEmpty(t, out)
	return out
}

// TestWordsOfThePack: an assessor reads no file, no line, no command and no row of the
// program's tables.
func TestWordsOfThePack(t *testing.T) {
	all := others(t)
	for _, id := range []string{"heath-wash", "body-cream", "lip-balm", "salt-scrub"} {
		all[id] = dossiertest.Demo(t, id)
	}
	for id, a := range all {
		text := measure(t, pack.Build(a)).text.String()
		for _, never := range []string{".yaml", ".csv", ".txt", "evidence/", "ingredients/", "products/",
			"batches/", "gallipot ",
			"in the workshop", "our table", "complaints:", "low_risk", "under documents", "Judgement:", "show both",
			"the program's table", "let the assessor", "nothing is nano", "oral?", "<=", ">="} {
			assert.NotContains(t, text, never, id)
		}
	}
}

// TestReferencesLead: each section that is named by its number is there and is the one
// that is meant, on the pages and in Part B.
func TestReferencesLead(t *testing.T) {
	d := pack.Build(dossiertest.Demo(t, "heath-wash"))
	number := map[string]string{}
	all := map[string]bool{}
	d.Walk(func(s *document.Section, _ int) { number[s.ID], all[s.Number] = s.Number, true })
	text := measure(t, d).text.String()
	for _, ref := range regexp.MustCompile(`\b[ABCDS]\.[0-9]+(?:\.[0-9]+)?\b`).FindAllString(text, -1) {
		assert.True(t, all[ref], ref)
	}
	for what, id := range map[string]string{"details in ": "limits", "self-regulation, not law; ": "fragrance",
		"as on the label (": "limits", "Margins of safety discussed (": "margins"} {
		assert.Contains(t, strings.ReplaceAll(text, "\n", " "), what+number[id], id)
	}
}

// TestSameDigits: content, dose and margin of a substance are printed alike in the table of
// margins, in its profile, in the table of endpoints, in the chart of the lowest, and in
// the line of arithmetic below the profile; and every table and figure has a number.
func TestSameDigits(t *testing.T) {
	for _, id := range []string{"heath-wash", "body-cream", "lip-balm", "salt-scrub"} {
		d := pack.Build(dossiertest.Demo(t, id))
		type said struct{ content, dose, margin string }
		of := map[string]said{}
		for _, r := range tableOf(d, "margins-pages").Rows {
			of[r.Cells[0].Text] = said{r.Cells[2].String(), r.Cells[4].String(), r.Cells[8].String()}
		}
		compared := 0
		for _, r := range tableOf(d, "endpoints-table").Rows {
			if x, there := of[r.Cells[0].Text]; there {
				assert.Equal(t, x.content, r.Cells[1].String(), "%s %s", id, r.Cells[0].Text)
				compared++
			}
		}
		numbers := d.TableNumbers()
		for _, b := range d.Blocks() {
			switch b := b.(type) {
			case *document.Table:
				assert.NotZero(t, numbers[b], "%s: %s has no number", id, b.ID)
				name, is := strings.CutPrefix(b.Title, "Exposure and margin of ")
				if x, there := of[name]; is && there {
					r := b.Rows[0]
					assert.Equal(t, x, said{r.Cells[2].String(), r.Cells[4].String(), r.Cells[6].String()}, "%s %s", id, name)
					assert.True(t, strings.Contains(b.Notes[0], x.dose+" mg/kg bw/d") && strings.Contains(b.Notes[0],
						"= "+x.margin+"."),
						"%s %s: %s", id, name, b.Notes[0])
					compared++
				}
			case *document.HBarLog:
				for _, r := range b.Rows {
					if x, there := of[r.Label]; there {
						assert.Equal(t, x.margin, r.Used.String(), "%s %s", id, r.Label)
						compared++
					}
				}
			}
		}
		assert.Greater(t, compared, 12, id)
	}
}
