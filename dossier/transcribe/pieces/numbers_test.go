package pieces

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// The numbers are those of the Commission's inventory of ingredient names; check digits
// by hand.
func TestNumbers(t *testing.T) {
	for name, c := range map[string]struct {
		text         string
		cas, ec, bad []string
		rest         string
	}{
		"a CAS and an EC number": {"Glycerin 56-81-5 / 200-289-5", []string{"56-81-5"},
			[]string{"200-289-5"}, nil, "Glycerin   /  "},
		"a number broken at a line":       {"56-\n81-5", []string{"56-81-5"}, nil, nil, " "},
		"other kinds of hyphens":          {"56–81‑5", []string{"56-81-5"}, nil, nil, " "},
		"a wrong check digit":             {"56-81-6", nil, nil, []string{"56-81-6"}, " "},
		"the same number twice":           {"56-81-5, 56-81-5", []string{"56-81-5"}, nil, nil, " ,  "},
		"a registration number is none":   {"01-2119471987-18-0000", nil, nil, nil, " "},
		"an index number is none":         {"603-117-00-0", nil, nil, nil, " "},
		"a date and a locant are none":    {"18-06-2024 1,8-cineole", nil, nil, nil, "18-06-2024 1,8-cineole"},
		"a number inside a longer figure": {"C12-14", nil, nil, nil, "C12-14"},
	} {
		t.Run(name, func(t *testing.T) {
			cas, ec, bad, rest := Numbers(c.text)
			require.Equal(t, c.cas, cas)
			require.Equal(t, c.ec, ec)
			require.Equal(t, c.bad, bad)
			require.Equal(t, c.rest, rest)
		})
	}
}

func TestWithoutNumberWords(t *testing.T) {
	for text, want := range map[string]string{
		"Linalool CAS-Nr.: ": "Linalool",
		"n° CAS: Citral":     "Citral",
		"Casein":             "Casein",
	} {
		require.Equal(t, want, CleanName(WithoutNumberWords(text)), text)
	}
}
