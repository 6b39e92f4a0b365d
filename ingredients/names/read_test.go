package names

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// pieces written as text: brackets in [], joints in <>, marks in {}.
func written(printed string) string {
	var b strings.Builder
	for _, p := range Read(printed) {
		switch p.Kind {
		case Bracket:
			b.WriteString("[" + p.Inside() + "]")
		case Joint:
			b.WriteString("<" + p.Text + ">")
		case Mark:
			b.WriteString("{" + p.Text + "}")
		default:
			b.WriteString(p.Text)
		}
	}
	return b.String()
}

func TestRead(t *testing.T) {
	for _, c := range []struct{ printed, want string }{
		{"Aqua (Water)", "Aqua [Water]"},
		{"Aqua/Water/Eau", "Aqua</>Water</>Eau"},
		{"Cocos Nucifera (Coconut) Oil*", "Cocos Nucifera [Coconut] Oil{*}"},
		{"Phenoxyethanol (and) Ethylhexylglycerin", "Phenoxyethanol <(and)> Ethylhexylglycerin"},
		{"A & B", "A <&> B"},
		{"A and B", "A <and> B"},
		{"Sandalwood", "Sandalwood"},
		{"1,2-Hexanediol", "1,2-Hexanediol"},
		{"1,2-Hexanediol, Caprylyl Glycol", "1,2-Hexanediol<,> Caprylyl Glycol"},
		{"2-(4-tert-butylbenzyl)propionaldehyde", "2-(4-tert-butylbenzyl)propionaldehyde"},
		{"Bis(2-ethylhexyl) phthalate", "Bis(2-ethylhexyl) phthalate"},
		{"Titanium Dioxide [nano]", "Titanium Dioxide [nano]"},
		{"Limonene (d-)", "Limonene [d-]"},
		{"Water (Aqua", "Water (Aqua"},
		{"Water) Aqua", "Water) Aqua"},
		{"D&C Red No. 7", "D&C Red No. 7"},
		{"Parfum®.", "Parfum{®}{.}"},
		{"", ""},
	} {
		require.Equal(t, c.want, written(c.printed), c.printed)
	}
}

// The words that join two names in the languages of papers, and the signs.
func TestJoints(t *testing.T) {
	for _, word := range []string{"and", "&", "+", "et", "und", "y", "e", "with", "or", "and/or", "plus",
		"containing",
		"oder", "ou", "mit", "avec", "con", "och", "og", "aka", "a.k.a.", "AND", "Und"} {
		require.Equal(t, "Aqua <("+word+")> Urea", written("Aqua ("+word+") Urea"), word)
		require.Equal(t, "Aqua <[ "+word+" ]> Urea", written("Aqua [ "+word+" ] Urea"), word)
		if !strings.ContainsAny(word, "/.") {
			require.Equal(t, "Aqua <"+word+"> Urea", written("Aqua "+word+" Urea"), word)
			require.Equal(t, "Aqua "+word+"x Urea", written("Aqua "+word+"x Urea"), word)
		}
	}
	for printed, want := range map[string]string{
		"Aqua;Urea": "Aqua<;>Urea", "Aqua|Urea": "Aqua<|>Urea", "Aqua•Urea": "Aqua<•>Urea",
		"Aqua·Urea": "Aqua<·>Urea",
		"Aqua⁄Urea": "Aqua<⁄>Urea", "Aqua: Urea": "Aqua<:> Urea", "Aqua:Urea": "Aqua:Urea",
		": Urea":      ": Urea",
		"Aqua - Urea": "Aqua <-> Urea", "Aqua – Urea": "Aqua <–> Urea", "Aqua — Urea": "Aqua <—> Urea",
		"Aqua = Urea": "Aqua <=> Urea", "Aqua \\ Urea": "Aqua <\\> Urea", "Aqua\\Urea": "Aqua<\\>Urea",
		"Aqua-Urea": "Aqua-Urea",
		"- Urea":    "- Urea", "Aqua -Urea": "Aqua -Urea", "Aqua -": "Aqua <->", "Aqua +": "Aqua <+>",
		"Aqua + Urea": "Aqua <+> Urea",
		"Aqua&Urea":   "Aqua<&>Urea", "Aqua+Urea": "Aqua<+>Urea", "Zea+Urea": "Zea+Urea",
		"Aqua+Zea": "Aqua+Zea", "Aqua+Zea Oil": "Aqua+Zea Oil", "Zz Aqua+Zea": "Zz Aqua+Zea",
		"Zz Zea+Aqua": "Zz Zea+Aqua", "FD&C Red": "FD&C Red",
		"Aqua+Zeas": "Aqua<+>Zeas", "a1quas+Urea": "a1quas<+>Urea", "aqu1a+Urea": "aqu1a+Urea",
		"Aqua &amp; Urea": "Aqua <&amp;> Urea", "Aqua&amp;Urea": "Aqua<&amp;>Urea",
		"Aqua &amp;": "Aqua &amp<;>", "Aqua&amp;U": "Aqua<&amp;>U",
		"CI 77491, 77492": "CI 77491<,> 77492", "Aqua, 1,2-Diol": "Aqua<,> 1,2-Diol",
		",2-Diol": "<,>2-Diol", "a,2": "a<,>2", "2,a": "2<,>a",
		"Aqua E 211": "Aqua E 211", "Aqua e Urea": "Aqua <e> Urea", "and Urea": "and Urea",
		"Aqua / and Urea": "Aqua </> <and> Urea", "Aqua/and Urea": "Aqua</>and Urea",
		"CMIT/MIT 3:1": "CMIT</>MIT 3:1",
		"Aqua and":     "Aqua and", "Aqua (and)": "Aqua <(and)>", "Aqua MIT Urea": "Aqua MIT Urea",
		"AQUA MIT UREA": "AQUA <MIT> UREA",
		"AQUA MIT":      "AQUA MIT", "AQUA MIT AND UREA": "AQUA MIT <AND> UREA",
		"AQUA MIT, UREA": "AQUA MIT<,> UREA", "AQUA MIT ,UREA": "AQUA MIT <,>UREA",
		"AQUA MIT ; UREA": "AQUA MIT <;> UREA", "AQUA MIT (99 %)": "AQUA <MIT> [99 %]",
		"AQUA MIT (UREA)": "AQUA <MIT> [UREA]", "Aqua mit Urea": "Aqua <mit> Urea", "Aqua mit": "Aqua mit",
	} {
		require.Equal(t, want, written(printed), printed)
	}
}

// Brackets of their own, brackets of a name, marks, and where the reading stops.
func TestBrackets(t *testing.T) {
	deep := func(n int) string { return "Aqua " + strings.Repeat("(", n) + "x" + strings.Repeat(")", n) }
	for printed, want := range map[string]string{
		"Aqua [Water]": "Aqua [Water]", "Aqua {Water}": "Aqua [Water]", "Aqua （Water）": "Aqua [Water]",
		"(Water) Aqua":       "[Water] Aqua",
		"Aqua (Water), Urea": "Aqua [Water]<,> Urea", "Aqua (Water);": "Aqua [Water]<;>",
		"Aqua (Water)/Urea": "Aqua [Water]</>Urea",
		"Aqua (Water)*":     "Aqua [Water]{*}", "Aqua (Water)®": "Aqua [Water]{®}",
		"Aqua (Water)™": "Aqua [Water]{™}",
		"Aqua (Water).": "Aqua [Water]{.}", "Aqua (Water). ": "Aqua [Water]{.} ",
		"Aqua (Water).x":    "Aqua (Water).x",
		"Aqua (Water)(Eau)": "Aqua [Water][Eau]", "Aqua (Water)[Eau]": "Aqua [Water][Eau]",
		"Aqua (Water (Eau))": "Aqua [Water (Eau)]",
		"Aqua (Water)x":      "Aqua (Water)x", "Aqua(Water)": "Aqua(Water)", "Aqua (Water": "Aqua (Water",
		"Aqua ()":        "Aqua []",
		"Aqua ( Water )": "Aqua [Water]", "a(b c)d": "a(b c)d", "a(b c d": "a(b c d", "a(b) c": "a(b) c",
		"a) c":    "a) c",
		"a(b,c)d": "a(b,c)d", "a{b,c}d, e": "a{b,c}d<,> e", "a（b,c）d, e": "a（b,c）d<,> e", "a[b,c]d, e": "a[b,c]d<,> e",
		"a[b/c]d": "a[b/c]d", "(b c)d": "(b c)d", "(b,c)d, e": "(b,c)d<,> e",
		"Aqua®™©*†‡§¹²³": "Aqua{®}{™}{©}{*}{†}{‡}{§}{¹}{²}{³}", "Aqua. Urea": "Aqua. Urea",
		"Aqua.": "Aqua{.}", "Aqua . ": "Aqua {.} ",
		"\xff Aqua": "{\xff} Aqua", "\ufffd": "\ufffd", "Aqua\tUrea": "Aqua\tUrea",
		"Aqua\u00a0(Water)": "Aqua\u00a0[Water]", "1.5": "1.5", "a:b": "a:b",
		deep(8): "Aqua [" + deep(7)[5:] + "]", deep(9): deep(9), deep(9) + ", Urea": deep(9) + ", Urea",
		strings.Repeat("Aqua (", 9) + strings.Repeat(")", 9): strings.Repeat("Aqua (", 9) + strings.Repeat(")", 9),
		strings.Repeat(")", 20) + " " + deep(9) + ", Urea":   strings.Repeat(")", 20) + " " + deep(9) + ", Urea",
		"(x) " + deep(8): "[x] " + deep(8)[:5] + "[" + deep(7)[5:] + "]", "a\x00 b": "a\x00 b", "a\x00": "a\x00",
		"a(b*c)d": "a(b*c)d", "a(b;c)d, e": "a(b;c)d<,> e", "a)b(c, d)e, f": "a)b(c, d)e<,> f",
		"Aqua (Water)..": "Aqua (Water).{.}", "(x": "(x", "D&C (x), y": "D&C [x]<,> y",
		strings.Repeat("(x) ", 20) + "Aqua": strings.Repeat("[x] ", 20) + "Aqua", strings.Repeat(")",
			20) + deep(8): strings.Repeat(")", 20) + deep(8)[:5] + "[" + deep(7)[5:] + "]",
		strings.Repeat("x", 3998) + ",y": strings.Repeat("x", 3998) + "<,>y", strings.Repeat("x",
			3999) + ",y": strings.Repeat("x", 3999) + ",y",
	} {
		require.Equal(t, want, written(printed), "%.80s", printed)
	}
	for _, c := range []struct{ printed, trimmed, joints, marks string }{
		{" *Aqua* ", "Aqua", "Aqua", " Aqua "}, {", Aqua ;", ", Aqua ;", "Aqua", ", Aqua ;"},
		{"/ - Aqua : ", "/ - Aqua :", "Aqua :", "/ - Aqua : "},
		{", and Aqua", ", and Aqua", "and Aqua", ", and Aqua"}, {"", "", "", ""}, {",", ",", "", ","},
		{" * ", "", "", "  "},
		{"Aqua, *", "Aqua,", "Aqua", "Aqua, "}, {"Aqua +", "Aqua +", "Aqua +", "Aqua +"},
	} {
		require.Equal(t, c.trimmed, textOf(trim(Read(c.printed))), c.printed)
		require.Equal(t, c.joints, textOf(trimJoints(Read(c.printed))), c.printed)
		require.Equal(t, c.marks, textOf(withoutMarks(Read(c.printed))), c.printed)
	}
}

func lossless(t *testing.T, printed string) {
	t.Helper()
	require.Equal(t, printed, textOf(Read(printed)), "a letter was lost")
}

func FuzzRead(f *testing.F) {
	for _, s := range []string{"Aqua (Water)", "A (and) B", "((((", "a)b(c", "（水）", "\xff(\xfe)", "1,2,3",
		"nano", "(nano)", "d-", "99 %", "CI 77891", "A / B; C, D & E + F and G", "()", "( )",
		"50-00-0 50-00-0 50-00-0", "INCI: A, CAS 50-00-0", "1. A – B"} {
		f.Add(s)
	}
	r := resolver(f)
	f.Fuzz(func(t *testing.T, printed string) {
		lossless(t, printed)
		reading := r.Resolve(printed, "", "")
		require.NotEmpty(t, reading.Names, "every text is a name, or none that is known")
		require.Equal(t, printed, reading.Printed)
		if len(reading.Names) > 1 {
			_, asked := reading.Asked(AskSeveral)
			require.True(t, asked)
		}
		if n := reading.First(); !n.Known() {
			require.NotEmpty(t, reading.Asks, "what is unknown is asked about")
		}
	})
}
