package cells

import (
	"strings"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/ingredients/pattern"
)

// sectionNumber is the number before the heading of a section: "SECTION 3:",
// "ABSCHNITT 3", "03.", "3.2".
var sectionNumber = lexicon.Pattern(`(?i)^(?:<<section>>)?\s*0?(\d{1,2})(?:\.(\d{1,2}))?\s*[.:)\-–—]*\s+`)

// heading is [Heading] for texts that are looked at several times.
func (r *reader) heading(text string) string {
	about, known := r.headings[text]
	if !known {
		about = Heading(r.words, text)
		r.headings[text] = about
	}
	return about
}

// sheetSections are the sections of a safety data sheet by number; Regulation (EU)
// 2020/878, Annex II.
var sheetSections = map[string]string{"1": "identification", "3": "composition", "9": "physical"}

var named = lexicon.Pattern(`(?i)^<<section>>\s`)

// Heading tells what a heading is about, by the lexicon's sections: "composition",
// "physical", "impurities", "allergens", "use", "other"; "" for what is no heading.
func Heading(words *lexicon.Lexicon, text string) string {
	text = strings.TrimSpace(text)
	if len(text) > 110 || len(strings.Fields(text)) > 14 {
		return ""
	}
	number := sectionNumber().FindStringSubmatch(text)
	rest := sectionLetter.ReplaceAllString(text, "")
	if number != nil {
		rest = text[len(number[0]):]
	}
	rest = brackets.ReplaceAllString(strings.TrimRight(rest, ":. "), " ")
	folded := lexicon.Fold(rest)
	if e, ok := words.Exact("section", folded); ok {
		return e.Key
	}
	if about := inTwoLanguages(words, rest); about != "" {
		return about
	}
	if about := partTitle(words, text, folded); about != "" {
		return about
	}
	if number == nil {
		return ""
	}
	if e, ok := words.Prefix("section", folded); ok {
		return e.Key
	}
	if named().MatchString(text) && number[2] == "" {
		if s := sheetSections[number[1]]; s != "" {
			return s
		}
		return "other"
	}
	return ""
}

// sectionLetter is a letter before the heading of a section: "B. Impurities".
var sectionLetter = pattern.New(`^[A-H][.)]\s+`)

// inTwoLanguages tells what a heading is about that says the same in two languages, one of
// which the words know: "Microbiologia / Microbiology".
func inTwoLanguages(words *lexicon.Lexicon, text string) string {
	about := ""
	for _, half := range strings.Split(text, " / ") {
		e, ok := words.Exact("section", lexicon.Fold(half))
		switch {
		case ok && about != "" && e.Key != about:
			return ""
		case ok:
			about = e.Key
		}
	}
	if strings.Count(text, " / ") != 1 || strings.ContainsAny(text, "0123456789%") {
		return ""
	}
	return about
}

// mostTitleWords are more than a title within a paper has.
const mostTitleWords = 12

// partTitle tells what a title within a paper opens, where the paper is several in one: a
// certificate with the declaration of allergens behind it. A sentence is no title.
func partTitle(words *lexicon.Lexicon, text, folded string) string {
	if len(strings.Fields(text)) > mostTitleWords || strings.ContainsAny(text, ":;?!") || strings.HasSuffix(text, ".") {
		return ""
	}
	e, _, ok := words.Find("kind", folded)
	if !ok {
		return ""
	}
	switch e.Key {
	case "allergen-declaration":
		return "allergens"
	case "ifra-certificate":
		return "other"
	}
	return ""
}
