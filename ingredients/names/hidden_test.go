package names

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/ingredients/inventory"
	"gallipot/testdata"
)

// Names of the law among the words of a text: the longest leads, a word counts once, what
// says how counts for nothing, and the search ends after sixty words.
func TestHiddenNames(t *testing.T) {
	long := "One two three four five six seven"
	r := reader(t, law{"Hydroquinone": true, "Salicylic Acid": true, "Acid": true, "Tin": true,
		"Lead": true, "Oil": true,
		"Organic": true, long: true, long + " eight": true, strings.Repeat("x", 400): true,
		strings.Repeat("y", 401): true})
	words := func(n int) string { return strings.Repeat("zz ", n) }
	for text, want := range map[string][]string{
		"zz Hydroquinone zz":                   {"Hydroquinone"},
		"Hydroquinone":                         {"Hydroquinone"},
		"zz Salicylic Acid zz":                 {"Salicylic Acid"},
		"zz acid zz salicylic acid":            {"Salicylic Acid", "Acid"},
		"zz (Hydroquinone), [Lead]; \"Acid\"!": {"Hydroquinone", "Lead", "Acid"},
		"Hydroquinone. zz":                     {"Hydroquinone"},
		"zz Hydroquinone hydroquinone":         {"Hydroquinone"},
		"zz tin zz":                            nil,
		"zz oil zz":                            nil,
		"zz organic zz":                        nil,
		"zz " + long + " zz":                   {long},
		"zz " + long + " eight":                {long},
		words(59) + "Hydroquinone":             {"Hydroquinone"},
		words(60) + "Hydroquinone":             nil,
		"zz " + strings.Repeat("x", 400):       {strings.Repeat("x", 400)},
		"zz " + strings.Repeat("y", 401):       nil,
		"zz parabens zz": {"Methylparaben", "Ethylparaben", "Propylparaben",
			"Butylparaben"},
		"zz hydro quinone zz": {"Hydroquinone"},
		"":                    nil,
	} {
		require.Equal(t, want, namesOf(r.hidden(text)), text)
	}
	require.Equal(t, customary, r.hidden("zz parabens zz")[0].Source)
	require.Equal(t, inLaw, r.hidden("zz Hydroquinone zz")[0].Source)
	require.Equal(t, []string{"Benzene, in what there is of it"},
		namesOf(reader(t, regulation).hidden("zz Benzene, in what there is of it zz")))
}

// counted is a law that counts what it is asked: the texts looked up, and their bytes.
type counted struct {
	law
	calls, bytes *int
}

func (c counted) Spelled(printed string) (string, bool) {
	*c.calls++
	*c.bytes += len(printed)
	return c.law.Spelled(printed)
}

func (c counted) Numbers(name string) []string { // of two names that are compared
	*c.calls++
	*c.bytes += len(name)
	return nil
}

// The ways to take qualifiers away are tried once each: of forty words, and of the brackets
// that a name may have besides.
func TestWorkOfQualifiers(t *testing.T) {
	for text, most := range map[string]int{
		strings.Repeat("organic vegan ", 20) + "zz":  55,
		strings.Repeat("(organic) ", 20) + "zz (yy)": 240,
		"zz yy": 4,
	} {
		calls, bytes := 0, 0
		r := reader(t, counted{law{"Hydroquinone": true}, &calls, &bytes})
		require.False(t, r.Resolve(text, "", "").First().Known())
		t.Log(calls)
		require.LessOrEqual(t, calls, most, text)
	}
}

// What it costs to read a text that is no name, counted by the texts that it is looked up
// under: however long it is and whatever is repeated in it, the work is bounded. Longer than
// any name, it is looked up a few times as it stands, and its first sixty words for names of
// the law.
func TestWorkOfAText(t *testing.T) {
	if testing.Short() {
		t.Skip("takes some seconds, and what is counted is always the same")
	}
	repeated := func(part string) func(n int) string {
		return func(n int) string { return strings.Repeat(part, n/len(part)) }
	}
	nested := func(open, middle, end string) func(n int) string {
		return func(n int) string {
			depth := (n - len(middle)) / len(open+end)
			return strings.Repeat(open, depth) + middle + strings.Repeat(end, depth)
		}
	}
	// counting nests as deep as is read, over and over, no two texts the same
	counting := func(open, middle, end string) func(n int) string {
		return func(n int) string {
			var b strings.Builder
			for i := 0; b.Len() < n-300; i++ {
				b.WriteString(strings.Repeat(open,
					deepestRead) + middle + strconv.Itoa(i) + strings.Repeat(end, deepestRead) + ", ")
			}
			return b.String()
		}
	}
	shapes := map[string]func(n int) string{
		"one word":                     repeated("x"),
		"words":                        repeated("zz "),
		"qualifiers":                   repeated("organic "),
		"qualifiers in brackets":       repeated("(99 %) "),
		"names with commas":            repeated("Aqua, "),
		"names with slashes":           repeated("Aqua/"),
		"unknown words with slashes":   repeated("zz/"),
		"names and unknown words":      repeated("Aqua, zz and "),
		"names with brackets":          repeated("Aqua (Water) / "),
		"unknown with brackets":        repeated("zz (yy) / "),
		"brackets never closed":        repeated("("),
		"numbers":                      repeated("50-00-0 "),
		"salts of salts":               repeated("sodium salt of "),
		"nano":                         repeated("nano-"),
		"brackets in brackets":         nested("(", "zz", ")"),
		"unknown with brackets inside": nested("zz (", "zz", ") / yy"),
		"known with brackets inside":   nested("Aqua (", "zz", ")"),
		"known, joined, inside":        nested("Aqua (", "zz", ") / zz"),
		"number behind each bracket":   nested("Aqua (", "zz", ") 7732-18-5"),
		"known, as deep as is read": repeated(nested("Aqua (", "zz",
			") / zz")(8*len("Aqua () / zz")+2) + " / "),
		"unknown, as deep as is read": repeated(nested("zz (", "yy",
			") / xx")(8*len("zz () / xx")+2) + ", "),
		"deep, each another":         counting("Aqua (", "zz", ") / Glycerin"),
		"as many names as have room": func(n int) string { return strings.Join(resolver(t).inventory.Names(), ", ")[:n] },
	}
	for name, shape := range shapes {
		t.Run(name, func(t *testing.T) {
			for _, c := range []struct{ size, calls, bytes int }{
				{longestRead, 100_000, 3_000_000},
				{900_000, 600, 5 * 900_000},
			} {
				if c.size > longestRead && !testdata.Long() {
					continue
				}
				calls, bytes := 0, 0
				inv, err := inventory.Open()
				require.NoError(t, err)
				r, err := New(inv, counted{law{"Hydroquinone": true}, &calls, &bytes})
				require.NoError(t, err)
				reading := r.Resolve(shape(c.size), "", "")
				require.NotEmpty(t, reading.Names)
				t.Logf("%d bytes: %d texts looked up, with %d bytes", c.size, calls, bytes)
				require.LessOrEqual(t, calls, c.calls)
				require.LessOrEqual(t, bytes, c.bytes)
			}
		})
	}
}
