package labelling

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/law/rows"
	"gallipot/dossier/words/wordstest"
)

// TestOneAddressUnderlined: of several addresses the one where the file is held is
// highlighted, and exactly one (Regulation (EC) 1223/2009 Article 19(1)(a),
// label-rules.csv, L13). One address alone has nothing to set it off from.
func TestOneAddressUnderlined(t *testing.T) {
	of := func(gb, eu bool, markets ...rows.Market) (underlined []string, codes []string) {
		home, away := address("GB", "Shore Road 1"), address("IE", "Pier 1")
		home.HoldsFile, away.HoldsFile = gb, eu
		l := labelled(t, LabelFacts{Persons: map[rows.Market]LabelPerson{rows.GB: home, rows.EU: away}}, nil, markets...)
		for _, i := range l.All(ItemPerson) {
			if i.Underlined {
				underlined = append(underlined, i.Lead)
			}
		}
		return underlined, codesOf(l, "file-address")
	}
	both := []rows.Market{rows.GB, rows.EU}
	marked, codes := of(true, false, both...)
	assert.Equal(t, []string{"GB"}, marked)
	assert.Empty(t, codes)
	marked, codes = of(false, true, both...)
	assert.Equal(t, []string{"EU"}, marked)
	assert.Empty(t, codes)
	marked, codes = of(false, false, both...)
	assert.Empty(t, marked, "none is chosen for the maker")
	assert.Equal(t, []string{"ask label-file-address"}, codes)
	marked, codes = of(true, true, both...)
	assert.Empty(t, marked)
	assert.Equal(t, []string{"ask label-file-address"}, codes)
	marked, codes = of(true, true, rows.GB)
	assert.Empty(t, marked, "one address")
	assert.Empty(t, codes)
}

// What the addresses bear beside themselves: the markets where there are several of
// both, the rule of underlining, and why it is not settled (L13, L15).
func TestAddressesInWords(t *testing.T) {
	of := func(gb, eu bool) *Label {
		home, away := address("GB", "Shore Road 1"), address("IE", "Pier 1")
		home.HoldsFile, away.HoldsFile = gb, eu
		return labelled(t, LabelFacts{Persons: map[rows.Market]LabelPerson{rows.GB: home, rows.EU: away}}, nil,
			rows.GB, rows.EU)
	}
	items := of(true, false).All(ItemPerson)
	assert.Equal(t, []string{"GB", "EU"}, []string{items[0].Lead, items[1].Lead})
	assert.Contains(t, ruleKeys(items[0]), "L13")
	assert.Contains(t, ruleKeys(items[0]), "L15")
	assert.Equal(t, "underlined: the file is held there", items[0].Remark)
	assert.Equal(t, "", items[1].Remark)
	assert.Equal(t, "the label has 2 addresses and one must be underlined, but it is not stated at which of them the file is kept", wordstest.Said(labelFinding(t, of(false, false), "label-file-address")).Message)
	assert.Equal(t, "the label has 2 addresses and one must be underlined, but several are said to keep the file", wordstest.Said(labelFinding(t, of(true, true), "label-file-address")).Message)
	one := labelled(t, LabelFacts{Persons: map[rows.Market]LabelPerson{rows.GB: address("GB", "Shore Road 1")}},
		nil, rows.GB).All(ItemPerson)
	assert.NotContains(t, ruleKeys(one[0]), "L13")
}
