package names

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What a number says of a name that is in no list. Numbers: Regulation (EC) No 1223/2009 and
// the inventory; 9003-11-6 is given to all poloxamers.
func TestByNumber(t *testing.T) {
	r := reader(t, regulation)
	ask := func(printed, cas, ec string) (Reading, Ask) {
		reading := r.Resolve(printed, cas, ec)
		require.Len(t, reading.Asks, 1, printed)
		return reading, reading.Asks[0]
	}
	reading, a := ask("Xyzol (nano)", "13463-67-7", "")
	require.Equal(t, Ask{AskByNumber, "Xyzol", []string{"Titanium Dioxide"}, "13463-67-7"}, a)
	require.True(t, reading.First().Nano)
	require.Subset(t, reading.First().Names(), []string{"Titanium Dioxide", "CI 77891", "Xyzol"})
	require.False(t, r.Resolve("Xyzol", "13463-67-7", "").First().Nano)
	_, a = ask("Xyzol", "", "200-289-5")
	require.Equal(t, Ask{AskByNumber, "Xyzol", []string{"Glycerin"}, "200-289-5"}, a)
	require.Equal(t, inInventory, r.Resolve("Xyzol", "56-81-5", "").First().Source)
	require.Equal(t, inLaw, r.Resolve("Xyzol", "123-31-9", "").First().Source)
	_, a = ask("Xyzol", "56-81-5", "200-289-5")
	require.Equal(t, "56-81-5", a.Number)
	_, a = ask("Xyzol 56-81-5", "", "")
	require.Equal(t, Ask{AskByNumber, "Xyzol 56-81-5", []string{"Glycerin"}, "56-81-5"}, a)
	reading, a = ask("Xyzol", "9003-11-6", "")
	require.Equal(t, AskNumberFits, a.Code)
	require.Greater(t, len(a.Others), 10)
	require.False(t, reading.First().Known())
	reading, a = ask("Xyzol oil", "84696-47-9", "")
	require.Equal(t, AskPlantNumber, a.Code)
	require.Contains(t, a.Others, "Rosa canina leaf oil")
	require.Contains(t, a.Others, "Rosa Canina Fruit Oil", "of the inventory too")
	require.False(t, reading.First().Known())
	_, a = ask("Xyzol", "99999-99-9", "")
	require.Equal(t, Ask{Code: AskUnknown, Name: "Xyzol"}, a)
	_, a = ask("Xyzol", "71-43-2", "") // of (impurity), which is no name
	require.NotContains(t, a.Others, "(impurity)")
	require.Equal(t, "Hydroquinone", r.Resolve("Hydroquinone", "50-00-0", "").First().Name, "the name leads")

	require.True(t, reader(t,
		book{cas: map[string][]string{"Rosa canina leaf oil": {"58-08-2"}}}).PlantNumber("58-08-2"),
		"by the law")
	require.False(t, r.PlantNumber("58-08-2"))
	require.Equal(t, []string{"56-81-5"}, r.OfficialNumbers("GLYCERIN"))
	require.Empty(t, r.OfficialNumbers("Xyzol"))
}

// A number printed in the name agrees with it or contradicts it.
func TestPrintedNumber(t *testing.T) {
	r := reader(t, regulation)
	for printed, contradicts := range map[string]string{
		"Glycerin 56-81-5": "", "Glycerin (56-81-5)": "", "Glycerin [CAS 56-81-5]": "",
		"Glycerin (EC 200-289-5)":              "",
		"Glycerin (CAS 56-81-5, EC 200-289-5)": "", "Glycerin CAS 56-81-5 / EC 200-289-5": "",
		"Glycerin CAS: 56-81-5; EINECS: 200-289-5": "", "Glycerin (56-81-5 / 50-00-0)": "Formaldehyde",
		"Glycerin 50-00-0 56-81-5": "Formaldehyde", "Glycerin 56-81-5 50-00-0": "Formaldehyde",
		"Glycerin, EINECS-No. 200-289-5": "", "Glycerin (50-00-0)": "Formaldehyde",
		"Glycerin CAS 50-00-0":          "Formaldehyde",
		"Titanium Dioxide (13463-67-7)": "", "Glycerin 99999-99-9": "",
		"Glycerin (200-001-8)":              "Formaldehyde",
		"Rosa Canina Seed Oil (84696-47-9)": "",
	} {
		reading := r.Resolve(printed, "", "")
		require.True(t, reading.First().Known(), printed)
		require.NotEmpty(t, reading.First().Qualifiers, printed)
		if contradicts == "" {
			require.Empty(t, reading.Asks, printed)
			require.Empty(t, reading.Within, printed)
			continue
		}
		require.Equal(t, []string{contradicts}, namesOf(reading.Within), printed)
		require.Equal(t, AskBracket, reading.Asks[0].Code, printed)
		require.NotEmpty(t, reading.Asks[0].Number, printed)
		require.Equal(t, "Glycerin", reading.Asks[0].Name, printed)
	}
	require.Equal(t, []string{"Formaldehyde"}, namesOf(r.Resolve("Rosa Canina Seed Oil (50-00-0)", "", "").Within),
		"only a number of a plant says nothing of the part")
	require.Contains(t, namesOf(r.Resolve("Glycerin (84696-47-9)", "", "").Within), "Rosa canina flower oil",
		"and only of a plant")
	for _, c := range []struct {
		text, name, cas, ec string
		ok                  bool
	}{
		{"Glycerin 56-81-5", "Glycerin", "56-81-5", "", true}, {"CAS-Nr.: 56-81-5", "", "56-81-5", "", true},
		{"Glycerin EG-Nummer 200-289-5 ", "Glycerin", "", "200-289-5", true}, {"Glycerin", "Glycerin", "",
			"", false},
		{"Glycerin 9", "Glycerin 9", "", "", false}, {"", "", "", "", false}, {" )]", " )]", "", "", false},
		{"Glycerin 56-81-5 (CAS)", "Glycerin 56-81-5 (CAS)", "", "", false},
		{"56-81-5 50-00-0", "56-81-5", "50-00-0", "", true},
	} {
		name, n, ok := withNumber(c.text)
		require.Equal(t, []any{c.name, number{c.cas, c.ec}, c.ok}, []any{name, n, ok}, c.text)
	}
	row := r.Resolve("56-81-5 50-00-0", "", "") // of numbers: no name, and asked about
	require.Equal(t, []Ask{{AskNumberFits, "56-81-5 50-00-0", []string{"Glycerin", "Formaldehyde"}, "56-81-5"}},
		row.Asks)
	require.Equal(t, []string{"Glycerin", "Formaldehyde"}, namesOf(row.Within), "either may be in it")
	row = r.Resolve("Xyzol 56-81-5 / 200-289-5", "", "")
	require.Equal(t, []Ask{{AskByNumber, "Xyzol 56-81-5 / 200-289-5", []string{"Glycerin"}, "56-81-5"}}, row.Asks)
	require.Empty(t, row.Within)
	row = r.Resolve("Xyzol", "9003-11-6", "")
	require.Empty(t, row.Within, "one number of many substances names none of them")
	row = r.Resolve("Glycerin (CAS 50-00-0, EC 200-001-8)", "", "")
	require.Equal(t, []string{"Formaldehyde"}, namesOf(row.Within))
	require.Len(t, row.Within, 1, "once, by two numbers")
	require.Len(t, row.Asks, 2)
	for numbers, want := range map[int]int{8: 8, 9: 0} {
		_, list := withNumbers("Glycerin" + strings.Repeat(" 56-81-5", numbers))
		require.Len(t, list, want)
	}
	name, list := withNumbers("Glycerin CAS 56-81-5, EC 200-289-5")
	require.Equal(t, "Glycerin", name)
	require.Equal(t, []number{{cas: "56-81-5"}, {ec: "200-289-5"}}, list)
	name, list = withNumbers("Glycerin")
	require.Equal(t, "Glycerin", name)
	require.Empty(t, list)
	require.Equal(t, map[string]string{"CI 77891": "CI 77891", "C.I.77891": "CI 77891", "CI77891": "CI 77891",
		"CI 77891A": "CI 77891", "CI 77891:1": "CI 77891", "CI 77891/x": "CI 77891",
		"ci 77891 z": "CI 77891", "CI 10000": "CI 10000", "CI 99999": "CI 99999",
		"CI 77891{": "CI 77891", "CI 778919": "", "C1 77891": "",
		"CI 7789": "", "CI 778910": "", "C 77891": "", "CI 7789x": "", "CIO 77891": "", "": ""},
		func() map[string]string {
			out := map[string]string{}
			for _, n := range []string{"CI 77891", "C.I.77891", "CI77891", "CI 77891A", "CI 77891:1",
				"CI 77891/x", "ci 77891 z", "CI 10000", "CI 77891{", "CI 778919", "C1 77891",
				"CI 99999", "CI 7789", "CI 778910", "C 77891", "CI 7789x", "CIO 77891", ""} {
				out[n] = colourIndex(n)
			}
			return out
		}())
}
