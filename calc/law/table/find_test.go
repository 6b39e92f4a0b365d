package table

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/trade"
)

// Which rows a sum takes in: those of its group that are in force, and the row itself.
func TestRowsOfASum(t *testing.T) {
	rule := func(entry, group string, kind annex.SumKind, until string) *annex.Limit {
		l := &annex.Limit{Annex: "V", Entry: entry, SumGroup: group, Markets: []rows.Market{rows.EU},
			Sum: annex.Sum{Kind: kind, Groups: []string{group}}}
		if until != "" {
			l.Until = day(t, until)
		}
		return l
	}
	a, b := rule("1", "g", annex.SumAll, "2025-01-01"), rule("2", "g", annex.SumAll, "")
	old, other := rule("3", "g", annex.SumAll, "2025-01-01"), rule("4", "h", annex.SumAll, "")
	each, none := rule("5", "g", annex.SumEach, ""), rule("6", "", annex.NoSum, "")
	tables := &Tables{Limits: []*annex.Limit{a, b, old, other, each, none}}
	now := day(t, "2026-12-01")
	assert.Equal(t, []*annex.Limit{a, b, each}, tables.SumRows(a, rows.EU, now), "itself, though its time is over")
	assert.Equal(t, []*annex.Limit{b, each}, tables.SumRows(b, rows.EU, now))
	assert.Equal(t, []*annex.Limit{b}, tables.SumRows(b, rows.GB, now))
	assert.Equal(t, []*annex.Limit{each}, tables.SumRows(each, rows.EU, now))
	assert.Equal(t, []*annex.Limit{none}, tables.SumRows(none, rows.EU, now))
}

func TestStateOfMarkets(t *testing.T) {
	tables := Builtin()
	assert.Equal(t, rows.GB, tables.StateOf(rows.GB).Market)
	assert.Equal(t, rows.EU, tables.StateOf(rows.EU).Market)
	assert.Equal(t, rows.EU, tables.StateOf(rows.NI).Market, "Northern Ireland follows the EU annexes")
	assert.Panics(t, func() { tables.StateOf("US") })
}

// Rows by the names of substances, however they are written.
func TestRowsByName(t *testing.T) {
	tables := Builtin()
	assert.Equal(t, trade.PolymerBead, tables.PolymerOf("polyethylene").Kind)
	assert.Nil(t, tables.PolymerOf("Glycerin"))
	for name, is := range map[string]bool{"Alumina": true, "ALUMINUM HYDROXIDE": true, "Calcium Carbonate": true,
		"Titanium Dioxide": false, "Glycerin": false, "": false} {
		assert.Equal(t, is, tables.IsSubstrate(name), name)
	}
	assert.Equal(t, "benzoic", tables.AcidPreservative("sodium benzoate").Key)
	assert.Equal(t, "sorbic", tables.AcidPreservative("Potassium Sorbate").Key)
	assert.Nil(t, tables.AcidPreservative("Citric Acid"))
}

// Of the phrases in a text the longest counts; it begins where a word does.
func TestUsePhrases(t *testing.T) {
	tables := &Tables{}
	for _, phrase := range []string{"rinse", "do not rinse", "wash off"} {
		tables.usePhrases = append(tables.usePhrases, &trade.UsePhrase{Phrase: phrase})
	}
	for text, want := range map[string]string{"Rinse well.": "rinse", "Do  NOT\nrinse it": "do not rinse",
		"rinsed": "rinse", "unrinsed": "", "Wash off, then rinse": "wash off", "": ""} {
		got := ""
		if p := tables.UsePhrase(text); p != nil {
			got = p.Phrase
		}
		assert.Equal(t, want, got, text)
	}
	assert.Equal(t, "wash off", (&Tables{usePhrases: []*trade.UsePhrase{{Phrase: "wash off"}, {Phrase: "off then"}}}).
		UsePhrase("wash off then").Phrase, "of two alike the first")
}

// Of a group the rows made most closely for a product type count.
func TestTraceGuidesOfATypes(t *testing.T) {
	general, oral := &trade.TraceGuide{Group: "lead"}, &trade.TraceGuide{Group: "lead", Codes: []string{"oral"}}
	also, other := &trade.TraceGuide{Group: "lead", Types: []string{"mouthwash"}}, &trade.TraceGuide{Group: "arsenic", Codes: []string{"oral"}}
	tables := &Tables{traceGuides: []*trade.TraceGuide{general, oral, also, other}}
	wash := &trade.ProductType{Codes: []string{"oral"}}
	wash.Key = "mouthwash"
	assert.Equal(t, []*trade.TraceGuide{oral, also, other}, tables.TraceGuides(wash))
	assert.Equal(t, []*trade.TraceGuide{general}, tables.TraceGuides(&trade.ProductType{}))
}

// Names point to an excluded group by a whole word, or by a part of one.
func TestTTCExclusions(t *testing.T) {
	metals, steroids := &trade.TTCExclusion{Words: []string{"lead", "zinc"}}, &trade.TTCExclusion{Parts: []string{"ster"}}
	tables := &Tables{TTCExclusions: []*trade.TTCExclusion{metals, steroids}}
	for name, want := range map[string]*trade.TTCExclusion{"Lead": metals, "Lead Acetate": metals, "Oxide/Zinc": metals,
		"Oxide (lead)": metals, "oxide,lead": metals, "Leaded": nil, "Zincate": nil, "(Zinc)Oxide": metals,
		"Cholesterol": steroids, "Sterols of lead": metals, "Glycerin": nil, "": nil} {
		assert.Same(t, want, tables.TTCExcluded(name), name)
	}
}

// What says that something is absent: the longest wordings first, word by word.
func TestAbsenceWords(t *testing.T) {
	said := Builtin().Absence.Said
	for i := 1; i < len(said); i++ {
		assert.GreaterOrEqual(t, len(said[i-1]), len(said[i]))
	}
	assert.Contains(t, said, []string{"free", "from"})
	assert.Contains(t, said, []string{"without"})
}
