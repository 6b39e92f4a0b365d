package formula

import (
	"regexp"
	"strings"

	"gallipot/ingredients/exact"
)

// botanicalWords end the names of what is won from plants as a mixture.
var botanicalWords = regexp.MustCompile(`(?i)\b(oil|extract|absolute|concrete|resin|resinoid|oleoresin|balsam|water|distillate)\b`)

// mineralWords mark oils and waters that no plant gives.
var mineralWords = regexp.MustCompile(`(?i)\b(mineral|hydrogenated|peg|silicone|sea|thermal)\b`)

// IsBotanical says whether a name is that of a plant oil, extract, absolute or
// plant water.
func IsBotanical(name string) bool {
	return botanicalWords.MatchString(name) && !mineralWords.MatchString(name) && strings.Contains(strings.TrimSpace(name), " ")
}

func (m *Material) mostlyBotanical() bool {
	var sum exact.Num
	for _, p := range m.Parts {
		if IsBotanical(p.INCI) {
			sum = sum.Add(p.Pct.Typ)
		}
	}
	return !sum.Less(exact.Int(50))
}
