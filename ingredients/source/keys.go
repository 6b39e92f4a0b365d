package source

import (
	"slices"

	"gallipot/ingredients/pattern"
)

// topKey is a line that begins with a key.
var topKey = pattern.New(`(?m)^([a-z_]+):(?:\s|$)`)

// HasKeys says whether a text of any name looks like a file of a workshop: one of the keys
// begins a line, and another key stands beside it.
func HasKeys(data []byte, keys ...string) bool {
	found := topKey.FindAllSubmatch(data[:min(len(data), 4096)], -1)
	return len(found) > 1 && slices.ContainsFunc(found, func(m [][]byte) bool {
		return slices.Contains(keys, string(m[1]))
	})
}
