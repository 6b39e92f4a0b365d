package store

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"unicode/utf16"

	"gallipot/ingredients/sign"
)

// WriteIndented prints a value as JSON that a terminal may show.
func WriteIndented(w io.Writer, v any) error {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(v); err != nil {
		return err
	}
	_, err := w.Write(escapeRefused(b.Bytes()))
	return err
}

// escapeRefused writes the characters that a terminal would obey, or that nobody sees,
// as JSON escapes. They stand in strings alone: the encoder makes none elsewhere.
func escapeRefused(text []byte) []byte {
	if !bytes.ContainsFunc(text, sign.Refused) {
		return text
	}
	var out bytes.Buffer
	for _, r := range string(text) {
		if !sign.Refused(r) {
			out.WriteRune(r)
			continue
		}
		for _, unit := range utf16.Encode([]rune{r}) {
			fmt.Fprintf(&out, `\u%04x`, unit)
		}
	}
	return out.Bytes()
}
