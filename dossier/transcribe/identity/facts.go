package identity

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/desk"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
	"gallipot/ingredients/pattern"
)

// facts reads what a paper says of itself.
type facts struct {
	*desk.Desk
	dates dateReader
}

func (s *facts) fact(l desk.Label, value string) *reading.Fact {
	return &reading.Fact{Printed: l.Value, Value: value, Place: l.Place}
}

func firstCell(v string) string {
	if first, _, _ := strings.Cut(v, "\n"); strings.Count(first, "(") > strings.Count(first, ")") {
		v = strings.ReplaceAll(v, "\n", " ") // a bracket over two lines
	}
	v, _, _ = strings.Cut(v, "\n")
	v, _, _ = strings.Cut(v, "; ")
	return strings.Trim(v, " ;,")
}

// withoutCode parts a code in brackets from the end of a name: "Fell Wax (code FW-1)".
func (s *facts) withoutCode(v string) (name, code string) {
	i := strings.LastIndexByte(v, '(')
	if i <= 0 {
		return v, ""
	}
	if ls := s.LabelsIn(v[i+1:]); len(ls) > 0 && ls[0].Key == "code" {
		code = codeIn(ls[0].Value, true)
	}
	if m := formulaNumber().FindStringSubmatch(v[i+1:]); code == "" && m != nil {
		code = codeIn(m[1], true)
	}
	if code == "" {
		return v, ""
	}
	return strings.TrimSpace(v[:i]), code
}

// formulaNumber is the number of a formula in brackets behind a name.
var formulaNumber = lexicon.Pattern(`(?i)^(?:<<formula word>>)\s+(\S*\d\S*)\)\s*$`)

// headOrFoot says whether a label stands in the head or foot of a word-processor
// file's pages.
func (s *facts) headOrFoot(l desk.Label) bool {
	return l.Row != nil && (l.Row.Sheet == "header" || l.Row.Sheet == "footer") ||
		s.File.Form == paper.Document
}

// nameLike says whether a text can be the name of a material.
func (s *facts) nameLike(v string) bool {
	v = firstCell(v)
	if len(v) < 2 || len(strings.Fields(v)) > 12 || strings.HasSuffix(v, ".") && len(strings.Fields(v)) > 6 {
		return false
	}
	if pieces.HasCAS(v) || len(s.dates.find(v)) > 0 && len(strings.Fields(v)) < 3 {
		return false
	}
	_, isHead := s.Words.Exact("label", v)
	return !isHead && !numberLabel().MatchString(v)
}

// numberLabel is the label of a number of whatever kind: "A.R. No."
var numberLabel = lexicon.Pattern(`(?i)\s(?:<<number>>|no|nr|n°)\.?\s*:?$`)

var (
	codeLike    = pattern.New(`^[A-Za-z0-9][A-Za-z0-9./_-]*(?: ?[A-Za-z0-9./_-]*\d[A-Za-z0-9./_-]*)?`)
	versionLike = pattern.New(`^(?:[nN][o°º.]*\s*)?([vV]?\.?\s?\d{1,3}(?:[.,]\d{1,3}){0,2}` +
		`[a-z]?|[A-Z]\d{0,2})(?:\s|$|[,;.()/-])`)
)

// codeIn takes an article code or a lot from the start of a text: it holds a digit,
// or is all in capitals.
func codeIn(v string, sign bool) string {
	v = strings.TrimLeft(v, " .:#°º")
	v = firstCell(v)
	m := codeLike.FindString(v)
	m = strings.TrimRight(m, ".,;- ")
	if m == "" || len(m) > 30 {
		return ""
	}
	if !strings.ContainsAny(m, "0123456789") {
		first := pieces.FirstWord(v)
		if sign && len(first) > 1 && strings.ToUpper(first) == first && len(strings.Fields(v)) == 1 {
			return first
		}
		return ""
	}
	if parts := strings.Fields(m); len(parts) == 2 && (strings.ContainsAny(parts[0], "0123456789") && !sign ||
		strings.ToUpper(parts[0]) != parts[0]) {
		m = parts[0]
		if !strings.ContainsAny(m, "0123456789") {
			return ""
		}
	}
	if pieces.HasCAS(m) {
		return ""
	}
	return m
}

// headFootRows are the first and last rows of the paper, and the heads and feet of
// pages.
func (s *facts) headFootRows() []*cells.Row {
	var rows []*cells.Row
	for _, it := range s.Items {
		if it.Row != nil && it.Row.Quote == 0 && !it.Row.Hidden {
			rows = append(rows, it.Row)
		}
	}
	var edges []*cells.Row // heads and feet of the pages, where the file keeps them apart
	for _, r := range rows {
		if r.Sheet == "header" || r.Sheet == "footer" {
			edges = append(edges, r)
		}
	}
	for _, r := range edges {
		if s.File.Form == paper.Document && len(s.dates.find(r.Text())) > 0 {
			return edges
		}
	}
	if len(rows) <= 16 {
		return rows
	}
	return append(slices.Clone(rows[:10]), rows[len(rows)-4:]...)
}

// hasSignedLabel says whether a text holds a label with its colon.
func (s *facts) hasSignedLabel(t string) bool {
	return slices.ContainsFunc(s.LabelsIn(t), func(l desk.Label) bool { return l.Sign })
}
