package sign_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/ingredients/sign"
)

// TestInvisible holds characters whose property is published, and those that must
// stay: letters and marks of every script that a maker writes.
//
// Source: DerivedCoreProperties.txt of the Unicode Character Database, version 15.0,
// Default_Ignorable_Code_Point.
func TestInvisible(t *testing.T) {
	for name, r := range map[string]rune{
		"soft hyphen": 0xAD, "grapheme joiner": 0x34F, "Arabic letter mark": 0x61C, "Hangul choseong filler": 0x115F,
		"Khmer inherent vowel": 0x17B4, "Mongolian selector": 0x180B, "Mongolian vowel separator": 0x180E,
		"zero-width space": 0x200B, "zero-width non-joiner": 0x200C, "zero-width joiner": 0x200D,
		"left-to-right mark": 0x200E, "right-to-left override": 0x202E, "word joiner": 0x2060, "invisible times": 0x2062,
		"right-to-left isolate": 0x2067, "deprecated shaping": 0x206F, "Hangul filler": 0x3164,
		"variation selector 16": 0xFE0F,
		"byte order mark":       0xFEFF, "halfwidth Hangul filler": 0xFFA0, "annotation anchor": 0xFFF9,
		"shorthand overlap": 0x1BCA0,
		"musical beam":      0x1D173, "language tag": 0xE0001, "tag letter": 0xE0061, "variation selector 17": 0xE0100,
		"blank braille cell": 0x2800,
	} {
		assert.True(t, sign.Invisible(r), name)
		assert.True(t, sign.Refused(r), name)
		assert.False(t, sign.Control(r), name)
	}
	for _, r := range "aÄéßñœłžŁ‑–—…“”‚‘’«»·×≤≥°µ€†‡∑½²₂αβΩяжא中日本ไทย\u0301\u00a0\u202f\u2009 \n\t\u0600" {
		assert.False(t, sign.Refused(r), "%U", r)
	}
	for _, r := range []rune{0, 7, 8, 0x0B, 0x0C, '\r', 0x1B, 0x7F, 0x80, 0x85, 0x9B, 0x9F, 0x2028, 0x2029} {
		assert.True(t, sign.Control(r) && sign.Refused(r), "%U", r)
	}
}
