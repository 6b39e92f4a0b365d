package trade_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows/rowstest"
	"gallipot/calc/law/trade"
)

// The share of an acid that is undissociated, by hand: half of it where the pH is the pKa, one
// part in eleven one unit above, ten parts in eleven one unit below.
func TestAcidPreservatives(t *testing.T) {
	row := rowstest.Cells{"key": "benzoic", "names": "Benzoic Acid;Sodium Benzoate", "pka": "4.2", "seen": "seen", "source": "book"}
	acids, err := trade.ReadAcidPreservatives("t.csv", rowstest.Table(trade.AcidColumns, row))
	require.NoError(t, err)
	require.Len(t, acids, 1)
	assert.Equal(t, []string{"benzoic acid", "sodium benzoate"}, acids[0].Keys)
	for ph, want := range map[float64]float64{4.2: 50, 5.2: 100.0 / 11, 3.2: 1000.0 / 11} {
		assert.InDelta(t, want, acids[0].UndissociatedPct(ph), 1e-9, "pH %v", ph)
	}
	rowstest.Refuses(t, trade.ReadAcidPreservatives, trade.AcidColumns, row, [][3]string{
		{"pka", "", "pka is empty"},
		{"pka", "x", `pka: "x" is not a number: write a plain decimal`},
		{"key", "", "the row has no key"},
	})
}

func TestWordsOfUseAndArea(t *testing.T) {
	phrase := rowstest.Cells{"phrase": "Rinse Off", "use": "rinse-off", "seen": "seen", "source": "book"}
	phrases, err := trade.ReadUsePhrases("t.csv", rowstest.Table(trade.UsePhraseColumns, phrase, phrase.With("use", "leave-on")))
	require.NoError(t, err)
	assert.Equal(t, "rinse off", phrases[0].Phrase)
	assert.True(t, phrases[0].RinseOff)
	assert.False(t, phrases[1].RinseOff)
	rowstest.Refuses(t, trade.ReadUsePhrases, trade.UsePhraseColumns, phrase, [][3]string{
		{"phrase", "", "the row has no key\nphrase is empty"},
		{"use", "", `use: "" is none of rinse-off, leave-on`},
	})
	rowstest.Refuses(t, trade.ReadAreaWords, trade.AreaWordColumns, rowstest.Cells{"word": "eyes", "areas": "eye", "seen": "seen", "source": "book"},
		[][3]string{{"word", "", "the row has no key\nword is empty"}})
}
