package table

import (
	"io/fs"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/condition"
	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
)

func day(t *testing.T, text string) exact.Date {
	t.Helper()
	d, err := exact.ParseDate(text)
	require.NoError(t, err)
	return d
}

func TestTablesParse(t *testing.T) {
	_, err := builtin()
	require.NoError(t, err)
	require.NotPanics(t, func() { condition.CodeTable() })
	require.NotPanics(t, func() { everyRow(Builtin()) })
}

// TestPinned holds the size and the ends of each table, so that no row is lost
// or added unnoticed.
func TestPinned(t *testing.T) {
	pinned := map[string]struct {
		rows        int
		first, last string
	}{
		"limits.csv":             {1242, "II-10-eugb-01", "VI-34-gb-02"},
		"allergens.csv":          {109, "benzyl-alcohol", "butylphenyl-methylpropional"},
		"product-types.csv":      {116, "bar-soap", "mouth-spray"},
		"ifra-categories.csv":    {39, "1/1", "12/2"},
		"ifra-standards.csv":     {274, "Citral/1", "Butylphenyl methylpropional (Lilial)/all"},
		"materials.csv":          {194, "water-purified", "eo-frankincense"},
		"tox-values.csv":         {129, "2-Phenoxyethanol", "Pyrrolizidine alkaloids"},
		"exposure.csv":           {117, "shower-gel", "intimate-wash"},
		"stability-micro.csv":    {147, "L1", "U8"},
		"dossier-contents.csv":   {85, "P1", "X13"},
		"saponification.csv":     {45, "sunflower", "cct"},
		"facts.csv":              {128, "ageing-q10", "density-usual-high"},
		"synonyms.csv":           {99, "Ethanol", "Isopropyl Cresols"},
		"tox-use.csv":            {60, "aflatoxin-b1", "zinc-oxide"},
		"trace-guides.csv":       {17, "bvl-antimony", "sccs-dioxane"},
		"ttc-exclusions.csv":     {12, "aflatoxins", "steroids"},
		"cautions.csv":           {35, "H01", "T18"},
		"t-quantiles.csv":        {33, "1", "100"},
		"claims.csv":             {48, "M01", "P04"},
		"label-rules.csv":        {136, "L01", "N8c-2"},
		"countries.csv":          {249, "AD", "ZW"},
		"words.csv":              {396, "function-peroxide-stabil", "absence-end-full"},
		"product-codes.csv":      {70, "antidandruff-shampoo", "toothpaste"},
		"prohibited.csv":         {1892, "II-1-eugb-p01", "II-GB_unseen-gb-p49"},
		"other-law.csv":          {80, "reach-cyclotetrasiloxane-eu", "opinion-titanium-dioxide-oral-eu"},
		"cramer-classes.csv":     {619, "1-1-dimethyl-3-phenylpropyl-isobutyrate", "zingerone"},
		"molar-masses.csv":       {15, "Behentrimonium Chloride", "Tetrasodium EDTA"},
		"substrates.csv":         {4, "Alumina", "Calcium Carbonate"},
		"law-state.csv":          {2, "EU", "GB"},
		"polymers.csv":           {34, "Acrylates Copolymer", "Vinyl Dimethicone/Methicone Silsesquioxane Crosspolymer"},
		"tox-values-more.csv":    {273, "(-)-3,7-Dimethyl-6-octen-1-ol", "Zinc L-aspartate"},
		"use-words.csv":          {22, "rinse off", "wear all day"},
		"area-words.csv":         {16, "underarm", "eyes"},
		"acid-preservatives.csv": {7, "benzoic", "undecylenic"},
	}
	rows := everyRow(Builtin())
	require.ElementsMatch(t, slices.Collect(maps.Keys(rows)), slices.Collect(maps.Keys(pinned)),
		"a new table is pinned here too")
	for file, p := range pinned {
		require.Equal(t, p.rows, len(rows[file]), file)
		require.Equal(t, p.first, rows[file][0].Key, "%s: first row", file)
		require.Equal(t, p.last, rows[file][p.rows-1].Key, "%s: last row", file)
	}
}

func TestKeysUnique(t *testing.T) {
	for file, rows := range everyRow(Builtin()) {
		seen := map[string]int{}
		for _, r := range rows {
			key := r.Key
			if file == "allergens.csv" {
				key = Builtin().Allergens[slices.Index(rows, r)].Key + string(Builtin().Allergens[slices.Index(rows, r)].Market)
			}
			require.Zero(t, seen[key], "%s:%d: key %q stands in line %d too", file, r.Line, key, seen[key])
			seen[key] = r.Line
		}
	}
}

func TestRowsBearSourceAndSeen(t *testing.T) {
	sourceless := 0
	for _, tableRows := range everyRow(Builtin()) {
		for _, r := range tableRows {
			require.Contains(t, rows.SeenWords, r.Seen)
			require.Positive(t, r.Line)
			if r.Source == "" {
				sourceless++
				require.Equal(t, "exposure.csv", r.File)
				require.Contains(t, r.Note, "No published figure found")
			}
			require.Equal(t, r.Seen != "seen", r.FromMemory())
		}
	}
	require.Equal(t, 20, sourceless, "exposure rows that say nothing was found")
}

// TestAllFaultsReported wants the faults of all lines and all tables in one go.
func TestAllFaultsReported(t *testing.T) {
	files := fstest.MapFS{}
	entries, err := fs.ReadDir(Files(), ".")
	require.NoError(t, err)
	for _, e := range entries {
		data, err := fs.ReadFile(Files(), e.Name())
		require.NoError(t, err)
		files[e.Name()] = &fstest.MapFile{Data: data}
	}
	_, err = readAll(files)
	require.NoError(t, err)
	for _, name := range []string{"tox-values.csv", "limits.csv"} {
		head, rest, _ := strings.Cut(string(files[name].Data), "\n")
		files[name] = &fstest.MapFile{Data: []byte(head + "\n" + strings.Replace(rest, ",seen,", ",sen,", 2))}
	}
	_, err = readAll(files)
	require.ErrorContains(t, err, "tox-values.csv:")
	require.ErrorContains(t, err, "limits.csv:2:")
	require.ErrorContains(t, err, "limits.csv:3:")
	delete(files, "facts.csv")
	_, err = readAll(files)
	require.ErrorContains(t, err, "facts.csv")
}

// TestSourcesStandAlone: a source is read on its own, beside a finding or in a
// table, so it names its instrument and leans on no neighbour.
func TestSourcesStandAlone(t *testing.T) {
	leans := regexp.MustCompile(`^(?i:art\.|annex|same\b|as above|ibid)|\bsame (page|FAQ)\b|quoted on same`)
	for _, rows := range everyRow(Builtin()) {
		for _, r := range rows {
			require.NotRegexp(t, leans, r.Source, "%s, row %s", r.File, r.Key)
		}
	}
}

// everyRow are the rows of all tables, those that are read later too.
func everyRow(tables *Tables) map[string][]*rows.Row {
	all := maps.Clone(tables.rows)
	for _, i := range tables.info {
		if i.late != nil {
			all[i.Name] = i.late()
		}
	}
	return all
}
