package reading

import "gallipot/dossier/transcribe/phrases"

// NewAsk is a question with its words.
func NewAsk(code string, at Place, values map[string]string) Ask {
	var pairs []string
	for name, value := range values {
		pairs = append(pairs, name, value)
	}
	return Ask{Code: code, Place: at, Values: values, Text: phrases.Questions().Say(code, pairs...)}
}
