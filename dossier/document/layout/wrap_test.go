package layout_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/dossier/document/layout"
)

// What is read as one stands on one line, where a line has room for it.
func TestWhatStaysTogether(t *testing.T) {
	perRune := func(rune, *layout.Run) float64 { return 1 }
	lines := func(s string, width float64) (out []string) {
		for _, l := range layout.WrapRuns([]layout.Run{{Text: s}}, width, perRune) {
			text := ""
			for _, r := range l {
				text += r.Text
			}
			out = append(out, text)
		}
		return out
	}
	for name, c := range map[string]struct {
		text string
		want []string
	}{
		"a figure and its sign":       {"allows 0.32 % here", []string{"allows", "0.32 % here"}},
		"degrees":                     {"weeks at 40 °C dry", []string{"weeks at", "40 °C dry"}},
		"the code of a colour":        {"Vanillin, CI 77491", []string{"Vanillin,", "CI 77491"}},
		"the code of an additive":     {"as colour E 172 xx", []string{"as colour", "E 172 xx"}},
		"a word that ends like one":   {"of type MCI 77 xxx", []string{"of type MCI", "77 xxx"}},
		"a number behind a word":      {"Annex entry 29 here", []string{"Annex entry", "29 here"}},
		"a sign behind a word":        {"share in % w/w here", []string{"share in %", "w/w here"}},
		"nothing before it, no panic": {" % CI ", []string{" % CI"}},
	} {
		t.Run(name, func(t *testing.T) { assert.Equal(t, c.want, lines(c.text, 12)) })
	}
}
