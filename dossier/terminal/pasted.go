package terminal

import (
	"runtime"
	"strings"

	"gallipot/ingredients/pattern"
)

// bare are words that every usual shell takes as they stand.
var bare = pattern.New(`^[\pL\pN_./:\\][\pL\pN_./:\\-]*$`)

// Pasted writes a word of a command so that the command can be pasted: in the quotes
// of the system's usual shell where it holds a space or a sign that the shell obeys.
func Pasted(word string) string { return pastedOn(runtime.GOOS, word) }

func pastedOn(system, word string) string {
	switch {
	case strings.HasPrefix(word, "-"): // a folder, which would be taken for a flag
		return pastedOn(system, "./"+word)
	case system == "windows" && bare.MatchString(word):
		return word
	case system == "windows": // a name there can hold no double quote
		return `"` + word + `"`
	case bare.MatchString(word) && !strings.Contains(word, `\`):
		return word
	case strings.ContainsAny(word, "!$`\"\\"):
		return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
	}
	return `"` + word + `"`
}
