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
