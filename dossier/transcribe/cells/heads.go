package cells

import (
	"strings"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/ingredients/pattern"
)

// numeric are the roles of columns that promise a number: a head needs one.
var numeric = map[string]bool{"cas": true, "casec": true, "content": true, "limit": true, "result": true,
	"spec": true, "typical": true, "low": true, "high": true, "finished": true, "lot": true}

// figureWithUnit is what no head holds but the name of a dilution: "ppm at 2 %".
var (
	identifier = pattern.New(`\b\d{2,7}-\d{2}-\d\b`)
	dilution   = pattern.New(`\d+(?:[.,]\d+)? ?%`)
	unitTail   = pattern.New(`(?i)\s*[\[(]?\s*(%|ppm|mg/kg|g/kg|mg/l|wt|w/w|m/m|p/p)[^)\]]*[\])]?\s*$`)
	brackets   = pattern.New(`[\[(][^\])]*[\])]`)
	headDigits = pattern.New(`\d`)
	// valueAlone is a text that begins as a value does.
	valueAlone = lexicon.Pattern(`(?i)^\s*(<|>|≤|≥|=|~|≈|<<bound>>)*\s*\d`)
	// valueAtEnd is a text that ends in a value: "Volatile matter (24 h) max 0.5".
	valueAtEnd = lexicon.Pattern(`(?i)(?:(?:\s<<bound>>|[<>≤≥])\s*\d[\d.,]*|\s\d+[.,]\d+)$`)
	unitWord   = pattern.New(`(?i)%|\bppm\b|mg/kg|g/kg|\bw/w\b|\bm/m\b`)
	// signedValue is a value with its sign, which no head has outside a bracket.
	signedValue = pattern.New(`[<>≤≥]\s*\d`)
	codeInHead  = pattern.New(`\b\d{1,2}\s?[A-D]?$`)
)

// boxes are the signs of answers to tick.
const boxes = "☐☑☒✓✔✗✘"

// roleOf tells the role of a column from its head; "" where it is unknown. A line is
// looked at several times, as a head, as the end of a table, as part of a longer head.
func (r *reader) roleOf(head string) string {
	role, known := r.roles[head]
	if !known {
		role = r.findRole(head)
		r.roles[head] = role
	}
	return role
}

func (r *reader) findRole(head string) string {
	head = strings.TrimSpace(strings.ReplaceAll(head, "\n", " "))
	if head == "" {
		return ""
	}
	if r.isProperty(head) || valueAlone().MatchString(head) {
		return ""
	}
	letters := unitWord.ReplaceAllString(dilution.ReplaceAllString(head, ""), "")
	if dilution.MatchString(head) && len(lexicon.Fold(letters)) > 0 &&
		!signedValue.MatchString(brackets.ReplaceAllString(head, "")) &&
		strings.IndexFunc(head, func(r rune) bool { return r >= '1' && r <= '9' }) >= 0 {
		if m := dilution.FindString(head); m != "" && !strings.HasPrefix(m, "100") {
			return "finished"
		}
	}
	folded := lexicon.Fold(head)
	if e, ok := r.words.Prefix("label", folded); ok && e.Key == "batch" && len(folded) > len(e.Word) &&
		headDigits.MatchString(head) && len(folded) < 30 {
		return "lot"
	}
	if e, _, ok := r.words.Find("head", folded); ok && e.Key == "finished" &&
		len(strings.Fields(folded)) > 1 {
		if l, _, ok := r.words.Find("head", strings.TrimSpace(strings.Replace(folded, e.Word, " ", 1))); ok &&
			(l.Key == "limit" || l.Key == "high") {
			return "limit"
		}
		return "finished"
	}
	if role := r.exactRole(head); role != "" {
		return role
	}
	short := brackets.ReplaceAllString(head, " ")
	if role := r.exactRole(short); role != "" {
		return role
	}
	if role := r.exactRole(unitTail.ReplaceAllString(head, "")); role != "" {
		return role
	}
	if t := strings.TrimSpace(unitWord.ReplaceAllString(head, "")); strings.Trim(t, "()[]. ") == "" {
		return "content" // the unit alone
	}
	if t := strings.TrimSpace(unitTail.ReplaceAllString(head, "")); t == "" || strings.Trim(t, "%() ") == "" {
		return "content" // the unit alone
	}
	if unitWord.MatchString(head) { // "Content in the compound (mg/kg)" is no name
		if role := r.roleIn(lexicon.Fold(short), numeric); role != "" {
			return role
		}
	}
	return r.roleIn(lexicon.Fold(short), nil)
}

// isProperty says whether a text is the name of a property or an impurity, which
// may hold the words of a head: "acid value".
func (r *reader) isProperty(text string) bool {
	for _, t := range []string{text, brackets.ReplaceAllString(text, " ")} {
		for _, subject := range []string{"property", "impurity"} {
			if _, ok := r.words.Exact(subject, t); ok {
				return true
			}
		}
	}
	return false
}

func (r *reader) exactRole(head string) string {
	es := r.words.All("head", head)
	for _, e := range es {
		if e.Key == "result" {
			return e.Key
		}
	}
	for _, e := range es {
		if len(es) == 1 || numeric[e.Key] || e.Key == "name" {
			return e.Key
		}
	}
	if len(es) > 0 {
		return es[0].Key
	}
	return ""
}

// roleIn finds a role inside a longer head, of some roles where they are given: the one whose
// word is longest.
func (r *reader) roleIn(folded string, of map[string]bool) string {
	if n := len(strings.Fields(folded)); n > 9 {
		return ""
	}
	for _, e := range r.words.Each("head") {
		if len(e.Word) < 3 || of != nil && !of[e.Key] || !strings.Contains(folded, e.Word) {
			continue
		}
		if i := strings.Index(folded, e.Word); (i == 0 || folded[i-1] == ' ') &&
			(i+len(e.Word) == len(folded) || folded[i+len(e.Word)] == ' ') {
			return e.Key
		}
	}
	return ""
}

// isHead says whether the texts of a row are heads of columns.
func (r *reader) isHead(texts []string) bool {
	if r.acrossHead(texts) || len(texts) > 2 && r.lotHead(texts) {
		return true
	}
	roles, numbers, filled, known := map[string]bool{}, false, 0, 0
	for _, t := range texts {
		if t = strings.TrimSpace(t); t == "" {
			continue
		}
		filled++
		if identifier.MatchString(t) || len(t) > 120 || strings.ContainsAny(t, boxes) || strings.HasSuffix(t, ".") &&
			len(strings.Fields(t)) > 5 || strings.Contains(t, ": ") || valueAtEnd().MatchString(t) {
			return false
		}
		role := r.roleOf(t)
		if role == "category" && codeInHead.MatchString(t) {
			return false
		}
		if headDigits.MatchString(brackets.ReplaceAllString(t, "")) && role != "finished" && role != "lot" &&
			role != "class" && role != "annex" && len(strings.Fields(t)) < 3 {
			return false // a value
		}
		if role != "" {
			known++
			roles[role] = true
			numbers = numbers || numeric[role]
		}
	}
	return filled >= 2 && len(roles) >= 2 && numbers && known*2 >= filled
}

// settleRoles gives columns that share a role the one that they must have: low and
// high beside a head such as "Content" are bounds, a second name is a remark.
func (r *reader) settleRoles(cols []Column) {
	has := func(role string) bool {
		for _, c := range cols {
			if c.Role == role {
				return true
			}
		}
		return false
	}
	for i := range cols {
		c := &cols[i]
		switch {
		case c.Role == "content" && i > 0 && !has("high") && r.endsIn(c.Head, "high") &&
			(cols[i-1].Role == "low" || cols[i-1].Role == "content" && r.endsIn(cols[i-1].Head, "low")):
			c.Role, cols[i-1].Role = "high", "low" // "Content min | max", the first word over both
		case c.Role == "high" && i > 0 && !has("low") && cols[i-1].Role == "content" &&
			r.endsIn(cols[i-1].Head, "low"):
			cols[i-1].Role = "low"
		case c.Role == "limit" && !has("category") && (has("property") || has("name")):
			c.Role = "spec"
		case c.Role == "spec" && has("category"):
			c.Role = "limit"
		case c.Role == "high" && has("category") && !has("low"):
			c.Role = "limit"
		case c.Role == "content" && has("category") && !has("limit"):
			c.Role = "limit"
		case c.Role == "result" && !has("property") && !has("spec") && !has("method"):
			c.Role = "content"
		}
	}
	r.settleTests(cols)
}

// unitAlone says whether a word of a head is a unit and nothing else.
func unitAlone(s string) bool {
	return unitWord.MatchString(s) && strings.Trim(unitWord.ReplaceAllString(s, ""), "()[] ") == ""
}

// endsIn says whether the last word of a head, without its unit, is one of a role.
func (r *reader) endsIn(head, role string) bool {
	words := strings.Fields(brackets.ReplaceAllString(head, " "))
	for len(words) > 0 && unitAlone(words[len(words)-1]) {
		words = words[:len(words)-1]
	}
	if len(words) < 2 {
		return false
	}
	for _, e := range r.words.All("head", words[len(words)-1]) {
		if e.Key == role {
			return true
		}
	}
	return false
}

// blocks gives the first columns of tables that stand side by side under the same
// heads.
func blocks(cols []Column) []int {
	starts := []int{0}
	first := cols[0].Role
	if first == "" || len(cols) < 4 {
		return starts
	}
	for i := 2; i < len(cols); i++ {
		if cols[i].Role == first && lexicon.Fold(cols[i].Head) == lexicon.Fold(cols[0].Head) {
			starts = append(starts, i)
		}
	}
	return starts
}
