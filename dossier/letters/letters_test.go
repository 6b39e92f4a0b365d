package letters

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/document/documenttest"
	"gallipot/dossier/document/page"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/dossiertest"
	"gallipot/dossier/workshop"
	"gallipot/dossier/workshop/workshoptest"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// demoLetters gathers the letters of the demo workshop.
func demoLetters(t *testing.T) (*workshop.Workshop, *Letters) {
	t.Helper()
	w := dossiertest.Demo(t, "heath-wash").Workshop
	return w, LettersOf(w, dossier.AssessAll(w, w.Products, assess.Options{Date: testDay, Law: table.Builtin()}), testDay)
}

// TestLetterGolden holds the full text of one letter.
func TestLetterGolden(t *testing.T) {
	w, l := demoLetters(t)
	files, err := l.Documents(w.Maker.Name, testDay)
	require.NoError(t, err)
	for _, f := range files {
		require.Empty(t, f.Doc.Check(), f.Name)
		if f.Name != "cairnlock-colours" {
			continue
		}
		var got bytes.Buffer
		require.NoError(t, plain.Write(&got, f.Doc))
		golden := filepath.Join("../..", "testdata", "golden", "letter-"+f.Name+".txt")
		if os.Getenv("UPDATE") == "1" {
			require.NoError(t, os.MkdirAll(filepath.Dir(golden), 0o755))
			require.NoError(t, os.WriteFile(golden, got.Bytes(), 0o644))
		}
		want, err := os.ReadFile(golden)
		require.NoError(t, err)
		require.Equal(t, string(want), got.String())
		return
	}
	t.Fatal("no letter to Cairnlock Colours")
}

// TestLetters wants one letter a supplier, with what its materials lack and
// nothing that only the maker can settle.
func TestLetters(t *testing.T) {
	w, l := demoLetters(t)
	var to []string
	for _, s := range l.Suppliers {
		to = append(to, s.To)
		require.NotEmpty(t, s.From.Lines)
		for _, m := range s.Materials {
			require.Equal(t, s.To, w.Sheets[m.ID].Supplier.Name)
			require.NotEmpty(t, m.Products, m.ID)
			require.NotEmpty(t, m.Requests, m.ID)
			wants := map[string]bool{}
			for _, r := range m.Requests {
				require.False(t, wants[r.Want], "%s twice: %s", m.ID, r.Want)
				wants[r.Want] = true
				require.NotEmpty(t, r.Why)
				require.NotContains(t, r.Want+r.Why, m.ID+" ", "our id means nothing to a supplier")
			}
		}
	}
	require.NotContains(t, to, w.Maker.Name, "nobody writes to themselves")
	require.IsIncreasing(t, to)
	asked := func(id string) string {
		for _, s := range l.Suppliers {
			for _, m := range s.Materials {
				if m.ID == id {
					text := ""
					for _, r := range m.Requests {
						text += r.Want + ": " + r.Why + "\n"
					}
					return text
				}
			}
		}
		return ""
	}
	// the demo's faults that a supplier can mend
	assert.Contains(t, asked("xanthan"), "the current safety data sheet: ours is of 2021-05-04", "fault 02")
	assert.Contains(t, asked("phytate-50"), "certificate of analysis of 2026-03-11: it stands on our list", "fault 03")
	assert.Contains(t, asked("fo-heather"), "the exact content of Geraniol", "fault 04")
	assert.Contains(t, asked("sea-salt"), "safety data sheet", "fault 05")
	assert.Contains(t, asked("fo-tideline"), "against the list of Regulation (EU) 2023/1545", "fault 06")
	assert.Contains(t, asked("fo-rowan"), "fragrance conformity certificate", "fault 09")
	assert.Contains(t, asked("pine-oil"), "allergen declaration", "fault 10")
	assert.Contains(t, asked("beeswax"), "the right name and CAS number", "fault 11")
	assert.Contains(t, asked("kelp-extract"), "the full composition", "fault 12")
	assert.Contains(t, asked("mica-moss"), "free from chromate ion", "fault 23")
	assert.NotContains(t, asked("fo-heather"), "conformity certificate", "what is there is not asked for")
}

// TestNotes looks at the letters to laboratory and assessor.
func TestNotes(t *testing.T) {
	_, l := demoLetters(t)
	tests := map[string][]string{}
	for _, p := range l.Laboratory.Products {
		for _, x := range p.Tests {
			tests[p.Name] = append(tests[p.Name], x.Name)
		}
	}
	assert.NotContains(t, tests, "Heath Wash", "all its tests are there")
	assert.Contains(t, tests["Slack Water Body Cream"], "Preservation challenge test", "fault 19")
	assert.Contains(t, tests["Shingle Salt Scrub"], "Stability study", "fault 24")
	assert.NotContains(t, tests["Harbour Wall Lip Balm"], "Preservation challenge test", "a low-risk case is made")
	questions := ""
	for _, p := range l.Assessor.Products {
		require.Len(t, p.Fingerprint, 12)
		questions += strings.Join(p.Questions, "\n") + "\n"
	}
	assert.Contains(t, questions, "for the figures 0000000000000000", "fault 21")
	for _, never := range []string{"To be done", ".csv", "let the assessor", "heath-wash/", "Heath Wash: "} {
		assert.NotContains(t, questions, never)
	}
}

// TestMarginIsAsked puts five times the vitamin E into the cream. By hand: at most 12 % of
// an oil with 0.2 % and 1.5 % of a blend with 74 % are 1.134 % of Tocopherol; 123.2 mg of
// cream for each kg and day, half of it absorbed, are 0.6985 mg; half of 9 mg over that is
// 6.44, and people's own figure asks for 10.
func TestMarginIsAsked(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "demo")
	require.NoError(t, os.CopyFS(dir, os.DirFS(dossiertest.Demo(t, "body-cream").Workshop.Dir)))
	name := filepath.Join(dir, "products", "body-cream.yaml")
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	changed := strings.Replace(string(data), "{ingredient: tocopherol-70, amount: 0.3}",
		"{ingredient: tocopherol-70, amount: 1.5}", 1)
	require.NotEqual(t, string(data), changed)
	require.NoError(t, os.WriteFile(name, []byte(changed), 0o644))
	w, _ := workshop.Load(dir, table.Builtin())
	require.NotNil(t, w)
	l := LettersOf(w, dossier.AssessAll(w, w.Products, assess.Options{Date: testDay, Law: table.Builtin()}), testDay)
	for _, p := range l.Assessor.Products {
		asked := strings.Contains(strings.Join(p.Questions, "\n"),
			"Tocopherol: in the product the margin of safety is 6.44, below the target of 10")
		assert.Equal(t, p.Name == "Slack Water Body Cream", asked, p.Name)
	}
}

// TestWriteLetters writes them, finds the old ones and leaves them alone.
func TestWriteLetters(t *testing.T) {
	w, l := demoLetters(t)
	dir := filepath.Join(t.TempDir(), "letters")
	require.NoError(t, os.MkdirAll(dir, 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "somebody-else.txt"), []byte("old"), 0o644))
	files, warnings, stale, err := WriteLetters(dir, l, w.Maker.Name, testDay)
	require.NoError(t, err)
	require.Empty(t, warnings)
	require.Len(t, files, 2*(len(l.Suppliers)+2))
	require.Equal(t, []string{filepath.Join(dir, "somebody-else.txt")}, stale)
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Len(t, entries, len(files)+1, "nothing half-written is left")
	for _, f := range files {
		data, err := os.ReadFile(f)
		require.NoError(t, err)
		if strings.HasSuffix(f, ".pdf") {
			require.True(t, bytes.HasPrefix(data, []byte("%PDF-")), f)
		} else {
			require.Contains(t, string(data), w.Maker.Name, f)
			require.NotContains(t, string(data), "<no value>", f)
		}
	}
	before, err := os.ReadFile(filepath.Join(dir, "laboratory.pdf"))
	require.NoError(t, err)
	_, _, _, err = WriteLetters(dir, l, w.Maker.Name, testDay)
	require.NoError(t, err)
	again, err := os.ReadFile(filepath.Join(dir, "laboratory.pdf"))
	require.NoError(t, err)
	require.True(t, bytes.Equal(before, again), "the same letter twice")
}

// TestNothingToAsk: a workshop in order writes no letter.
func TestNothingToAsk(t *testing.T) {
	a := assessFiles(t, workshoptest.FullFiles())
	l := LettersOf(a.Workshop, []*assess.Assessment{a}, testDay)
	for _, s := range l.Suppliers {
		t.Errorf("a letter to %s: %v %v", s.To, s.Materials, s.Others)
	}
	assert.Nil(t, l.Laboratory)
	files, err := (&Letters{}).Documents("M", testDay)
	require.NoError(t, err)
	require.Empty(t, files)
	require.True(t, (&Letters{}).None())
}

func TestAddRequest(t *testing.T) {
	var list []request
	for _, r := range []request{
		{"purity statement", "a", "purity"}, {"a statement on lead", "b", "purity"},
		{"a statement on lead; arsenic", "c", "purity"}, {"a statement on arsenic", "d", "purity"},
		{"purity statement", "e", "purity"},
		{"the current allergen declaration", "old", "allergens"},
		{"an allergen declaration against a list", "short", "allergens"},
		{"safety data sheet", "f", "sds"}, {"safety data sheet", "g", "sds"}, {"something else", "h", ""},
	} {
		list = addRequest(list, r)
	}
	assert.Equal(t, []request{{"a statement on lead; arsenic", "c", "purity"},
		{"an allergen declaration against a list", "old; short", "allergens"}, {"safety data sheet", "f", "sds"},
		{"something else", "h", ""}}, list)
}

func TestFileWord(t *testing.T) {
	for name, want := range map[string]string{
		"Kelpholm Aromas (invented)": "kelpholm-aromas", "Öl & Söhne": "l-s-hne", "../../etc": "etc",
		"香": "supplier", "": "supplier", "A.B. Ltd.": "a-b-ltd",
	} {
		assert.Equal(t, want, fileWord(name))
	}
	// two suppliers with one file name, and one called like the laboratory's
	l := &Letters{Suppliers: []supplierLetter{{To: "A B"}, {To: "A-B"}, {To: "Laboratory"}}, Laboratory: &laboratoryNote{}}
	files, err := l.Documents("M", testDay)
	require.NoError(t, err)
	var names []string
	for _, f := range files {
		names = append(names, f.Name)
	}
	assert.Equal(t, []string{"a-b", "a-b-2", "laboratory-2", "laboratory"}, names)
}

func TestLetterDocument(t *testing.T) {
	d := letterDocument("# One\n\n> a\n> b\n\nfirst\nsecond\n\n- x\n- y\n## Two\n\nend\n\n# Three\n", "T", "M", testDay)
	require.Empty(t, d.Check())
	require.Len(t, d.Sections, 2)
	require.Len(t, d.Sections[0].Subsections, 0, "a heading stands in a block of its own")
	d = letterDocument("# One\n\n> a\n> b\n\nfirst\nsecond\n\n- x\n- y\n\n## Two\n\nend\n\n# Three\n", "T", "M", testDay)
	require.Len(t, d.Sections[0].Blocks, 3)
	require.Equal(t, "a\nb", d.Sections[0].Blocks[0].(*document.Paragraph).Plain())
	require.Equal(t, "first second", d.Sections[0].Blocks[1].(*document.Paragraph).Plain())
	require.Len(t, d.Sections[0].Blocks[2].(*document.Bullets).Items, 2)
	require.Equal(t, "Two", d.Sections[0].Subsections[0].Title)
	require.Empty(t, d.Letterhead)

	// sender, date and receiver come first, in place of a title
	d = letterDocument("> M\n> Street 1\n\n> 25 November 2026\n\n> To: S\n\n# Subject\n\nDear S,\n", "Title", "M", testDay)
	require.Equal(t, []string{"M", "Street 1", "", "25 November 2026", "", "To: S"}, d.Letterhead)
	const want = "M Street 1 25 November 2026 To: S Subject Dear S,"
	flat := func(s string) string { return strings.Join(strings.Fields(strings.ReplaceAll(s, "=", " ")), " ") }
	var text, pageText bytes.Buffer
	require.NoError(t, plain.Write(&text, d))
	require.Equal(t, want, flat(text.String()))
	require.NoError(t, page.WriteBody(&pageText, d))
	require.Equal(t, want, flat(regexp.MustCompile(`<[^>]*>`).ReplaceAllString(pageText.String(), " ")))
	data, _, err := pdf.Render(d, nil)
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "letter.pdf")
	require.NoError(t, os.WriteFile(file, data, 0o644))
	printed, _ := documenttest.Run(t, documenttest.Tool(t, "pdftotext"), "-layout", file, "-")
	require.Contains(t, flat(printed), want)
}

// TestRequestOf words a finding of each code that calc raises for suppliers.
func TestRequestOf(t *testing.T) {
	of := func(code, subject string, v finding.Values) finding.Finding {
		return finding.NewFinding(finding.Ask, code, exact.Pos{},
			v).On(subject).By(finding.Party{Role: finding.RoleSupplier, Name: "S"})
	}
	criteria := of("criterion", "Kelp", nil)
	for _, c := range []string{"a", "b"} {
		criteria.Things = criteria.Things.Term("", "criterion",
			workshop.With().Quote("criterion", c).Names("substances", []string{"X"}))
	}
	for _, c := range []struct {
		f         finding.Finding
		want, why string
	}{
		{of("open-order", "A / B", nil), "the exact composition, or narrower ranges", "(A / B)"},
		{of("category-not-covered", "Kelp", workshop.With().Name("category", "9").Quote("type", "shower gel")),
			"the certificate line of category 9", "no line for category 9 (shower gel)"},
		{of("fat-unknown", "Seed Oil", workshop.With().Name("material", "Gorse oil").Name("id", "gorse")),
			"your answer on Seed Oil", "it has no saponification value"},
		{criteria, "a statement on a, for X; b, for X", "criteria"},
	} {
		r, ok := requestOf(c.f)
		require.True(t, ok)
		assert.Equal(t, c.want, r.Want)
		assert.Contains(t, r.Why, c.why)
	}
	_, ok := requestOf(of("missing-document", "Kelp", nil))
	assert.False(t, ok, "papers are asked for from the sheet")
	_, ok = requestOf(finding.NewFinding(finding.Ask, "open-order", exact.Pos{}, nil).By(finding.TheMaker))
	assert.False(t, ok, "no supplier can settle it")
}

// What a laboratory is asked for are items of the table.
func TestLaboratoryItemsStandInTheTable(t *testing.T) {
	var ids []string
	for _, row := range law.Dossier(table.Builtin()) {
		ids = append(ids, row.Key)
	}
	assert.Subset(t, ids, laboratoryItems)
}
