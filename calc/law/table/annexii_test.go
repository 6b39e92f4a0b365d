package table

import (
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/testdata/published"
)

// annexII is what the official exports say of an entry of Annex II.
type annexII struct {
	numbers  map[string]bool // of the newest edition that has the entry
	older    map[string]bool // of the edition of 2016
	use      string
	bannedIf string
	act      string // that brought or last changed the entry, as the export prints it
}

// annexIIEntries reads annex_ii.csv: the exports of February 2016 and April 2024.
func annexIIEntries(t *testing.T) map[string]*annexII {
	out := map[string]*annexII{}
	for _, r := range published.Rows(t, "annex_ii.csv") {
		e := out[r["entry"]]
		if e == nil {
			e = &annexII{numbers: map[string]bool{}, older: map[string]bool{}}
			out[r["entry"]] = e
		}
		into := e.numbers
		if r["edition"] == "2016" {
			into = e.older
		} else {
			e.use, e.bannedIf, e.act = r["use"], r["banned_if"], r["act"]
		}
		for _, n := range append(rows.SplitList(r["cas"]), rows.SplitList(r["ec"])...) {
			into[n] = true
		}
	}
	for _, e := range out {
		if e.act == "" { // the copy of 2024 has lost the entry
			e.numbers = e.older
		}
	}
	return out
}

// annexIIDifferences are the numbers of ours that the exports of entries of Annex II
// lack, with the reason.
var annexIIDifferences = map[string][]string{
	"126":  {"200-864-0"},  // the export lacks the EC number of vinylidene chloride
	"1660": {"91648-39-4"}, // the CAS number of the second substance, by Reg (EU) 2021/1902
	"1680": {"80-43-3"},    // the export prints a cut CAS number, 80-43-
}

// exceptionsByText are the entries whose text lets out the normal content of natural
// essences, a trace or content below a figure, or what another entry or annex lists.
var exceptionsByText = map[string]string{
	"357": annex.ExceptNatural, "358": annex.ExceptNatural, "360": annex.ExceptNatural,
	"1370": annex.ExceptTrace, "1605": annex.ExceptTrace, "1606": annex.ExceptTrace, "1607": annex.ExceptTrace,
	"1669": annex.ExceptTrace,
	"46":   annex.ExceptListed, "191": annex.ExceptListed, "221": annex.ExceptListed, "248": annex.ExceptListed,
	"297": annex.ExceptListed, "321": annex.ExceptListed,
	"391": annex.ExceptListed, "395": annex.ExceptListed, "450": annex.ExceptListed, "681": annex.ExceptListed,
	"684": annex.ExceptListed, "1024": annex.ExceptListed,
	"1127": annex.ExceptListed, "1241": annex.ExceptListed, "1291": annex.ExceptListed, "1339": annex.ExceptListed,
	"1136": annex.ExceptListed, // the crude exudation; III/154 has extracts and distillates
	"1597": annex.ExceptListed, // V/61 has the zeolite that holds it
}

func numbersOf(p *annex.Prohibition) map[string]bool {
	set := map[string]bool{}
	for _, list := range [][]string{p.CAS, p.EC, p.MisprintedEC} {
		for _, n := range list {
			set[n] = true
		}
	}
	return set
}

// TestAnnexIIEntries compares every entry of the EU annex up to 1724 with the
// official exports: numbers, uses the ban is limited to, contents above which it
// applies, and that it is there for the market.
func TestAnnexIIEntries(t *testing.T) {
	exports := annexIIEntries(t)
	compared, found := 0, map[string]bool{}
	for _, p := range Builtin().Prohibitions() {
		e := exports[p.Entry]
		if p.State == annex.StateLaw && (e == nil || !p.For(rows.EU)) {
			require.Equal(t, annex.ExceptNone, p.Exception, "%s: no later act of either market makes one", p.Key)
		}
		if e == nil || !p.For(rows.EU) || p.State != annex.StateLaw {
			continue
		}
		if p.Key != "II-1397-eu-p02" { // Reg (EU) 2026/78: TestEntriesOfTwoTexts
			want := maps.Clone(e.numbers)
			for _, n := range annexIIDifferences[p.Entry] {
				want[n] = true
			}
			require.Equal(t, want, numbersOf(p), p.Key)
		}
		if !p.Until.IsZero() {
			continue
		}
		found[p.Entry] = true
		compared++
		require.Equal(t, e.use, p.Use, p.Key)
		exception := exceptionsByText[p.Entry]
		switch {
		case exception != "":
		case e.bannedIf != "":
			exception = annex.ExceptPurity
		default:
			exception = annex.ExceptNone
		}
		require.Equal(t, exception, p.Exception, p.Key)
		var banned []string
		for _, m := range p.BannedIf {
			sign := ">"
			if m.AtLeast {
				sign = ">="
			}
			if m.Constituent == "refining-history-unknown" {
				banned = append(banned, m.Constituent)
				continue
			}
			banned = append(banned, m.Constituent+sign+m.Pct.Exact())
		}
		require.Equal(t, e.bannedIf, strings.Join(banned, "|"), p.Key)
		if e.before2021(p.Entry) {
			require.True(t, p.For(rows.GB), "%s: law of before 2021 is GB law too", p.Key)
		}
	}
	require.Greater(t, compared, 1650)
	for entry := range exports {
		if !found[entry] {
			require.True(t, slices.ContainsFunc(Builtin().Prohibitions(),
				func(p *annex.Prohibition) bool { return p.Entry == entry && p.For(rows.EU) }), "entry %s is missing", entry)
		}
	}
}

var actYear = regexp.MustCompile(`(20\d\d)/`)

// before2021 says whether the text of an entry was law when GB took the annex
// over, on 31 December 2020. Later acts made new texts of some entries for the EU
// alone.
func (e *annexII) before2021(entry string) bool {
	m := actYear.FindStringSubmatch(e.act)
	return !slices.Contains([]string{"1024", "1397", "1398", "1399", "1597"},
		entry) && (e.act == "" || m != nil && m[1] < "2021")
}

// TestActDates compares the days of the rows with those of the acts they come
// from.
func TestActDates(t *testing.T) {
	exports := annexIIEntries(t)
	day := map[string]map[string]string{}
	for _, a := range published.Rows(t, "acts.csv") {
		day[a["act"]] = a
	}
	n := 0
	check := func(key, act string, from, until any) {
		a := day[act]
		require.NotNil(t, a, act)
		n++
		require.Equal(t, a["placing_from"], from, "%s: first day", key)
		if a["sale_until"] != "not read" {
			require.Equal(t, a["sale_until"], until, "%s: end of sale", key)
		}
	}
	text := func(d interface{ String() string }, zero bool) string {
		if zero {
			return ""
		}
		return d.String()
	}
	for _, p := range Builtin().Prohibitions() {
		act := ""
		e := exports[p.Entry]
		switch {
		case e != nil && p.For(rows.EU) && p.State == annex.StateLaw && p.Until.IsZero() && !p.DatesUnseen && day["Reg "+e.act] != nil && !strings.Contains(p.Source, "2026/"):
			act = "Reg " + e.act
		case len(p.Entry) == 4 && p.Entry >= "1731" && p.Entry <= "1751" && p.For(rows.EU) && !p.DatesUnseen:
			act = "Reg (EU) 2025/877"
		case strings.HasPrefix(p.Source, "Reg (EU) 2026/78 ") && !p.DatesUnseen:
			act = "Reg (EU) 2026/78"
		case p.Entry >= "1725" && p.Entry <= "1729" && len(p.Entry) == 4 && p.For(rows.EU) && !p.DatesUnseen && !strings.Contains(p.Source, "2026/"):
			act = "Reg (EU) 2024/858"
		case strings.HasPrefix(p.Source, "SI 2022/659 reg 3(2), GB entry 1645"):
			act = "SI 2022/659 reg 3(2)"
		case p.Entry == "1730" && p.For(rows.EU):
			act = "Reg (EU) 2024/996 Annex (1)"
		case strings.HasPrefix(p.Source, "Reg (EU) 2026/909") && p.Entry != "":
			act = "Reg (EU) 2026/909"
		case strings.HasPrefix(p.Source, "SI 2024/1334 Sch 1") && !p.DatesUnseen:
			act = "SI 2024/1334 Sch 1 to 1730"
			if p.Entry >= "1731" {
				act = "SI 2024/1334 Sch 1 from 1731"
			}
		}
		if act != "" {
			check(p.Key, act, text(p.From, p.From.IsZero()), text(p.OffShelf, p.OffShelf.IsZero()))
		}
	}
	for _, l := range Builtin().Limits {
		act := ""
		switch {
		case l.Annex == "II":
		case strings.HasPrefix(l.Source, "SI ") && !l.OffShelf.IsZero():
			act, _, _ = strings.Cut(strings.TrimPrefix(l.Source, "SI "), " ")
			if act = "SI " + act; act == "SI 2024/1334" {
				act = "SI 2024/1334 Sch 2"
			}
			if act == "SI 2022/659" || act == "SI 2023/836" {
				act = "" // several days
			}
		case !l.For(rows.EU):
		case strings.Contains(l.Source, "2026/909") && l.Entry != "61" && !l.OffShelf.IsZero():
			act = "Reg (EU) 2026/909"
		case l.Entry == "376" && strings.Contains(l.Source, "2024/996"):
			act = "Reg (EU) 2024/996 Annex (2) vitamin A"
		case l.Entry >= "373" && l.Entry <= "378" && strings.Contains(l.Source, "2024/996"):
			act = "Reg (EU) 2024/996 Annex (2)"
		}
		if act != "" {
			check(l.Key, act, text(l.From, l.From.IsZero()), text(l.OffShelf, l.OffShelf.IsZero()))
		}
	}
	require.Greater(t, n, 150)
}

// TestRowsOfAnnexIIShareMarket: a ban that stands in both tables is of the same
// markets in both. The list of prohibited substances is compared with the acts above.
func TestRowsOfAnnexIIShareMarket(t *testing.T) {
	of := map[string]*annex.Limit{}
	for _, l := range Builtin().Limits {
		of[l.Key] = l
	}
	markets := map[string][]rows.Market{}
	for _, p := range Builtin().Prohibitions() {
		for _, key := range p.Limits {
			for _, m := range p.Markets {
				if !slices.Contains(markets[key], m) {
					markets[key] = append(markets[key], m)
				}
			}
		}
	}
	require.Greater(t, len(markets), 300)
	for _, p := range Builtin().Prohibitions() {
		for _, key := range p.Limits {
			if l := of[key]; l != nil && l.Annex == "II" && !p.DatesUnseen && len(p.Markets) == 1 && slices.Equal(p.Markets, l.Markets) && p.Until.IsZero() {
				require.Equal(t, p.From, l.From, key)
				require.Equal(t, p.OffShelf, l.OffShelf, key)
			}
		}
	}
	for key, want := range markets {
		if l := of[key]; l != nil && l.Annex == "II" {
			require.ElementsMatch(t, want, l.Markets, key)
		}
	}
}

// gbNumbers are numbers that only the GB list has: substances of the draft of November
// 2025 that the EU annex does not hold, deoxyarbutin (GB 1645, SI 2022/659) and a number
// that SI 2024/1334 prints for dimethomorph.
var gbNumbers = map[string]bool{
	"10024-97-2":   true,
	"10028-15-6":   true,
	"1135441-72-3": true,
	"202-374-2":    true,
	"202-705-0":    true,
	"233-032-0":    true,
	"233-069-2":    true,
	"285-503-5":    true,
	"800-360-6":    true,
	"85114-00-7":   true,
	"94-91-7":      true,
	"98-83-9":      true,
}

// TestNumbersOfAnnexII wants every CAS number of the annex in limits.csv to be one of an
// entry in the exports, or of the list of prohibited substances.
func TestNumbersOfAnnexII(t *testing.T) {
	known := map[string]bool{}
	for _, e := range annexIIEntries(t) {
		for n := range e.numbers {
			known[n] = true
		}
		for n := range e.older {
			known[n] = true
		}
	}
	for _, p := range Builtin().Prohibitions() { // first those of the EU, then what GB took over
		for _, n := range append(slices.Clone(p.CAS), p.EC...) {
			if p.For(rows.EU) {
				known[n] = true
			}
		}
	}
	for _, p := range Builtin().Prohibitions() {
		for _, n := range append(slices.Clone(p.CAS), p.EC...) {
			require.True(t, known[n] || gbNumbers[n], "%s: %s", p.Key, n)
		}
	}
	for _, l := range Builtin().Limits {
		if l.Annex != "II" {
			continue
		}
		for _, n := range append(slices.Clone(l.CAS), l.EC...) {
			require.True(t, known[n] || gbNumbers[n], "%s: %s", l.Key, n)
		}
	}
}
