package exact

import (
	"strings"
)

// InQuotes puts a text in the quotes that it does not hold.
func InQuotes(text string) string {
	if strings.ContainsAny(text, `"\`) {
		return "'" + strings.ReplaceAll(text, "'", "''") + "'"
	}
	return `"` + text + `"`
}
