package source

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/ingredients/exact"
)

// A file that is kept is parsed once and says the same; canonical forms outlive
// the release.
func TestKeptSource(t *testing.T) {
	const text = "b: 2\na: [1, 'two'] # why\nskip: 3\n"
	plain, kept := NewSource("a.yaml", []byte(text)), NewSource("a.yaml", []byte(text))
	kept.Keep()
	want := string(plain.Canonical("skip"))
	assert.Equal(t, `{"a": ["1", "two", ], "b": "2", }`, want)
	for range 2 {
		assert.Equal(t, want, string(kept.Canonical("skip")))
		assert.NotEqual(t, want, string(kept.Canonical()))
	}
	kept.Release()
	assert.Equal(t, want, string(kept.Canonical("skip")))
	assert.Equal(t, `{"a": ~, }`, string(NewSource("a.yaml", []byte("a:\n")).Canonical()))
	assert.Equal(t, "a: [", string(NewSource("a.yaml", []byte("a: [")).Canonical()), "what does not parse stands for itself")
}

func TestLinesOfASource(t *testing.T) {
	s := NewSource("a.yaml", []byte("\ufeffa: 1\r\nb: 2\rc: 3\n"))
	assert.Equal(t, []string{"", "a: 1", "b: 2", "c: 3", ""}, []string{s.Line(0), s.Line(1), s.Line(2), s.Line(3), s.Line(4)})
}

// Values with bounds of their own: both ends belong to what is allowed.
func TestBetween(t *testing.T) {
	for text, want := range map[string]string{"0": "0", "1": "1", "0.5": "0.5", "1.01": "", "-0.01": "", "half": ""} {
		r := NewReader(NewSource("a.yaml", []byte("aw: "+text+"\n")))
		m, ok := r.Root("a product")
		require.True(t, ok)
		n := m.At("aw").Between(exact.Int(0), exact.Int(1))
		if want == "" {
			assert.Nil(t, n, text)
			require.Len(t, r.Findings(), 1, text)
			assert.Equal(t, CodeBadNumber, r.Findings()[0].Code)
			continue
		}
		require.NotNil(t, n, text)
		assert.Equal(t, want, n.Exact())
		assert.Empty(t, r.Findings())
	}
}

// Amounts of two parts in the wordings that go wrong.
func TestAmountsOfTwoParts(t *testing.T) {
	for text, want := range map[string]string{
		"100 ppm - 200":        `100 has the unit ppm and 200 has none: write the unit behind both: "100-200 ppm"`,
		">=1,5 - <2,5":         `">=1,5 - <2,5" has a decimal comma: write "1.5-2.5"`,
		"0,1 ppm - 0,2 %":      `"0,1 ppm - 0,2 %" has a decimal comma: write "0.1 ppm-0.2 %"`,
		">=1,000 - <2":         `">=1,000 - <2" has a comma that parts decimals or thousands: write 1.000 or 1000, whichever the paper means`,
		"1.2345678901234567":   `"1.2345678901234567" has more than 15 digits: round it to what the paper says`,
		"1-1.2345678901234567": `"1.2345678901234567" has more than 15 digits: round it to what the paper says`,
		"1.2345678901234567-2": `"1.2345678901234567" has more than 15 digits: round it to what the paper says`,
	} {
		_, err := exact.ParseAmount(text)
		assert.EqualError(t, err, want, text)
	}
}
