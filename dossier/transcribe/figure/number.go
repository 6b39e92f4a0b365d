package figure

import (
	"strings"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/ingredients/pattern"
)

// Habit is the decimal sign that a paper uses.
type Habit int

// The habits of a paper.
const (
	Unknown Habit = iota
	Point
	Comma
	Mixed
)

// numberAt finds a number at the start of a text. Blanks and apostrophes part
// thousands only in groups of three.
var numberAt = pattern.New(`^\d{1,3}(?:['’ \x{00a0}\x{2009}\x{202f}]\d{3})+(?:[.,]\d+)?|` +
	`^\d+(?:[.,]\d+)*|^[.,]\d+`)

// placesAt finds a number whose decimal places are parted in groups of three, as standards of
// oils print them: "1,472 0".
var placesAt = pattern.New(`^([01][.,]\d{3} \d)(?:$|[^\d.,])`)

// plainNumber finds numbers in running text to learn the habit.
var plainNumber = pattern.New(`(?:^|[^\d.,A-Za-z/-])(\d+(?:[.,]\d+)+)` +
	`(?:$|[^\d.,A-Za-z/-]|[.,]?(?:\s|$)|%)`)

var dateLike = pattern.New(`^\d{1,2}[.]\d{1,2}[.]\d{2,4}$|^\d{2}[.](?:19|20)\d{2}$`)

// sectionLike is the number of a section at the start of a text: "3.2 Mixtures".
var sectionLike = pattern.New(`^\s*\d{1,2}\.\d{1,2}\.?\s+\p{L}`)

// versions are numbers of versions, which have a point whatever the decimal sign, alone or in
// brackets behind a date.
var versions = lexicon.Pattern(`(?i)\b(?:<<version>>)\.?:?\s*\d+[.,]\d+|\d{1,2}\.\d{1,2}\.\d{4}\s*\(\d+[.,]\d+\)`)

// groupedNumber is a number that may hold a thousand, wholeNumber one without a sign.
var (
	groupedNumber = lexicon.Pattern(`^[<>≤≥~=\s]*(\d{1,3})([.,])(\d{3})(?:\s*<<small unit>>)?$`)
	wholeNumber   = lexicon.Pattern(`^[<>≤≥~=\s]*(\d+)(?:\s*<<small unit>>)?$`)
)

// LearnThousands says which decimal sign a paper uses whose only signs stand
// before groups of three: where its other figures are whole numbers below a
// thousand, the sign parts thousands. usual is the decimal sign of the paper's
// language; the sign that parts thousands must be the other one.
func LearnThousands(texts []string, usual Habit) Habit {
	signs := map[string]int{}
	small, large := 0, 0
	for _, t := range texts {
		t = strings.TrimSpace(t)
		if m := groupedNumber().FindStringSubmatch(t); m != nil && m[1] != "0" {
			signs[m[2]]++
		} else if m := wholeNumber().FindStringSubmatch(t); m != nil {
			if len(m[1]) > 3 {
				large++
			} else {
				small++
			}
		}
	}
	switch {
	case large > 0 || small < 2 || len(signs) != 1:
		return Unknown
	case signs["."] >= 2 && usual == Comma:
		return Comma
	case signs[","] >= 2 && usual == Point:
		return Point
	}
	return Unknown
}

// LearnHabit says which decimal sign the texts of a paper use, from the numbers
// that cannot be read in another way.
func LearnHabit(texts []string) Habit {
	point, comma := 0, 0
	for _, t := range texts {
		if sectionLike.MatchString(t) {
			continue
		}
		t = versions().ReplaceAllString(t, " ")
		for _, m := range plainNumber.FindAllStringSubmatch(t, -1) {
			n := m[1]
			if dateLike.MatchString(n) || strings.Count(n, ".")+strings.Count(n, ",") != 1 {
				continue
			}
			i := strings.IndexAny(n, ".,")
			if len(n)-i-1 == 3 && n[:i] != "0" {
				continue // may part thousands
			}
			if n[i] == '.' {
				point++
			} else {
				comma++
			}
		}
	}
	switch {
	case point > 0 && comma > 0:
		if point >= 10*comma {
			return Point
		}
		if comma >= 10*point {
			return Comma
		}
		return Mixed
	case point > 0:
		return Point
	case comma > 0:
		return Comma
	}
	return Unknown
}

// decimal turns a printed number into one with a decimal point. open is true where
// its sign cannot be decided; share says that it is a percentage.
func decimal(printed string, habit Habit, share bool) (value string, open bool, rule string) {
	s := strings.NewReplacer(
		"'", "", "’", "", " ", "", "\u00a0", "", "\u2009", "", "\u202f", "").Replace(printed)
	if len(s) != len(printed) {
		rule = "thousands-parted"
	}
	points, commas := strings.Count(s, "."), strings.Count(s, ",")
	last := strings.LastIndexAny(s, ".,")
	switch {
	case last < 0:
		return s, false, rule
	case last == 0:
		return "0." + s[1:], false, rule
	case points > 0 && commas > 0:
		sign := s[last]
		other := "."
		if sign == '.' {
			other = ","
		}
		whole := strings.ReplaceAll(s[:last], other, "")
		if strings.Count(s, string(sign)) > 1 || strings.ContainsAny(whole, ".,") ||
			!grouped(s[:last], other) {
			return "", true, ""
		}
		return whole + "." + s[last+1:], false, "thousands-parted"
	case points+commas > 1:
		if !grouped(s, string(s[last])) {
			return "", true, ""
		}
		return strings.ReplaceAll(s, string(s[last]), ""), false, "thousands-parted"
	}
	whole, after := s[:last], s[last+1:]
	if len(after) != 3 || len(whole) > 3 || strings.TrimLeft(whole, "0") == "" {
		return whole + "." + after, false, rule
	}
	mine := Point
	if s[last] == ',' {
		mine = Comma
	}
	switch {
	case habit == mine:
		return whole + "." + after, false, "decimal-sign-of-the-paper"
	case share:
		return whole + "." + after, false, "no-thousand-per-cent"
	case habit == Point || habit == Comma:
		return whole + after, false, "decimal-sign-of-the-paper"
	}
	return "", true, ""
}

// grouped says whether a number is parted into groups of three by a sign.
func grouped(s, sign string) bool {
	parts := strings.Split(s, sign)
	for i, p := range parts {
		if i > 0 && len(p) != 3 || i == 0 && (len(p) == 0 || len(p) > 3) {
			return false
		}
	}
	return true
}

// minusBefore is the length of the sign of a negative number at the end of what stands
// before its figures: "ca. -18". A hyphen right behind a word parts it from its figure.
func minusBefore(s string) int {
	word := strings.TrimRight(s, "- ")
	if between := s[len(word):]; strings.HasPrefix(between, " ") || word == "" || word[len(word)-1] == '.' {
		return len(strings.TrimLeft(between, " "))
	}
	return 0
}
