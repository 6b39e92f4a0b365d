package pack_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
	"gallipot/dossier/dossiertest"
	"gallipot/dossier/pack"
)

// What nobody has recorded is said once: no table of readings, trends and shelf lives where
// there is no storage test, no second caution where there is no count, no log without entry.
func TestSaidOnce(t *testing.T) {
	d := pack.Build(dossiertest.Demo(t, "lip-balm"))
	d.Workbook = nil
	require.NotNil(t, tableOf(d, "stability-tests"))
	for _, id := range []string{"stability-readings", "stability-trends", "stability-life", "micro-counts",
		"effects-log"} {
		assert.Nil(t, tableOf(d, id), id)
	}
	assert.Equal(t, 1, strings.Count(measure(t, d).text.String(), "does not prove protection"))
	tested := pack.Build(dossiertest.Demo(t, "heath-wash"))
	tested.Workbook = nil
	for _, id := range []string{"stability-readings", "stability-life", "micro-counts"} {
		assert.NotNil(t, tableOf(tested, id), id)
	}
}

// The classing of a type is said to be a judgement, and what it is.
func TestJudgedType(t *testing.T) {
	text := strings.Join(strings.Fields(measure(t, pack.Build(dossiertest.Demo(t, "lip-balm"))).text.String()), " ")
	want := "is a judgement, common practice without a source, which the assessor confirms: left on, used on lip, mucous membranes; fragrance category 1."
	assert.True(t, strings.Contains(text, want), want)
}

// A study that nobody describes is not stated, and a country of making is that of the label.
func TestStated(t *testing.T) {
	d := pack.Build(dossiertest.Demo(t, "body-cream"))
	margins := tableOf(d, "margins-pages")
	require.NotNil(t, margins)
	found := false
	for _, r := range margins.Rows {
		if r.Cells[0].Text == "Hydrolyzed Oats" {
			found = true
			assert.Equal(t, "□\u00a0not\u00a0stated", r.Cells[6].String())
		}
	}
	assert.True(t, found)
	of := func(id string) string {
		for _, r := range tableOf(pack.Build(dossiertest.Demo(t, id)), "product-short").Rows {
			if r.Cells[0].Text == "Made in" {
				return r.Cells[1].String()
			}
		}
		return ""
	}
	assert.Equal(t, "United Kingdom", of("heath-wash"), "made_in: GB; its label says Made in the United Kingdom")
	assert.Equal(t, "United Kingdom, the maker's country", of("lip-balm"), "the product says nothing")
}

// A product that something stops is not shown as keeping the law, and one that keeps it is.
func TestStoppedIsSaidFirst(t *testing.T) {
	first := func(id string) string {
		for _, b := range pack.Build(dossiertest.Demo(t, id)).Sections[0].Subsections[0].Blocks {
			if k, ok := b.(*document.KeyFigures); ok {
				return k.Items[0].Value.String()
			}
		}
		return ""
	}
	assert.Equal(t, "○\u00a0limits kept", first("heath-wash"))
	assert.Equal(t, "■\u00a0stopped", first("lip-balm"), "a certificate and a claim")
	assert.Equal(t, "■\u00a0exceeded", first("body-cream"), "a limit")
}

// A variant whose name ends with its code is called once in Part B, and both markets are
// asked about.
func TestCoveredInPartB(t *testing.T) {
	a := dossiertest.Demo(t, "lip-balm")
	form := pack.Form(a)
	names := map[string]string{}
	for _, p := range form.Parts {
		for _, g := range p.Groups {
			for _, r := range g.Rows {
				names[r.Code] = r.Issued[0]
			}
		}
	}
	assert.Equal(t, "Harbour Wall Lip Balm, plain", names["V01"])
	assert.Equal(t, "GB", names["M01"])
	covered := tableOf(pack.Build(a), "b-variants")
	require.NotNil(t, covered)
	var of []string
	for _, r := range covered.Rows {
		of = append(of, r.Cells[0].Text)
	}
	assert.Equal(t, []string{"plain", "mint", "heather", "gorse", "GB", "EU"}, of)
}
