package names_test

import (
	"encoding/csv"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/require"
)

// The tables of this file are read as they stand, not through the package: what
// is tested here is the data.

const noSource = "common practice, no source"

// foldedName is a name with small letters and digits only: spaces, hyphens and
// brackets aside. Two rows with one folded name would be two answers to one name.
func foldedName(name string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, name)
}

// tableRows reads a table whose columns must be exactly these.
func tableRows(t *testing.T, file string, columns ...string) []map[string]string {
	t.Helper()
	rows := anyRows(t, file)
	require.NotEmpty(t, rows, file)
	require.Equal(t, columns, headOf(t, file), file)
	return rows
}

func headOf(t *testing.T, file string) []string {
	t.Helper()
	f, err := os.Open(file)
	require.NoError(t, err)
	defer f.Close()
	head, err := csv.NewReader(f).Read()
	require.NoError(t, err, file)
	return head
}

func anyRows(t *testing.T, file string) []map[string]string {
	t.Helper()
	f, err := os.Open(file)
	require.NoError(t, err)
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err, file)
	var out []map[string]string
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, column := range records[0] {
			row[column] = record[i]
		}
		out = append(out, row)
	}
	return out
}

func inventoryFile(name string) string { return filepath.Join("..", "inventory", "data", name) }

// officialNames are the names of the inventory, folded.
func officialNames(t *testing.T) map[string]string {
	t.Helper()
	out := map[string]string{}
	for _, row := range anyRows(t, inventoryFile("inci-inventory.csv")) {
		out[foldedName(row["inci"])] = row["inci"]
	}
	require.Greater(t, len(out), 35_000, "the whole inventory")
	return out
}

// otherOfficialNames are the names that inci-synonyms.csv has for official ones,
// folded, with every official name they lead to.
func otherOfficialNames(t *testing.T) map[string][]string {
	t.Helper()
	out := map[string][]string{}
	for _, row := range anyRows(t, inventoryFile("inci-synonyms.csv")) {
		key := foldedName(row["synonym"])
		if !slices.Contains(out[key], row["inci"]) {
			out[key] = append(out[key], row["inci"])
		}
	}
	return out
}

// namesOfLaw are the names by which the law tables know a substance or a label
// entry, folded.
func namesOfLaw(t *testing.T) map[string]bool {
	t.Helper()
	columns := map[string]string{
		"limits.csv": "inci_names", "limits-more.csv": "inci_names", "prohibited.csv": "inci_names",
		"allergens.csv": "label_name", "ifra-standards.csv": "substance", "ifra-more.csv": "substance",
	}
	out := map[string]bool{}
	for file, column := range columns {
		path := filepath.Join("..", "..", "calc", "law", "data", file)
		if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
			continue
		}
		for _, row := range anyRows(t, path) {
			for _, name := range strings.FieldsFunc(row[column], func(r rune) bool { return r == ';' || r == '|' }) {
				out[foldedName(name)] = true
			}
		}
	}
	require.Greater(t, len(out), 800, "limits and allergens")
	return out
}

func customaryRows(t *testing.T) []map[string]string {
	t.Helper()
	return tableRows(t, filepath.Join("data", "customary-names.csv"),
		"name", "inci", "scope", "kind", "source", "seen", "note")
}

func TestCustomaryNamesTable(t *testing.T) {
	t.Parallel()
	rows := customaryRows(t)
	require.GreaterOrEqual(t, len(rows), 500, "the least that was asked for")
	kinds := []string{
		"common", "plant", "chemical", "perfumery", "colour", "abbreviation", "E number", "law", "pair", "American",
		"mixture",
	}
	scopes := []string{
		"prohibited", "allergen", "restricted", "preservative", "UV filter", "colour",
		"fragrance standard", "general",
	}
	seenKeys, last := map[string]string{}, ""
	for _, row := range rows {
		name, key := row["name"], foldedName(row["name"])
		require.NotEmpty(t, key, name)
		require.Equal(t, strings.TrimSpace(name), name)
		require.Less(t, last, key, "rows stand in the order of their folded names: %s", name)
		require.Empty(t, seenKeys[key], "%s and %s are one name", name, seenKeys[key])
		seenKeys[key], last = name, key
		require.Contains(t, kinds, row["kind"], name)
		for scope := range strings.SplitSeq(row["scope"], ";") {
			require.Contains(t, scopes, scope, name)
		}
		require.NotEmpty(t, row["source"], name)
		switch row["seen"] {
		case "seen":
			require.NotEqual(t, noSource, row["source"], name)
		case "memory":
			require.Equal(t, noSource, row["source"], name)
		default:
			require.Fail(t, "seen or memory", "%s: %q", name, row["seen"])
		}
	}
}

func TestCustomaryNamesLeadToKnownNames(t *testing.T) {
	t.Parallel()
	official, law := officialNames(t), namesOfLaw(t)
	for _, row := range customaryRows(t) {
		var met []string
		for name := range strings.SplitSeq(row["inci"], "|") {
			key := foldedName(name)
			known := official[key] != "" || law[key]
			require.True(t, known, "%s leads to %s, which is in no list", row["name"], name)
			require.NotContains(t, met, key, row["name"])
			met = append(met, key)
		}
	}
}

// A row that says what the official lists say already would only hide a later
// correction of them. Two official names of one substance are a pair.
func TestCustomaryNamesRepeatNoOfficialList(t *testing.T) {
	t.Parallel()
	official, other := officialNames(t), otherOfficialNames(t)
	for _, row := range customaryRows(t) {
		name, targets := row["name"], strings.Split(row["inci"], "|")
		key := foldedName(name)
		if len(targets) == 1 {
			require.NotEqual(t, foldedName(targets[0]), key, name)
		}
		if row["kind"] == "pair" {
			require.Len(t, targets, 1, "%s is an official name: it is never called two substances", name)
			continue
		}
		if _, is := official[key]; is {
			require.Fail(t, "a name of the inventory leads elsewhere", "%s: %v; only a pair may", name, targets)
		}
		if known := other[key]; known != nil {
			require.NotEqual(t, sorted(known), sorted(targets), "%s stands in inci-synonyms.csv", name)
		}
	}
}

func sorted(names []string) []string {
	out := slices.Clone(names)
	for i, n := range out {
		out[i] = foldedName(n)
	}
	slices.Sort(out)
	return out
}

// The names that were missed on 29 November 2026, with the names of the law or of
// the label that they mean: written by hand from the annexes.
func TestCustomaryNamesThatWereMissed(t *testing.T) {
	t.Parallel()
	rows := map[string]map[string]string{}
	for _, row := range customaryRows(t) {
		rows[foldedName(row["name"])] = row
	}
	official, other := officialNames(t), otherOfficialNames(t)
	cases := []struct{ printed, meant string }{
		{"Lilial", "Butylphenyl Methylpropional"}, {"BMHCA", "Butylphenyl Methylpropional"},
		{"Lyral", "Hydroxyisohexyl 3-Cyclohexene Carboxaldehyde"},
		{"HICC", "Hydroxyisohexyl 3-Cyclohexene Carboxaldehyde"},
		{"Cinnamic aldehyde", "Cinnamal"},
		{"Hexyl cinnamic aldehyde", "Hexyl Cinnamal"},
		{"Amyl cinnamic aldehyde", "Amyl Cinnamal"},
		{"Limonene (d-)", "Limonene"}, {"d-Limonene", "Limonene"}, {"Citronellol (d/l)", "Citronellol"},
		{"Oakmoss", "Evernia Prunastri Extract"}, {"Evernia Prunastri", "Evernia Prunastri Extract"},
		{"Treemoss", "Evernia Furfuracea Extract"}, {"alpha-iso-Methylionone", "Alpha-Isomethyl Ionone"},
		{"Formalin", "Formaldehyde"},
		{"Borax", "Sodium Borate"},
		{"Sodium tetraborate", "Sodium Borate"},
		{"Boracic acid", "Boric Acid"},
		{"Vitamin D3", "Cholecalciferol"},
		{"Pix carbonis", "Coal Tar"},
		{"Quinol", "Hydroquinone"},
		{"Carbolic acid", "Phenol"},
		{"Costus root oil", "Saussurea Lappa (costus) root oil"},
		{"Saussurea Lappa Root Oil", "Saussurea Lappa (costus) root oil"},
		{"Ficus Carica Leaf Absolute", "Ficus Carica (fig) leaf absolute"},
		{"Fig leaf absolute", "Ficus Carica (fig) leaf absolute"},
		{"Verbena oil", "Lippia Citriodora Oil"}, {"Verbena absolute", "Lippia Citriodora Absolute"},
		{"Inula Helenium Root Oil", "Inula Helenium oil"}, {"Elecampane oil", "Inula Helenium oil"},
		{"Croton Tiglium Seed Oil", "Croton Tiglium oil"}, {"Croton oil", "Croton Tiglium oil"},
		{"Digitalis", "Digitalis Purpurea heterosides"}, {"Foxglove", "Digitalis Purpurea heterosides"},
		{"Prunus Laurocerasus Leaf Water", "Prunus Laurocerasus (cherry laurel water)"},
		{"Cherry laurel water", "Prunus Laurocerasus (cherry laurel water)"},
		{"MCI", "Methylchloroisothiazolinone"},
		{"MIT", "Methylisothiazolinone"},
		{"PPD", "p-Phenylenediamine"},
		{"Water", "Aqua"},
		{"Fragrance", "Parfum"},
		{"Beeswax", "Cera Alba"},
		{"Mineral Oil", "Paraffinum Liquidum"},
		{"Soda lye", "Sodium Hydroxide"},
		{"FD&C Red No. 40", "CI 16035"},
		{"Yellow 5", "CI 19140"},
		{"Octinoxate", "Ethylhexyl Methoxycinnamate"},
	}
	for _, c := range cases {
		key, meant := foldedName(c.printed), foldedName(c.meant)
		switch row := rows[key]; {
		case row != nil:
			require.Equal(t, meant, foldedName(row["inci"]), c.printed)
		case other[key] != nil:
			require.Equal(t, []string{meant}, sorted(other[key]), c.printed)
		default:
			require.Equal(t, meant, foldedName(official[key]), "%s is in no list", c.printed)
		}
	}
}

// Names that lead to more than one substance must stay questions.
func TestCustomaryNamesThatAreAskedAbout(t *testing.T) {
	t.Parallel()
	rows := map[string]map[string]string{}
	for _, row := range customaryRows(t) {
		rows[foldedName(row["name"])] = row
	}
	for _, name := range []string{
		"Iron Oxides", "Cinnamon oil", "Cedarwood oil", "Bay oil", "Laurel berry oil",
		"Rosehip seed oil", "Marigold extract", "Tagetes oil",
		"Wintergreen oil", "Mustard oil", "CMIT/MIT", "Parabens", "AHA", "DHA", "Alum", "Black henna",
		"Silver colloid", "Kohl",
		"Micronised titanium dioxide", "Essential oil blend", "Soap base", "Pink clay",
	} {
		row := rows[foldedName(name)]
		require.NotNil(t, row, name)
		require.Contains(t, row["inci"], "|", name)
	}
}

func TestFunctionWordsTable(t *testing.T) {
	t.Parallel()
	official := map[string]string{}
	for _, row := range anyRows(t, inventoryFile("inci-functions.csv")) {
		official[foldedName(row["function"])] = row["function"]
	}
	rows := tableRows(t, filepath.Join("data", "function-words.csv"), "word", "functions", "turns", "source", "note")
	turns := []string{
		"limits=preservative", "limits=non-preservative", "limits=fragrance", "limits=colorant",
		"limits=non-colorant", "limits=uv-filter",
		"limits=ph-adjuster", "limits=rust-inhibitor", "limits=denaturant", "limits=peroxide-stabiliser",
		"allergens=scent", "batch=critical",
		"soap=lye", "cautions=preservative", "cautions=fragrance", "cautions=cleansing",
		"cautions=surfactant", "cautions=foaming",
		"cautions=propellant", "cautions=enzyme",
	}
	met, last := map[string]bool{}, ""
	for _, row := range rows {
		word, key := row["word"], foldedName(row["word"])
		require.Equal(t, strings.TrimSpace(word), word)
		require.NotEmpty(t, key, word)
		require.False(t, met[key], "%s twice", word)
		met[key] = true
		require.NotEmpty(t, row["source"], word)
		require.True(t, row["functions"] != "" || row["turns"] != "", "%s says nothing", word)
		for f := range strings.SplitSeq(row["functions"], "|") {
			require.True(t, f == "" || official[foldedName(f)] == f, "%s: %s is no official function", word, f)
		}
		for turn := range strings.SplitSeq(row["turns"], "|") {
			require.True(t, turn == "" || slices.Contains(turns, turn), "%s: %s", word, turn)
		}
		if name, is := official[key]; is {
			require.Equal(t, name, row["functions"], "an official function means itself")
			require.NotEmpty(t, row["turns"], "%s is official: it stands here only if something turns on it", word)
		}
		sortKey := strings.ReplaceAll(key, "/", "")
		require.LessOrEqual(t, last, sortKey, word)
		last = sortKey
	}
}

// The words that limits.csv and the cautions turn on: each must be found here, so
// that no wording of a sheet passes them by.
func TestFunctionWordsThatTheLawTurnsOn(t *testing.T) {
	t.Parallel()
	rows := anyRows(t, filepath.Join("data", "function-words.csv"))
	turnsOn := func(word string) string {
		for _, row := range rows {
			if foldedName(row["word"]) == foldedName(word) {
				return row["turns"]
			}
		}
		return ""
	}
	for word, turn := range map[string]string{
		"preservative": "limits=preservative", "preserving": "limits=preservative",
		"antibacterial": "limits=preservative",
		"uv filter":     "limits=uv-filter", "sunscreen": "limits=uv-filter", "colour": "limits=colorant",
		"pigment": "limits=colorant",
		"dye":     "limits=colorant", "fragrance": "limits=fragrance", "perfuming": "limits=fragrance",
		"scent":         "limits=fragrance",
		"essential oil": "limits=fragrance", "flavouring": "limits=fragrance",
		"pH adjuster": "limits=ph-adjuster", "buffer": "limits=ph-adjuster",
		"neutralising agent": "limits=ph-adjuster", "corrosion inhibitor": "limits=rust-inhibitor",
		"denaturant":          "limits=denaturant",
		"peroxide stabiliser": "limits=peroxide-stabiliser", "propellant": "cautions=propellant",
		"foaming":   "cautions=foaming",
		"cleansing": "cautions=cleansing", "surfactant": "cautions=surfactant",
		"enzyme": "cautions=enzyme", "active": "batch=critical",
	} {
		require.Contains(t, strings.Split(turnsOn(word), "|"), turn, word)
	}
}
