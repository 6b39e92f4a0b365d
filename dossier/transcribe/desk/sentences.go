package desk

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
)

// leastBroken is how many letters a line has at least that breaks a sentence; shorter ones
// are rows of a list.
const leastBroken = 45

// joinSentences joins lines of running text that carry one sentence on: the first ends
// without a sign, the next begins small or within a bracket. What stands on the second line
// is told with the place of the first.
func joinSentences(items []cells.Item, words *lexicon.Lexicon) []cells.Item {
	var out []cells.Item
	for _, it := range items {
		if n := len(out); n > 0 && it.Row != nil && out[n-1].Row != nil && goesOn(out[n-1].Row, it.Row, words) {
			joined := *out[n-1].Row
			cell := joined.Cells[0]
			cell.Text = strings.TrimSpace(cell.Text) + " " + strings.TrimSpace(it.Row.Cells[0].Text)
			joined.Cells = []cells.Cell{cell}
			joined.Y = it.Row.Y
			joined.Place.Line = it.Row.Place.Line // of its end, so that a third line is next to it
			out[n-1].Row = &joined
			continue
		}
		out = append(out, it)
	}
	return out
}

// goesOn says whether a line of text carries the sentence of the line above it on.
func goesOn(above, below *cells.Row, words *lexicon.Lexicon) bool {
	if len(above.Cells) != 1 || len(below.Cells) != 1 || above.Grid != 0 || below.Grid != 0 ||
		above.Quote != below.Quote || above.Hidden || below.Hidden || above.Page != below.Page ||
		above.Sheet != below.Sheet || above.Where != below.Where {
		return false
	}
	if above.Size == 0 && below.Line-above.Line > 1 ||
		above.Size > 0 && (below.Y-above.Y > 1.7*above.Size || below.Y <= above.Y) {
		return false
	}
	a, b := strings.TrimSpace(above.Cells[0].Text), strings.TrimSpace(below.Cells[0].Text)
	if pieces.Unlisted(b) != b { // "(f) Flash point" under "(e) Boiling point"
		return false
	}
	if utf8.RuneCountInString(a) < leastBroken || strings.ContainsAny(a[len(a)-1:], ".:;!?") {
		return false
	}
	first, _ := utf8.DecodeRuneInString(b)
	if unicode.IsDigit(first) { // "means below" over "0.0005 %"
		e, ok := words.Exact("sign", a[strings.LastIndexByte(a, ' ')+1:])
		return ok && e.Key != "to" && e.Key != "from"
	}
	return unicode.IsLower(first) || first == '(' || strings.Count(a, "(") > strings.Count(a, ")")
}
