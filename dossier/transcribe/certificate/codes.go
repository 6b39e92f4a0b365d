package certificate

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/desk"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/ingredients/pattern"
)

// Reader reads a fragrance conformity certificate.
type Reader struct {
	*desk.Desk
	Newest int // newest amendment of the fragrance Standards that the tables know

	codeSpans  []span // where the codes stand
	codeValues []cells.Cell
	codePlace  cells.Place
	codeHeads  []codes // categories that stood in a row of their own

	lettersOfFive bool // a category 5A to 5D was read: the classes are those of today
}

var (
	codeToken = pattern.New(`^(\d{1,2})\s?\.?\s?([A-Da-d])?(?:\b|$)`)
	// A date begins like two categories: 01.10.2026. No category has a nought before it.
	dateForm  = pattern.New(`^(?:0\d|\d{1,2}\s?[./-]\s?\d{1,2}\s?[./-]\s?(?:19|20)\d\d\b)`)
	codeRange = lexicon.Pattern(`^\s*(?:-|–|<<to>>)\s*`)
	codeJoint = lexicon.Pattern(`^\s*(?:,|/|&|\+|;|<<and>>)\s*`)
	letterTok = pattern.New(`^([A-D])(?:\b|$)`)
	// Letters that only the classes of the 48th amendment and earlier have; a dot before
	// those that both have, which tells where no category 5 has a letter; and those of
	// category 5, which no old class has.
	oldLetter = pattern.New(`^(?:1|2|3|4|6|8|9|12)\s?\.?\s?[A-D]\b`)
	dotLetter = pattern.New(`^(?:7|10|11)\s?\.\s?[A-D]\b`)
	newLetter = pattern.New(`^5\s?\.?\s?[A-D]\b`)
)

// categories are those of the 49th amendment and later, in order.
var categories = []string{"1", "2", "3", "4", "5A", "5B", "5C", "5D", "6", "7A", "7B", "8", "9", "10A", "10B",
	"11A", "11B", "12"}

// codes are the category codes at the start of a text and what follows them. old
// says that they are classes of the 48th amendment or earlier.
type codes struct {
	list []string
	bare bool // a category whose letter is missing
	old  bool
	rest string
}

// codesIn reads category codes: "IFRA Category 5A", "7A/7B", "5A-5D", "Class 3.A".
// needWord asks for the word before the number.
func (s *Reader) codesIn(t string, needWord bool) (codes, bool) {
	var out codes
	t = strings.TrimSpace(strings.ReplaceAll(t, "\n", " "))
	t, worded := s.afterCategoryWord(t)
	if !worded && needWord || dateForm.MatchString(t) {
		return out, false
	}
	for {
		s.lettersOfFive = s.lettersOfFive || newLetter.MatchString(t)
		if oldLetter.MatchString(t) || dotLetter.MatchString(t) && !s.lettersOfFive {
			out.old = true
		}
		m := codeToken.FindStringSubmatch(t)
		if m == nil {
			if l := letterTok.FindStringSubmatch(t); l != nil && len(out.list) > 0 {
				out.add(digitsOf(out.list[len(out.list)-1]) + l[1])
				t = t[1:]
			} else {
				break
			}
		} else {
			out.add(m[1] + strings.ToUpper(m[2]))
			t = t[len(strings.TrimSpace(m[0])):]
		}
		if r := codeRange().FindString(t); strings.TrimSpace(r) != "" &&
			(codeToken.MatchString(t[len(r):]) || letterTok.MatchString(t[len(r):])) && len(out.list) == 1 {
			if next, ok := out.to(t[len(r):]); ok {
				t = next
				break
			}
		}
		j := codeJoint().FindString(t)
		if strings.TrimSpace(j) == "" || !codeToken.MatchString(t[len(j):]) &&
			!letterTok.MatchString(t[len(j):]) {
			break
		}
		if after := t[len(j):]; needWord && codeToken.MatchString(after) && !isCode(after) {
			break
		}
		t = t[len(j):]
	}
	out.rest = strings.TrimSpace(t)
	return out, len(out.list) > 0
}

func isCode(t string) bool {
	m := codeToken.FindStringSubmatch(t)
	rest := t[len(m[0]):]
	return !strings.HasPrefix(rest, ".") && !strings.HasPrefix(rest, ",") &&
		!strings.HasPrefix(strings.TrimSpace(rest), "%")
}

// afterCategoryWord drops the words before a code: "IFRA", "Category", "Class".
func (s *Reader) afterCategoryWord(t string) (string, bool) {
	worded := false
	for range 3 {
		ws := pieces.Words(t)
		if len(ws) == 0 || ws[0].Start > 3 {
			break
		}
		w := ws[0].Folded
		if _, ok := s.Words.Exact("category", w); !ok && w != "ifra" && w != "qra" {
			break
		}
		worded = worded || w != "ifra"
		t = strings.TrimLeft(t[ws[0].End:], " .:#°º-")
	}
	return t, worded
}

// add adds a code; 11 stands for both of its parts.
func (c *codes) add(code string) {
	if code == "11" {
		c.list = append(c.list, "11A", "11B")
		return
	}
	if !slices.Contains(categories, code) {
		if slices.Contains(categories, code+"A") {
			c.bare = true
		} else {
			c.old = true
		}
	}
	c.list = append(c.list, code)
}

func digitsOf(code string) string { return strings.TrimRight(code, "ABCD") }

// to adds the codes up to the one at the start of a text: "5A-5D", "5A-D".
func (c *codes) to(t string) (string, bool) {
	end := ""
	if m := codeToken.FindStringSubmatch(t); m != nil {
		end, t = m[1]+strings.ToUpper(m[2]), t[len(strings.TrimSpace(m[0])):]
	} else if m := letterTok.FindStringSubmatch(t); m != nil {
		end, t = digitsOf(c.list[0])+m[1], t[1:]
	}
	from, to := slices.Index(categories, c.list[0]), slices.Index(categories, end)
	if from < 0 || to <= from {
		return t, false
	}
	c.list = append(c.list, categories[from+1:to+1]...)
	return t, true
}

func isCategory(code string) bool {
	for _, c := range categories {
		if c == code {
			return true
		}
	}
	return false
}
