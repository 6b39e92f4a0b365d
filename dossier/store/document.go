package store

import (
	"encoding/json"
	"io"
)

// WriteIndented prints a value as JSON.
func WriteIndented(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}
