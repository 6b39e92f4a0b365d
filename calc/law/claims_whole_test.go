package law_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/claims"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/rows/rowstest"
	"gallipot/calc/law/table"
)

// found lists the rules that a text sets off, in the order of the table.
func found(text string, m rows.Market, directions bool) (ids []string) {
	for _, c := range law.ReadClaim(table.Builtin(), m, text, directions) {
		ids = append(ids, c.Rule.Key)
	}
	return ids
}

// TestReadClaim checks wordings. Where a source is named, the wording or its
// like stands there; the others are what a maker may well write, and the rule
// that has to answer follows from the reason in the table.
func TestReadClaim(t *testing.T) {
	for _, c := range []struct {
		text string
		want []string
	}{
		// MHRA Guidance Note 8, section 10: relieve symptoms, cure, remedy, heal
		{"heals eczema within a week", []string{"M02", "M03"}},
		{"relieves psoriasis", []string{"M01", "M03"}},
		{"a remedy for dry hands", []string{"M02"}},
		{"eczema relief", []string{"M01", "M03"}},
		{"Treats, soothes and calms the itch of eczema.", []string{"M01", "M03", "M08"}},
		// trade note on borderline claims of 2024: reduces inflammation
		{"reduces inflammation", []string{"M01", "M03"}},
		{"Anti-inflammatory", []string{"M04"}},
		// trade note of 2025: stimulates growth
		{"stimulates hair growth", []string{"M06"}},
		// Commission guidance note CA-Jul13-Doc.5.1.h: disinfecting
		{"disinfects as it cleans", []string{"B01"}},
		{"Kills 99 % of all germs and bacteria", []string{"B01", "B02"}},
		{"antibacterial hand wash", []string{"B02"}},
		{"keeps midges away", []string{"B03"}},
		{"keeps off midges", []string{"B03"}},
		// Regulation (EU) 655/2013 Annex, legal compliance
		{"approved by the authorities", []string{"A01"}},
		{"EU-approved", []string{"A01"}},
		{"complies with EU cosmetics law", []string{"A02"}},
		// Technical document on cosmetic claims, Annex III: heavy metals, corticosteroids, parabens, allergens
		{"free from lead and mercury", []string{"F01"}},
		{"Heavy-metal-free", []string{"F01"}},
		{"contains no corticosteroids", []string{"F01"}},
		{"paraben-free", []string{"F02a"}},
		{"without silicones, parabens or sulphates", []string{"F02a", "F03a", "F03b"}},
		{"0% parabens", []string{"F02a"}},
		{"free from allergenic substances", []string{"F04"}},
		{"does not contain preservatives", []string{"F05"}},
		{"unscented", []string{"F06"}},
		// an absence ends where something else is praised
		{"without water but rich in oil", nil},
		{"made with oil free from grit", nil},
		{"contains lead", nil},
		// Article 20(3)
		{"Not tested on animals", []string{"T01"}},
		{"cruelty-free", []string{"T01"}},
		// Recommendation 2006/647/EC
		{"total protection", []string{"S01"}},
		{"SPF 15 sunscreen", []string{"P04"}},
		{"hypoallergenic", []string{"H01"}},
		{"100% natural and organic", []string{"N01", "N02"}},
		{"dermatologically tested", []string{"P01"}},
		{"for sensitive skin", []string{"P02"}},
		{"moisturises for 24h", []string{"P03"}},
		// what a cosmetic may say of itself
		{"leaves the skin feeling clean and soft", nil},
		{"scented like the moor after rain", nil},
		{"leaves dry skin supple", nil},
		{"softens lips in wind and salt", nil},
		{"smooths rough skin", nil},
		{"cured for six weeks", nil},
		{"a treat after a long day", nil},
		{"healthy-looking hair", nil},
		{"with leaf of heather", nil},
		{"", nil},
	} {
		t.Run(c.text, func(t *testing.T) { require.Equal(t, c.want, found(c.text, rows.GB, false)) })
	}
}

// TestDirectionsAreNoClaims lets directions warn of what a claim may not
// promise.
func TestDirectionsAreNoClaims(t *testing.T) {
	for text, want := range map[string][]string{
		"Stop using it if a rash appears.":                    nil,
		"Not for children under 3 years.":                     nil,
		"Ask a doctor if you have eczema.":                    nil,
		"Massage in to relieve eczema.":                       {"M01"},
		"Keep the jar away from direct sun. Rinse with water": nil,
	} {
		require.Equal(t, want, found(text, rows.EU, true), text)
	}
}

// TestClaimPlaces wants the words as they were typed, and where.
func TestClaimPlaces(t *testing.T) {
	text := "Our butter: free from Lead, and of course mercury!"
	ms := law.ReadClaim(table.Builtin(), rows.EU, text, false)
	require.Len(t, ms, 1)
	require.Equal(t, []string{"free from Lead, and of course mercury"}, ms[0].Words)
	require.Equal(t, "free from Lead, and of course mercury", text[ms[0].From:ms[0].To])
	ms = law.ReadClaim(table.Builtin(), rows.EU, "Doesn’t heal. Heals.", false)
	require.Equal(t, []string{"heal", "Heals"}, ms[0].Words)
}

// claimPattern is what the only wording of a rule is read as.
func claimPattern(text string) (claims.ClaimPattern, error) {
	rules, err := claims.ReadClaims("t.csv", rowstest.Table(claims.ClaimColumns,
		rowstest.Cells{"id": "A", "kind": "medicinal", "severity": "stop", "market": "EU+GB", "reads": "all",
			"patterns": text, "why": "w", "fix": "f", "source": "s", "seen": "seen"}))
	if err != nil {
		return claims.ClaimPattern{}, err
	}
	return rules[0].Patterns[0], nil
}

func TestClaimPatterns(t *testing.T) {
	for _, c := range []struct {
		pattern, text string
		want          bool
	}{
		{"heal", "healing", true}, {"heal", "healed", true}, {"heal", "health", false}, {"heal", "heals", true},
		{"relieve", "relieving", true}, {"remedy", "remedies", true}, {"stop", "stopped", true}, {"repel", "repelling", true},
		{"=cure", "cured", false}, {"=cure", "CURE", true}, {"anti*", "antifouling", true}, {"anti*", "ant", false},
		{"treat/ease ... acne", "eases the worst of all acne", true},
		{"treat ... acne", "treats one two three four five acne", false},
		{"treat acne", "treats your acne", false}, {"crème", "crème", false}, {"creme", "Crème", true},
		{"~lead", "lead free from grit", false}, {"~lead", "lead-free", true}, {"~lead", "no lead", true},
		{"~lead", "without oil that comes from lead", false},
		{"24 =h", "24h", true}, {"100 %", "100%", true},
		{"dry", "dries", true}, {"dry", "dried", true}, {"remedy", "remedied", true}, {"uv", "uvs", false},
		{"=uv", "UV", true}, {"fat", "fatted", true}, {"fat", "fatten", false},
		// up to eight words of a list lie between
		{"~lead", "free from a b c d e f lead", true}, {"~lead", "free from a b c d e f g lead", false},
		{"~from", "free from lead", false}, {"~lead", "lead free of grit", false}, {"~lead", "lead free", true},
		{"~free from lead", "free from lead free", true}, {"treat ... acne", "treats one two three four acne", true},
	} {
		p, err := claimPattern(c.pattern)
		if err != nil {
			require.False(t, c.want, c.pattern)
			continue
		}
		require.Equal(t, c.want, len(p.All(claims.ClaimTokens(c.text), table.Builtin().Absence)) > 0, "%s in %s",
			c.pattern, c.text)
	}
	for _, bad := range []string{"", "~", "...", "a ...", "... a", "Heal", "well-being", "=cure*", "a / b",
		"a ... ... b"} {
		_, err := claimPattern(bad)
		require.Error(t, err, bad)
	}
}

// TestClaimRows holds what the findings rely on.
func TestClaimRows(t *testing.T) {
	for _, c := range table.Builtin().Claims {
		require.NotEmpty(t, c.Patterns, c.Key)
		require.True(t, c.For(rows.GB) && c.For(rows.EU) && c.For(rows.NI), c.Key)
		for _, text := range []string{c.Why, c.Fix} {
			require.NotRegexp(t, `\.$`, text, c.Key)
		}
	}
	const head = "id,kind,severity,market,reads,patterns,unless,contains,settled_by,why,fix,source,seen,note\n"
	for row, want := range map[string]string{
		"X1,odd,stop,EU,all,heal,,,,w,f,s,seen,":            `t.csv:2: kind: "odd" is none of`,
		"X1,medicinal,bad,EU,all,heal,,,,w,f,s,seen,":       `t.csv:2: severity: "bad" is none of`,
		"X1,medicinal,stop,EU,all,,,,,w,f,s,seen,":          "t.csv:2: patterns is empty",
		"X1,medicinal,stop,EU,all,Heal,,,,w,f,s,seen,":      `t.csv:2: patterns: "Heal"`,
		"X1,medicinal,stop,EU,all,heal,,@oil,,w,f,s,seen,":  `t.csv:2: contains: "@oil" is not known`,
		"X1,medicinal,stop,EU,maybe,heal,,,,w,f,s,seen,":    `t.csv:2: reads: "maybe" is none of`,
		"X1,medicinal,stop,EU,all,heal,...,,,w,f,s,seen,":   `t.csv:2: unless: "..."`,
		"X1,medicinal,stop,EU,all,heal,,,,w,f,s,perhaps,":   `t.csv:2: seen: "perhaps" is none of`,
		"X1,medicinal,stop,US,all,heal,,,,w,f,s,seen,extra": `t.csv:2: market: "US" is none of`,
	} {
		_, err := claims.ReadClaims("t.csv", head+row+"\n")
		require.ErrorContains(t, err, want)
	}
}

// FuzzReadClaim wants no panic and places inside the text.
func FuzzReadClaim(f *testing.F) {
	for _, s := range []string{"heals eczema", "0 % lead", "free", "no", "…", "\xff%é’", "free from"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, m := range law.ReadClaim(table.Builtin(), rows.GB, text, false) {
			if m.From < 0 || m.To > len(text) || m.From >= m.To {
				t.Fatalf("%d to %d of %d", m.From, m.To, len(text))
			}
		}
	})
}
