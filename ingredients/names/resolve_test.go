package names

import (
	"math/rand"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/ingredients/inventory"
	"gallipot/ingredients/namelist"
)

func resolver(t testing.TB) *Resolver {
	t.Helper()
	inv, err := inventory.Open()
	require.NoError(t, err)
	r, err := New(inv, nil)
	require.NoError(t, err)
	return r
}

func TestResolve(t *testing.T) {
	r := resolver(t)
	for _, c := range []struct {
		printed string
		names   string // canonical names, joined by |
		asks    string // codes, joined by |
	}{
		{"AQUA", "Aqua", ""},
		{"Caprylic/Capric Triglyceride", "Caprylic/Capric Triglyceride", ""},
		{"PEG 40 hydrogenated castor oil", "PEG-40 Hydrogenated Castor Oil", ""},
		{"Sodium Laureth Sulphate", "Sodium Laureth Sulfate", ""},
		{"Citric Acid Monohydrate", "Citric Acid", ""},
		{"Sodium Hydroxide (99%)", "Sodium Hydroxide", ""},
		{"Glycerin (vegetable) 99.5%", "Glycerin", ""},
		{"Glycerin, 99.5 %", "Glycerin", ""},
		{"Organic Aluminum Acetate Solution", "Aluminum Acetate Solution", ""},
		{"BHA (salicylic acid) (Salicylic Acid)", "Salicylic Acid", ""},
		{"Softol P / Glycerin (Glycamil 99)", "Softol P / Glycerin (Glycamil 99)", "name-in-part|bracket-unknown"},
		{"Limonene (d-)", "Limonene", ""},
		{"Citronellol (d/l)", "Citronellol", ""},
		{"Cocos Nucifera (Coconut) Oil", "Cocos Nucifera Oil", ""},
		{"Lavandula Angustifolia (Lavender) Flower Oil*", "Lavandula Angustifolia Flower Oil", ""},
		{"Phenoxyethanol (and) Ethylhexylglycerin", "Phenoxyethanol|Ethylhexylglycerin", "name-several"},
		{"Methylchloroisothiazolinone & Methylisothiazolinone", "Methylchloroisothiazolinone|Methylisothiazolinone",
			"name-several"},
		{"Caprylic/Capric Triglyceride (and) Hydrogenated Lecithin",
			"Caprylic/Capric Triglyceride|Hydrogenated Lecithin", "name-several"},
		{"Aqua (MIT)", "Aqua", "bracket-contradicts"},
		{"AQUA (MIT)", "Aqua", "bracket-contradicts"},
		{"Aqua + MIT + Glycerin", "Aqua|Methylisothiazolinone|Glycerin", "name-several"},
		{"AQUA, MIT AND GLYCERIN", "Aqua|Methylisothiazolinone|Glycerin", "name-several"},
		{"Aqua, MIT and Glycerin", "Aqua|Methylisothiazolinone|Glycerin", "name-several"},
		{"Glycerin mit Phenoxyethanol", "Glycerin|Phenoxyethanol", "name-several"},
		{"CMIT/MIT 3:1", "Methylchloroisothiazolinone|Methylisothiazolinone", "name-several"},
		{"1,2-Hexanediol, Caprylyl Glycol", "1,2-Hexanediol|Caprylyl Glycol", "name-several"},
		{"Aqua, Glycerin, Xanthan Gum", "Aqua|Glycerin|Xanthan Gum", "name-several"},
		{"Phenoxyethanol 90% (and) Ethylhexylglycerin 10%", "Phenoxyethanol|Ethylhexylglycerin", "name-several"},
		{"Glycerin (Formaldehyde)", "Glycerin", "bracket-contradicts"},
		{"Glycerin (Glycamil 99)", "Glycerin", "bracket-unknown"},
		{"Softol P (Isopropyl Palmitate)", "Isopropyl Palmitate", "named-by-bracket"},
		{"Xyzol / Formaldehyde", "Xyzol / Formaldehyde", "name-in-part"},
		{"Xyzol", "Xyzol", "name-unknown"},
		{"Distillates (petroleum), hydrotreated light", "Distillates (petroleum), hydrotreated light", "name-unknown"},
		{"", "", "name-unknown"},
		{"()", "()", "name-unknown"},
	} {
		reading := r.Resolve(c.printed, "", "")
		var codes []string
		for _, a := range reading.Asks {
			codes = append(codes, string(a.Code))
		}
		require.Equal(t, c.names, strings.Join(namesOf(reading.Names), "|"), c.printed)
		require.Equal(t, c.asks, strings.Join(codes, "|"), c.printed)
	}
}

// Names as supplier papers of the trade print them (testdata/printed.csv), with what
// a chemist reads them as: grades, purities, contents, numbers, labels, joints, nano
// marks, German and French. The last column has what must be asked, or nano.
func TestPrintedForms(t *testing.T) {
	r := resolver(t)
	table, err := os.ReadFile("testdata/printed.csv")
	require.NoError(t, err)
	rows, err := rowsOf("printed.csv", string(table), "printed", "names", "asks")
	require.NoError(t, err)
	for _, row := range rows {
		reading := r.Resolve(row[0], "", "")
		got := ""
		if reading.First().Nano {
			got = "nano"
		}
		if len(reading.Asks) > 0 {
			got = string(reading.Asks[0].Code)
		}
		require.Equal(t, row[1:], []string{strings.Join(namesOf(reading.Names), ";"), got}, row[0])
	}
}

// law is a law of a few names.
type law map[string]bool

func (l law) Spelled(printed string) (string, bool) { return printed, l[printed] }
func (l law) Folded() namelist.Sorted               { return "" }

func (l law) Spellings(yield func(spelling, name string)) {
	for n := range l {
		yield(n, n)
	}
}
func (law) Prohibited(string) []string       { return nil }
func (law) Numbered(string, string) []string { return nil }
func (law) Numbers(string) []string          { return nil }

// What the law knows is found among the words of a text that no list has, and in a
// bracket.
func TestHidden(t *testing.T) {
	inv, err := inventory.Open()
	require.NoError(t, err)
	r, err := New(inv, law{"Hydroquinone": true, "Salicylic Acid": true, "Oil": true})
	require.NoError(t, err)
	for printed, want := range map[string][]string{
		"Quellwerk base zz Hydroquinone 25 kg":      {"Hydroquinone"},
		"Quellwerk Salicylic Acid zz, Hydroquinone": {"Salicylic Acid", "Hydroquinone"},
		"Quellwerk": nil, "zz oil extract zz": nil,
	} {
		reading := r.Resolve(printed, "", "")
		require.False(t, reading.First().Known(), printed)
		require.ElementsMatch(t, want, namesOf(reading.Within), printed)
	}
	require.Equal(t, []string{"Hydroquinone"}, namesOf(r.Resolve("Quellwerk Hydroquinone (Water)", "", "").Within))
	require.Equal(t, []string{"Hydroquinone"}, namesOf(r.Resolve("zz / Hydroquinone (Glycerin)", "", "").Within))
	require.Empty(t, r.Resolve("zz Hydroquinone (Hydroquinone)", "", "").Within)
	reading := r.Resolve("Glycerin (zz Hydroquinone zz)", "", "")
	require.Equal(t, []string{"Hydroquinone"}, namesOf(reading.Within))
	require.Equal(t, "Glycerin", reading.First().Name)
}

// Names that hold joints: the fewest that cover a text, each of six parts at most.
func TestSegments(t *testing.T) {
	r := reader(t, law{"aa, bb, cc": true, "cc, dd, ee": true, "dd, ee": true, "aa": true, "bb": true,
		"pp, qq, rr, ss, tt, uu": true, "bb, aa": true, "aa, cc": true,
		"cc, bb": true, "gg, hh, ii, jj, kk, ll, mm": true})
	for printed, want := range map[string][]string{
		"aa, bb, cc, dd, ee":                 {"aa, bb, cc", "dd, ee"},
		"Aqua, pp, qq, rr, ss, tt, uu":       {"Aqua", "pp, qq, rr, ss, tt, uu"},
		"pp, qq, rr, ss, tt, uu, Aqua":       {"pp, qq, rr, ss, tt, uu", "Aqua"},
		"Aqua, gg, hh, ii, jj, kk, ll, mm":   {"Aqua, gg, hh, ii, jj, kk, ll, mm"},
		"gg, hh, ii, jj, kk, ll, mm":         {"gg, hh, ii, jj, kk, ll, mm"},
		"aa, zz, bb":                         {"aa, zz, bb"},
		"Aqua, bb, aa":                       {"Aqua", "bb, aa"},
		"aa, cc, bb":                         {"aa", "cc, bb"},
		"aa, bb, cc, Aqua, cc, dd, ee, Urea": {"aa, bb, cc", "Aqua", "cc, dd, ee", "Urea"},
	} {
		require.Equal(t, want, namesOf(r.Resolve(printed, "", "").Names), printed)
	}
	require.Equal(t, []string{"aa", "bb"}, namesOf(r.Resolve("aa, zz, bb", "", "").Within))
}

// What was read is remembered, within bounds.
func TestMemory(t *testing.T) {
	calls, bytes := 0, 0
	r := reader(t, counted{law{"Hydroquinone": true}, &calls, &bytes})
	r.Resolve("Hydroquinone (zz)", "", "")
	before := calls
	require.Positive(t, before)
	r.Resolve("Hydroquinone (zz)", "", "")
	require.Equal(t, before, calls)
	r.readInside("Hydroquinone")
	before = calls
	r.readInside("Hydroquinone")
	require.Equal(t, before, calls)

	clear(r.memory)
	clear(r.brackets)
	for i := range remembered - 1 {
		r.memory[question{cas: strconv.Itoa(i)}] = Reading{}
	}
	for i := range rememberedInside - 1 {
		r.brackets[strconv.Itoa(i)] = inside{}
	}
	r.Resolve("Aqua", "", "")
	r.readInside("Aqua")
	require.Len(t, r.memory, remembered)
	require.Len(t, r.brackets, rememberedInside)
	r.Resolve("Urea", "", "")
	r.readInside("Urea")
	require.Len(t, r.memory, 1)
	require.Len(t, r.brackets, 1)
}

// What one reader adds to a bracket that was read before, no other sees.
func TestInsideIsFixed(t *testing.T) {
	roomy := func() attempt {
		return attempt{names: append(make([]Named, 0, 4), Named{Name: "A", Also: append(make([]string, 0, 4), "B"),
			Qualifiers: append(make([]string, 0, 4), "q")}),
			within: append(make([]Named, 0, 4), Named{Name: "C", Also: append(make([]string, 0, 4), "D")}),
			asks:   append(make([]Ask, 0, 4), Ask{Code: AskBracket})}
	}
	a := roomy()
	one, other := a.fixed(), a.fixed()
	one.names = append(one.names, Named{Name: "one"})
	one.names[0].Also = append(one.names[0].Also, "one")
	one.names[0].Qualifiers = append(one.names[0].Qualifiers, "one")
	one.within = append(one.within, Named{Name: "one"})
	one.within[0].Also = append(one.within[0].Also, "one")
	one.asks = append(one.asks, Ask{Code: "one"})
	require.Equal(t, roomy(), other)
	fixed := other.fixed()
	require.Equal(t, []int{1, 1, 1, 1, 1, 1}, []int{cap(fixed.names), cap(fixed.names[0].Also),
		cap(fixed.names[0].Qualifiers),
		cap(fixed.within), cap(fixed.within[0].Also), cap(fixed.asks)})

	r := resolver(t)
	first, second := r.readInside("Water"), r.readInside("Water")
	first.one.names[0].Name = "another"
	require.NotEqual(t, first.one.names[0].Name, second.one.names[0].Name)
	for _, text := range []string{"Titanium White (TiO2) (Titandioxid)", "Aqua (Water) (Eau) (Wasser)",
		"Aqua (zz)", "Glycerin"} {
		in := r.readInside(text)
		require.Equal(t, len(in.one.asks), cap(in.one.asks), text)
		for _, n := range in.one.names {
			require.Equal(t, len(n.Also), cap(n.Also), text)
		}
	}
}

func TestNano(t *testing.T) {
	r := resolver(t)
	for _, printed := range []string{"Zinc Oxide (nano)", "Zinc Oxide [nano]", "Nano Zinc Oxide",
		"Zinc Oxide nano", "zinc oxide (NANO)", "Zinc Oxide (nano) 99 %", "Zinc Oxide 99 % (nano)"} {
		n := r.Resolve(printed, "", "").First()
		require.True(t, n.Nano, printed)
		require.Equal(t, "Zinc Oxide", n.Name, printed)
	}
	require.False(t, r.Resolve("Zinc Oxide", "", "").First().Nano)
}

// Thousands of official names hold a slash, a comma or an "and": none is two.
func TestOfficialNamesAreOne(t *testing.T) {
	r := resolver(t)
	for _, n := range r.inventory.Names() {
		reading := r.Resolve(n, "", "")
		require.False(t, reading.Several(), n)
		require.True(t, reading.First().Known(), n)
	}
}

func TestNumbers(t *testing.T) {
	r := resolver(t)
	for _, c := range []struct{ printed, cas, name, ask string }{
		{"Xyzol", "56-81-5", "Glycerin", "named-by-number"},
		{"Xyzol seed oil", "84696-47-9", "Xyzol seed oil", "plant-number"},
		{"Xyzol", "9003-11-6", "Xyzol", "number-fits-several"},
		{"Rosa Moschata Seed Oil", "84603-93-0", "Rosa Moschata Seed Oil", ""},
		{"Mentha Piperita Leaf Water", "84082-70-2", "Mentha Piperita Leaf Water", ""},
	} {
		reading := r.Resolve(c.printed, c.cas, "")
		require.Equal(t, c.name, reading.First().Name, c.printed)
		if c.ask == "" {
			require.Empty(t, reading.Asks, c.printed)
			continue
		}
		_, asked := reading.Asked(Code(c.ask))
		require.True(t, asked, "%s: %v", c.printed, reading.Asks)
	}
	require.True(t, r.PlantNumber("84696-47-9"))
	require.False(t, r.PlantNumber("56-81-5"))
	require.False(t, r.PlantNumber(""))
}

func TestLosesNothing(t *testing.T) {
	r := rand.New(rand.NewSource(5))
	signs := []rune("abAB12 ()[]/,;&+*.-®%αé\t")
	for range 20_000 {
		n := make([]rune, r.Intn(24))
		for i := range n {
			n[i] = signs[r.Intn(len(signs))]
		}
		lossless(t, string(n))
	}
}

// The right name is among the first three for at least 95 of 100 misspelt or
// disguised ones (testdata/misspellings.csv), or the name is understood at once.
func TestMisspellings(t *testing.T) {
	r := resolver(t)
	table, err := os.ReadFile("testdata/misspellings.csv")
	require.NoError(t, err)
	rows, err := rowsOf("misspellings.csv", string(table), "printed", "meant", "kind")
	require.NoError(t, err)
	require.Len(t, rows, 300)
	right := map[string]int{}
	all := 0
	for _, row := range rows {
		want := r.Resolve(row[1], "", "").First()
		got := r.Resolve(row[0], "", "").First()
		hit := got.Known() && r.same(got, want)
		for _, near := range r.Nearest(row[0], 3) {
			hit = hit || near.Name == want.Name
		}
		if !hit {
			t.Logf("%s: %s, not among %v", row[2], row[0], r.Nearest(row[0], 3))
			continue
		}
		right[row[2]]++
		all++
	}
	t.Log(all, right)
	require.GreaterOrEqual(t, all, 285)
}
