package batchcode

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/ingredients/exact"
)

func TestCodeSchemes(t *testing.T) {
	next := func(scheme, product, variant string, existing ...string) string {
		s, err := Parse(scheme)
		require.NoError(t, err, scheme)
		code, err := s.Next(existing, product, variant, 20261125)
		require.NoError(t, err)
		return code
	}
	assert.Equal(t, "HW261125A", next(defaultCode, "heath-wash", "duo"))
	assert.Equal(t, "HW261125C", next(defaultCode, "heath-wash", "duo", "HW261125A", "hw261125b", "HW261124Q",
		"LB261125D"))
	assert.Equal(t, "HW26-004", next("{product}{year}-{count3}", "heath-wash", "", "HW26-003", "HW25-009", "HW26-001"))
	assert.Equal(t, "SO26329.1", next("{product}{year}{yearday}.{count}", "soap", ""))
	assert.Equal(t, "HEATH-WASH_DUO-12",
		next("{id}_{variant}-{count}", "heath-wash", "duo", "HEATH-WASH_DUO-11", "HEATH-WASH_DUO-2"))
	assert.Equal(t, "X1000", next("X{count3}", "a", "", "X999"))

	for _, bad := range []string{"", "HW", "{product}", "{letter}{count}", "{produkt}{count}", "{count7}",
		"{year2}{count}", "a b{count}", "{count", "a/{count}"} {
		_, err := Parse(bad)
		assert.Error(t, err, bad)
	}
	_, err := Parse("{prodct}{count}")
	assert.Contains(t, err.Error(), "write {product}")
	s, _ := Parse("{letter}")
	_, err = s.Next([]string{"Z"}, "a", "", 20261125)
	assert.ErrorContains(t, err, "26 letters")
	s, _ = Parse("-{count}")
	_, err = s.Next(nil, "a", "", 20261125)
	assert.ErrorContains(t, err, "cannot be a batch code")
}

// TestCodesAreUniqueOverYears: whatever is on record, a new code is none of it.
func TestCodesAreUniqueOverYears(t *testing.T) {
	s, err := Parse("{product}{year}-{count}")
	require.NoError(t, err)
	var codes []string
	seen := map[string]bool{}
	for i := range 400 {
		day := exact.Date(20250101).AddDays(i * 2)
		code, err := s.Next(codes, []string{"heath-wash", "hand-wax", "lip-balm"}[i%3], "", day)
		require.NoError(t, err)
		require.False(t, seen[strings.ToLower(code)], code)
		seen[strings.ToLower(code)] = true
		codes = append(codes, code)
	}
}

// FuzzParseCodeScheme: what parses numbers two batches differently, and the
// second counts on from the first.
func FuzzParseCodeScheme(f *testing.F) {
	for _, s := range []string{defaultCode, "{id}-{count3}", "{variant}{yearday}{letter}", "{count}",
		"{letter}{count}", "{", "}", "{year7}{count}", "a b{count}", "{count6}x", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := Parse(text)
		if err != nil {
			var v *exact.ValueError
			require.ErrorAs(t, err, &v)
			require.NotEmpty(t, v.Fix)
			return
		}
		first, err := s.Next(nil, "heath-wash", "duo", exact.Date(20261125))
		if err != nil {
			return
		}
		second, err := s.Next([]string{first}, "heath-wash", "duo", exact.Date(20261125))
		require.NoError(t, err)
		require.NotEqual(t, strings.ToUpper(first), strings.ToUpper(second))
	})
}
