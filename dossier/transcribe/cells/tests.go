package cells

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/ingredients/pattern"
)

// Columns of a table of results that stands across: each row is a lot and each column a
// test, role "test", with the lots under role "batch". Where each row is a test, columns
// whose heads are numbers of lots have the role "lot".

var (
	// atDegrees is the condition of a test in its head: "20 °C", "20/4 °C".
	atDegrees = lexicon.Pattern(`(?i),?(?:\s+<<at>>|@)?\s*\d{1,2}(?:\s?/\s?\d{1,2})?\s?°\s?C?`)
	// lotCode is a number of a lot that stands alone as a head: letters, then figures.
	lotCode = pattern.New(`^[A-Z]{1,6}[ /.-]?\d[\dA-Z/.-]*$|^\d{2,4}[A-Z][\dA-Z/.-]*$|^\d{4,8}[/-]\d{1,4}$`)
)

// isTest says whether a head is the name of a test with its unit and condition.
func (r *reader) isTest(head string) bool {
	head = strings.TrimSpace(strings.ReplaceAll(head, "\n", " "))
	if head == "" || len(head) > 60 {
		return false
	}
	bare := strings.TrimSpace(atDegrees().ReplaceAllString(brackets.ReplaceAllString(head, " "), " "))
	if comma := strings.LastIndex(bare, ","); comma > 0 && r.isProperty(bare[:comma]) {
		return true
	}
	return r.isProperty(bare) || r.isProperty(strings.TrimSpace(unitTail.ReplaceAllString(bare, "")))
}

func (r *reader) isBatch(head string) bool {
	return slices.ContainsFunc(r.words.All("label", strings.TrimRight(head, " .:")),
		func(e lexicon.Entry) bool { return e.Key == "batch" })
}

// acrossHead says whether heads are a lot and tests, at least two of them.
func (r *reader) acrossHead(heads []string) bool {
	tests, batches := 0, 0
	for _, h := range heads {
		switch {
		case r.isTest(h):
			tests++
		case r.isBatch(h):
			batches++
		}
	}
	return tests >= 2 && batches == 1
}

// lotHead says whether heads are tests, what is wanted of them, and numbers of lots.
func (r *reader) lotHead(heads []string) bool {
	lots, tests := 0, 0
	for i, h := range heads {
		h = strings.TrimSpace(h)
		role := ""
		if h != "" {
			role = r.roleOf(h)
		}
		switch {
		case h == "" && i > 0, role == "property" || role == "name" && i == 0:
			tests++
		case h == "", role == "unit", role == "spec", role == "method", role == "low", role == "high":
		case lotCode.MatchString(h):
			lots++
		default:
			return false
		}
	}
	return lots >= 2 && tests == 1 && r.roleOf(strings.TrimSpace(heads[0])) == "property"
}

// settleTests gives the columns of such tables their roles.
func (r *reader) settleTests(cols []Column) {
	heads := make([]string, len(cols))
	for i, c := range cols {
		heads[i] = c.Head
	}
	switch {
	case r.acrossHead(heads):
		for i := range cols {
			cols[i].Role = ""
			switch {
			case r.isTest(cols[i].Head):
				cols[i].Role = "test"
			case r.isBatch(cols[i].Head):
				cols[i].Role = "batch"
			}
		}
	case r.lotHead(heads):
		for i := range cols {
			if lotCode.MatchString(strings.TrimSpace(cols[i].Head)) {
				cols[i].Role = "lot"
			}
		}
	}
}
