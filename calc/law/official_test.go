package law

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
)

// officialFolder finds the exports of Annexes II to VI that the European
// Commission published from its ingredient database in February 2016. They are
// not part of the project: the test is skipped where they are absent.
func officialFolder(t *testing.T) string {
	t.Helper()
	dir := os.Getenv("GALLIPOT_OFFICIAL")
	if dir == "" {
		dir = "../../../shared/reference/official"
	}
	if _, err := os.Stat(filepath.Join(dir, "COSING_Annex.V_v2.csv")); err != nil {
		t.Skip("no official annex exports found; set GALLIPOT_OFFICIAL to their folder to compare names and numbers")
	}
	return dir
}

// officialEntry is one entry of an official export: every number and the
// glossary names in it.
type officialEntry struct {
	cas, ec []string
	names   string // chemical and glossary names, folded
}

var (
	casForm  = regexp.MustCompile(`\b\d{2,7}-\d{2}-\d\b`)
	ecForm   = regexp.MustCompile(`\b\d{3}-\d{3}-\d\b`)
	notPlain = regexp.MustCompile(`[^a-z0-9]+`)
)

func fold(s string) string { return notPlain.ReplaceAllString(strings.ToLower(s), "") }

func readOfficial(t *testing.T, dir, annex string) map[string]*officialEntry {
	t.Helper()
	f, err := os.Open(filepath.Join(dir, "COSING_Annex."+annex+"_v2.csv"))
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.FieldsPerRecord, r.LazyQuotes = -1, true // the exports have a stray quote or two
	records, err := r.ReadAll()
	require.NoError(t, err)
	column := func(rec []string, name string) string {
		i := slices.IndexFunc(records[0], func(c string) bool { return strings.HasPrefix(c, name) })
		require.GreaterOrEqual(t, i, 0, "annex %s has no column %s", annex, name)
		if i < len(rec) {
			return rec[i]
		}
		return ""
	}
	out := map[string]*officialEntry{}
	for _, rec := range records[1:] {
		entry := strings.TrimSpace(strings.ReplaceAll(rec[0], " bis", "a"))
		e := out[entry]
		if e == nil {
			e = &officialEntry{}
			out[entry] = e
		}
		// numbers stand in the neighbouring column now and then
		numbers := column(rec, "CAS") + " " + column(rec, "EC ")
		e.cas = append(e.cas, casForm.FindAllString(numbers, -1)...)
		e.ec = append(e.ec, ecForm.FindAllString(numbers, -1)...)
		e.names += fold(strings.Join(rec[1:3], " ")) + " " + fold(column(rec, "Identified"))
	}
	return out
}

// officialDifferences are the numbers of ours that the exports of 2016 do not
// have, by entry, with the reason. The test fails when one is met no longer.
var officialDifferences = map[string]string{
	"III/70":  "geranial and neral were added by Reg. (EU) 2023/1545",
	"III/73":  "cis-isoeugenol was added by Reg. (EU) 2023/1545",
	"III/88":  "the other limonenes came from the deleted entries 167 and 168, Reg. (EU) 2023/1545",
	"III/122": "a second number was added by Reg. (EU) 2023/1545",
	"III/124": "entries 125 and 126 were merged into it by Reg. (EU) 2023/1545",
	"III/157": "the rose ketones were merged into it by Reg. (EU) 2023/1545",
	"III/181": "the export misprints the extract as 94891-8-8 and 305-68-1",
	"III/196": "a hair dye in 2016; verbena absolute in the export of 2024 and in Reg. (EU) 2023/1545",
	"III/227": "the export misprints the hydrochloride of 3-amino-2,4-dichlorophenol as 1693-43-4, whose check digit is wrong",
	"III/278": "the export misprints Basic Violet 2 as 3245-91-7, whose check digit is wrong",
	"III/286": "the numbers of steartrimonium chloride are those of entry V/44",
	"IV/126":  "further EC numbers of carbon black came in by amendment after 2016",
	"V/1a":    "the export misprints isobutyl benzoate as 1205-50-3",
	"V/12":    "the export misprints potassium methylparaben as 26112-0-2",
	"VI/27":   "the export misprints the EC number of anatase as 205-280-1",
}

// TestOfficialNumbers compares the CAS and EC numbers of every entry with the
// exports of 2016, where they give numbers of that kind for it.
func TestOfficialNumbers(t *testing.T) {
	dir := officialFolder(t)
	compared, met := 0, map[string]bool{}
	for _, annex := range []string{"II", "III", "IV", "V", "VI"} {
		official := readOfficial(t, dir, annex)
		for _, l := range Limits(table.Builtin()) {
			e := official[l.Entry]
			if l.Annex != annex || e == nil {
				continue
			}
			for _, kind := range []struct{ ours, theirs []string }{{l.CAS, e.cas}, {l.EC, e.ec}} {
				for _, n := range kind.ours {
					if len(kind.theirs) == 0 {
						continue
					}
					compared++
					key := annex + "/" + l.Entry
					if slices.Contains(kind.theirs, n) {
						continue
					}
					met[key] = true
					if officialDifferences[key] == "" {
						t.Errorf("%s: %s is not among %v: %v", l.Key, n, kind.theirs, l.Names)
					}
				}
			}
		}
	}
	require.Greater(t, compared, 900)
	for key := range officialDifferences {
		require.True(t, met[key], "%s is a difference no longer", key)
	}
}

// TestOfficialNames wants the first name of every colourant, preservative and UV
// filter in the export of its annex, under the same entry.
func TestOfficialNames(t *testing.T) {
	dir := officialFolder(t)
	compared := 0
	for _, annex := range []string{"IV", "V", "VI"} {
		official := readOfficial(t, dir, annex)
		for _, l := range Limits(table.Builtin()) {
			e := official[l.Entry]
			if l.Annex != annex || e == nil {
				continue
			}
			compared++
			if !strings.Contains(e.names, fold(l.Names[0])) {
				t.Errorf("%s: %q is not among the names of the entry: %s", l.Key, l.Names[0], e.names)
			}
		}
	}
	require.Greater(t, compared, 250)
}
