package table

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows"
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
	for _, r := range published(t, "annex_ii.csv") {
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

// annexIIDifferences are the numbers of ours that the exports do not have or the
// other way round, by entry, with the reason.
var annexIIDifferences = map[string]string{
	"126":  "the export of 2024 lacks the EC number, that of 2016 has it",
	"1375": "the export prints an EC number in the form of a CAS number",
	"1397": "replaced by Reg (EU) 2026/78",
	"1660": "numbers by Reg (EU) 2021/1902",
	"1680": "the export prints a cut CAS number",
}

// exceptionsByText are the entries whose text lets out the normal content of natural
// essences, or a trace or content below a figure.
var exceptionsByText = map[string]string{
	"357": ExceptNatural, "358": ExceptNatural, "360": ExceptNatural,
	"1370": ExceptTrace, "1605": ExceptTrace, "1606": ExceptTrace, "1607": ExceptTrace, "1669": ExceptTrace,
}

func numbersOf(p *Prohibition) map[string]bool {
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
		if e == nil || !p.For(rows.EU) || p.State != StateLaw || !p.Until.IsZero() {
			continue
		}
		found[p.Entry] = true
		compared++
		if annexIIDifferences[p.Entry] == "" {
			require.Equal(t, e.numbers, numbersOf(p), p.Key)
		}
		require.Equal(t, e.use, p.Use, p.Key)
		require.Equal(t, exceptionsByText[p.Entry] == ExceptNatural, p.Exception == ExceptNatural, p.Key)
		require.Equal(t, exceptionsByText[p.Entry] == ExceptTrace, p.Exception == ExceptTrace, p.Key)
		var banned []string
		for _, m := range p.BannedIf {
			sign := ">"
			if m.AtLeast {
				sign = ">="
			}
			if m.Constituent == refiningUnknown {
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
	for entry, e := range exports {
		if len(e.numbers) > 0 && !found[entry] && annexIIDifferences[entry] == "" {
			require.True(t, slices.ContainsFunc(Builtin().Prohibitions(), func(p *Prohibition) bool { return p.Entry == entry && p.For(rows.EU) }), "entry %s is missing", entry)
		}
	}
}

var actYear = regexp.MustCompile(`(20\d\d)/`)

// before2021 says whether the text of an entry was law when GB took the annex
// over, on 31 December 2020. Later acts made new texts of some entries for the EU
// alone.
func (e *annexII) before2021(entry string) bool {
	m := actYear.FindStringSubmatch(e.act)
	return !slices.Contains([]string{"1024", "1397", "1398", "1399", "1597"}, entry) && (e.act == "" || m != nil && m[1] < "2021")
}

// TestActDates compares the days of the rows with those of the acts they come
// from.
func TestActDates(t *testing.T) {
	exports := annexIIEntries(t)
	day := map[string]map[string]string{}
	for _, a := range published(t, "acts.csv") {
		day[a["act"]] = a
	}
	n := 0
	check := func(key, act string, from, until any) {
		a := day[act]
		require.NotNil(t, a, act)
		n++
		require.Equal(t, a["placing_from"], from, "%s: first day", key)
		require.Equal(t, a["sale_until"], until, "%s: end of sale", key)
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
		case e != nil && p.For(rows.EU) && p.State == StateLaw && p.Until.IsZero() && !p.DatesUnseen && day["Reg "+e.act] != nil && !strings.Contains(p.Source, "2026/"):
			act = "Reg " + e.act
		case len(p.Entry) == 4 && p.Entry >= "1731" && p.Entry <= "1751" && p.For(rows.EU) && !p.DatesUnseen:
			act = "Reg (EU) 2025/877"
		case strings.HasPrefix(p.Source, "Reg (EU) 2026/78 ") && !p.DatesUnseen:
			act = "Reg (EU) 2026/78"
		case p.Entry == "1730" && p.For(rows.EU):
			act = "Reg (EU) 2024/996 Annex (1)"
		case strings.HasPrefix(p.Source, "Reg (EU) 2026/909") && p.From > 20261231:
			act = "Reg (EU) 2026/909"
		}
		if act != "" {
			check(p.Key, act, text(p.From, p.From.IsZero()), text(p.OffShelf, p.OffShelf.IsZero()))
		}
	}
	require.Positive(t, n)
}
