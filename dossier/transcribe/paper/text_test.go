package paper

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// One table in the forms in which spreadsheets and shells write it: the mark at the head is
// no part of the first cell, so that a CSV file of this program's own is read back too.
func TestDecode(t *testing.T) {
	const table = "lot,ingrédient\nRM-7,Öl\n"
	for name, data := range map[string]string{
		"UTF-8":                    table,
		"UTF-8 with its mark":      "\xef\xbb\xbf" + table,
		"lines of Windows":         "\xef\xbb\xbflot,ingrédient\r\nRM-7,Öl\r\n",
		"Windows-1252":             "lot,ingr\xe9dient\nRM-7,\xd6l\n",
		"UTF-16, the lower first":  "\xff\xfe" + wide(table, 0),
		"UTF-16, the higher first": "\xfe\xff" + wide(table, 1),
	} {
		got, ok := decode([]byte(data))
		require.True(t, ok, name)
		require.Equal(t, table, got, name)
	}
	_, ok := decode([]byte("lot\x00,"))
	require.False(t, ok)
	for data, want := range map[string]string{
		"Mas\xb3o, \x9cwie\xbfe": "Masło, świeże", // Windows-1250, by its code page
		"10 cm\xb3, m\xb3/h":     "10 cm³, m³/h",
		"\xbfQu\xe9?":            "¿Qué?",
	} {
		got, ok := decode([]byte(data))
		require.True(t, ok)
		require.Equal(t, want, got)
	}
}

// wide writes text, without letters beyond 255, as UTF-16; the higher byte stands first for
// high 1.
func wide(text string, high int) string {
	var out []byte
	for _, r := range text {
		pair := [2]byte{byte(r), 0}
		out = append(out, pair[high], pair[1-high])
	}
	return string(out)
}
