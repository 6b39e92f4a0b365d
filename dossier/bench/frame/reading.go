package frame

import (
	"strings"

	"gallipot/ingredients/pattern"
)

// What a page for reading is looked through for: forms, and what stands in them.
var (
	formPart = pattern.New(`(?s)<form\b[^>]*>|</form>|<button\b.*?</button>|` +
		`<details class="menu".*?</details>|<(?:input|select|textarea)\b[^>]*>`)
	kept      = pattern.New(` (?:id|class)="[^"]*"`)
	untouched = pattern.New(` (?:required|autofocus|data-also|data-put="[^"]*"|data-seek="[^"]*")`)
	chosen    = pattern.New(`^<select|type="(?:radio|checkbox|file)"`)
)

// forReading takes out of a page what could change something: forms that are sent become
// plain parts of the page, their buttons go, and their fields are shown and not typed in.
// Forms that only ask for another page stay.
func forReading(page string) string {
	inside := false
	return formPart.ReplaceAllStringFunc(page, func(part string) string {
		switch {
		case strings.HasPrefix(part, "<form"):
			if inside = strings.Contains(part, ` method="post"`); !inside {
				return part
			}
			return "<div" + strings.Join(kept.FindAllString(part, -1), "") + ">"
		case !inside:
			return part
		case part == "</form>":
			inside = false
			return "</div>"
		case strings.HasPrefix(part, "<button"), strings.HasPrefix(part, "<details"),
			strings.Contains(part, `type="hidden"`):
			return ""
		}
		how := " readonly>"
		if chosen.MatchString(part) {
			how = " disabled>"
		}
		return strings.TrimSuffix(untouched.ReplaceAllString(part, ""), ">") + how
	})
}
