package formula

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// A variant is named by its own name where that begins with the product's, else beside it.
func TestVariantsInFindings(t *testing.T) {
	for _, c := range []struct{ product, id, name, subject, about string }{
		{"Heath Wash", "", "", "Heath Wash", "p"},
		{"Heath Wash", "", "a name without an id", "Heath Wash", "p"},
		{"Heath Wash", "rose", "Heath Wash Rose", "Heath Wash Rose", "p/rose"},
		{"Heath Wash", "rose", "Rose", "Heath Wash, Rose", "p/rose"},
		{"Heath Wash", "rose", "", "Heath Wash, rose", "p/rose"},
		{"", "rose", "", "p, rose", "p/rose"},
		{"", "", "", "p", "p"},
	} {
		in := &Input{Product: &Product{ID: "p", Name: c.product}, Variant: &Variant{ID: c.id, Name: c.name}}
		f := in.OnVariant(finding.NewFinding(finding.Ask, "code", exact.Pos{}, nil))
		assert.Equal(t, []string{c.subject, c.subject, c.about}, []string{f.Subject, f.About.Text, f.About.ID}, c)
	}
}

func TestMaterialsInFindings(t *testing.T) {
	s := sheet(t, "oil", "Olea Europaea Fruit Oil", "100")
	s.Name = "Olive oil"
	supplied(s, "Alder Supplies (invented)", "A-7")
	in := &Input{Sheets: map[string]*ingredients.Sheet{"oil": s}}
	named := finding.Value{Kind: finding.KindName, Text: "Olive oil", ID: "oil"}
	bare := finding.Value{Kind: finding.KindName, Text: "wax", ID: "wax"}
	assert.Equal(t, []finding.Value{named, bare}, []finding.Value{in.Material("oil"), in.Material("wax")})
	assert.Equal(t, finding.Values{named, bare}, in.MaterialsNamed([]string{"oil", "wax"}))
	assert.Equal(t, []finding.Party{s.Asked(), finding.TheSupplier},
		[]finding.Party{in.SupplierOf("oil"), in.SupplierOf("wax")})
	f := in.OnMaterial(finding.Finding{}, "oil")
	assert.Equal(t, []string{"Olive oil", "oil"}, []string{f.Subject, f.About.ID})

	// an id that stands for its own name becomes the name, and keeps what it is called by
	told := finding.Value{Kind: finding.KindName, Name: "material", Text: "my own words", ID: "oil"}
	fs := in.Named([]finding.Finding{{Sum: []finding.Term{{Values: finding.Values{
		{Kind: finding.KindName, Name: "material", Text: "oil", ID: "oil"}, told,
		{Kind: finding.KindNumber, Name: "use"}}}}}})
	named.Name = "material"
	assert.Equal(t, finding.Values{named, told, {Kind: finding.KindNumber, Name: "use"}}, fs[0].Sum[0].Values)
}

// What a row of the law says of itself as a source: by hand from the rows.
func TestRowsAsSources(t *testing.T) {
	day := func(text string) exact.Date {
		d, err := exact.ParseDate(text)
		require.NoError(t, err)
		return d
	}
	has := func(row *annex.Limit, on string, names ...string) {
		t.Helper()
		v := lawSource(row, rows.EU, day(on))
		require.Len(t, v, 1)
		assert.Equal(t, "law-row", v[0].Text)
		var got []string
		for _, x := range v[0].List {
			got = append(got, x.Name)
		}
		assert.Equal(t, names, got)
	}
	row := annex.Limit{Annex: "III", Entry: "98", Markets: []rows.Market{rows.EU}}
	row.Key, row.Source, row.Seen, row.File = "k", "Regulation 1223/2009 III/98", "seen", "limits.csv"
	row.From = day("2025-09-01")
	has(&row, "2026-11-25", "source", "market", "from", "file", "row")
	// the number is said where the source does not name the entry, or that it was not read
	row.Source = "Regulation 1223/2009"
	has(&row, "2026-11-25", "source", "annex", "entry", "market", "from", "file", "row")
	assert.Equal(t, "entry-number", lawSource(&row, rows.EU, day("2026-11-25"))[0].List[2].Text)
	row.EntryUnread = true
	assert.Equal(t, "entry-not-read", lawSource(&row, rows.EU, day("2026-11-25"))[0].List[2].Text)
	// a preamble is written out in the source
	row.Entry, row.Source = "preamble-2", "Regulation 1223/2009 III preamble 2"
	has(&row, "2026-11-25", "source", "market", "from", "file", "row")
	// stock may be sold up to its day, from the day of the row on
	row.OffShelf = day("2027-05-01")
	for on, told := range map[string]bool{"2025-08-31": false, "2025-09-01": true, "2027-05-01": true,
		"2027-05-02": false} {
		_, ok := lawSource(&row, rows.EU, day(on))[0].List.Get("stock")
		assert.Equal(t, told, ok, on)
	}
	row.OffShelf = 0
	row.Instrument = annex.InstrumentDraft
	row.Seen = "memory"
	has(&row, "2026-11-25", "source", "market", "from", "file", "row", "unverified", "draft")
	// the maker's own row has its key, and no entry
	own := annex.Limit{Annex: "own", Entry: "x", Own: true, Markets: []rows.Market{rows.EU}}
	own.Key, own.Source, own.Seen, own.File = "x", "own", "seen", "limits/own.csv"
	has(&own, "2026-11-25", "own", "source", "market", "file", "row")
	assert.Equal(t, []string{"own x", "III/preamble-2"}, []string{EntryOf(&own), EntryOf(&row)})

	v := RowSource("SCCS/1647/22", "facts.csv", "body-weight", true)
	require.Len(t, v, 1)
	assert.Equal(t, "table-row", v[0].Text)
	require.Len(t, v[0].List, 4)
	assert.Len(t, RowSource("SCCS/1647/22", "facts.csv", "body-weight", false)[0].List, 3)
	assert.Equal(t, []string{"EU", "GB"}, MarketNames([]rows.Market{rows.EU, rows.GB}))
}
