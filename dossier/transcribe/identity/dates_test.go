package identity

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/transcribe/lexicon"
)

func TestDates(t *testing.T) {
	words, err := lexicon.Load()
	require.NoError(t, err)
	d := dateReader{words: words, dayFirst: true, known: true}
	for text, want := range map[string]string{
		"2024-06-18":            "2024-06-18",
		"18.06.2024":            "2024-06-18",
		"18/06/24":              "2024-06-18",
		"1st August 2026":       "2026-08-01",
		"14 de marzo de 2025":   "2025-03-14",
		"3 März 2025":           "2025-03-03",
		"le 1er juin 2023":      "2023-06-01",
		"June 5, 2024":          "2024-06-05",
		"juni 2024":             "2024-06",
		"06/2024":               "2024-06",
		"Ph. Eur. 2.8.13":       "",
		"30.02.2024":            "",
		"Regulation 12/34/5678": "",
	} {
		t.Run(text, func(t *testing.T) {
			got := ""
			if found := d.find(text); len(found) > 0 {
				got = found[0].iso
			}
			require.Equal(t, want, got)
		})
	}
}

func TestOrderOfDayAndMonth(t *testing.T) {
	words, err := lexicon.Load()
	require.NoError(t, err)
	for name, c := range map[string]struct {
		texts []string
		want  string // empty: open
	}{
		"nothing tells":           {nil, ""},
		"another date tells":      {[]string{"25/12/2023"}, "2024-04-03"},
		"another date, by months": {[]string{"12/25/2023"}, "2024-03-04"},
		"dates that contradict":   {[]string{"12/25/2023", "25/12/2023"}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			d := dateReader{words: words, dayFirst: true}
			d.order(c.texts)
			got := d.find("03/04/2024")
			require.Len(t, got, 1)
			require.Equal(t, c.want == "", got[0].open)
			if c.want != "" {
				require.Equal(t, c.want, got[0].iso)
			}
		})
	}
}
