package running

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/recipe/raw"
	"gallipot/dossier/transcribe/recipe/terms"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/pattern"
)

// Item is a line of text with what it may be.
type Item struct {
	Row    raw.Row
	Lines  []Line
	head   *terms.Heading
	total  string // figure of a total row, "" for none
	behind string // a sentence behind the total
	isSum  bool
	text   string
	Used   bool
}

// Classify looks at each line of a text on its own.
func (d *Reader) Classify(rows []raw.Row) []Item {
	items := make([]Item, len(rows))
	for i, r := range rows {
		it := Item{Row: r, text: strings.TrimSpace(strings.ReplaceAll(r.Text(), "**", ""))}
		s := BareText(it.text)
		bare := strings.TrimRight(strings.Trim(dose.Plain(s), "#*_= "), ":")
		switch {
		case d.sumLine(&it, bare):
		case len(strings.Fields(bare)) <= 4 && d.Starts("formula variants", "head", lexicon.Fold(bare)) &&
			!strings.ContainsAny(bare, "0123456789"):
			it.head = &terms.Heading{ID: strings.TrimRight(strings.Trim(s, "*_# "), ": "), Variant: "*"}
		default:
			if h, ok := d.PhaseOf(strings.Trim(s, "[]")); ok && !strings.HasPrefix(it.text, "# ") {
				if l, isLine := d.Line(it.text); isLine && l.phase == nil &&
					!d.NamesPhase(lexicon.Fold(l.Name)) && !terms.NamedPhase(s) && !h.After {
					it.Lines = []Line{l}
					break
				}
				it.head = &h
				break
			}
			if forBatch().MatchString(it.text) {
				break // "the recipe of the mist, for 200 g:" names the batch, and no material
			}
			if l, ok := d.Line(it.text); ok {
				it.Lines = []Line{l}
			}
			if several := d.several(s); len(several) > len(it.Lines) {
				it.Lines = several
			}
		}
		items[i] = it
	}
	d.dropLoners(items)
	return items
}

// forBatch is the end of a line that says how much is made.
var forBatch = lexicon.Pattern(`(?i)\s(?:<<batch for>>)\s+(?:\pL+\s+){0,2}\d[\d.,]*\s*(?:kg|gr?|ml|<<litre>>)\s*[:.]?\s*$`)

// sumLine reads "Total 100 %".
func (d *Reader) sumLine(it *Item, s string) bool {
	name, figures := s, ""
	if i := strings.IndexAny(s, "0123456789"); i > 0 {
		name, figures = s[:i], s[i:]
	}
	head, _, labelled := strings.Cut(name, ":") // "Total jar: Pine 1000 g, Rose 1000 g"
	if !d.TotalOf(strings.Trim(name, " :=-~|")) && !(labelled && d.TotalNamed(head)) ||
		d.Is("formula small", "rest", lexicon.Fold(name)) {
		return false
	}
	it.isSum = true
	if a, rest, ok := d.Dose.At(figures); ok && a.Value != "" {
		it.total = strings.TrimSpace(a.Value + " " + a.Unit)
		if strings.HasPrefix(rest, ".") {
			it.behind = strings.TrimSpace(strings.TrimLeft(rest, ". "))
		}
	}
	return true
}

var listSigns = pattern.New(`\s*[,;]\s+|\s+\+\s+|\s*;\s*`)

// several reads a line that lists several materials with their amounts: "water 70
// %, glycerin 5 %, xanthan 0.3 %".
func (d *Reader) several(s string) []Line {
	var phase *terms.Heading
	if i := strings.Index(s, ":"); i > 0 {
		if h, ok := d.PhaseOf(s[:i]); ok {
			phase, s = &h, s[i+1:]
		}
	}
	parts := listSigns.Split(strings.TrimRight(s, " ."), -1)
	if len(parts) < 2 && phase == nil {
		return nil
	}
	var out []Line
	for _, p := range parts {
		l, ok := d.lineBody(strings.TrimSpace(p))
		if !ok || l.bare || l.amount.Unit == "" && l.amount.QS == "" {
			return nil
		}
		out = append(out, l)
	}
	if len(out) > 0 {
		out[0].phase = phase
	}
	return out
}

// dropLoners takes lines back that stand alone in prose, and bare numbers where no
// list has them.
func (d *Reader) dropLoners(items []Item) {
	bare, firm, braced := 0, 0, 0
	for _, it := range items {
		for _, l := range it.Lines {
			switch {
			case l.braced:
				braced++
			case l.bare:
				bare++
			default:
				firm++
			}
		}
	}
	for i := range items {
		if len(items[i].Lines) == 1 && items[i].Lines[0].braced && braced < firm+bare {
			if i == 0 && len(items) > 1 && items[1].Row.Gap {
				items[i].Lines = nil // a title with its batch: "Heather salve (1 kg)"
				continue
			}
			l := &items[i].Lines[0]
			l.Name, l.amount = l.Name+" ("+l.amount.Printed+")", dose.Amount{Doubt: dose.Words}
		}
		if len(items[i].Lines) == 1 && items[i].Lines[0].bare && (bare < 3 || bare < firm) {
			items[i].Lines = nil
		}
	}
	d.dropBatch(items)
	for i := range items {
		if len(items[i].Lines) != 1 {
			continue
		}
		near := false
		for j := max(0, i-4); j <= min(len(items)-1, i+4); j++ {
			near = near || j != i && len(items[j].Lines) > 0
		}
		if !near || Prose(items[i].text) {
			items[i].Lines = nil
		}
	}
}

// dropBatch takes the first line back where it stands apart, is printed in another form than
// all lines and its mass is that of all others together: "Marigold salve, 250 g" above
// "150 g olive oil" is a title. In the form of the lines, half of all may be the water.
func (d *Reader) dropBatch(items []Item) {
	if len(items) < 3 || len(items[0].Lines) != 1 || !items[1].Row.Gap || slices.ContainsFunc(items[1:],
		func(it Item) bool { return len(it.Lines) > 0 && printedForm(it.text) == printedForm(items[0].text) }) {
		return
	}
	var first, sum exact.Num
	for i, it := range items {
		for _, l := range it.Lines {
			n, err := exact.ParseNum(l.amount.Value)
			if err != nil || l.amount.Unit != items[0].Lines[0].amount.Unit || l.amount.Unit == "%" {
				return
			}
			if i == 0 {
				first = n
			} else {
				sum = sum.Add(n)
			}
		}
	}
	if first.Cmp(sum) == 0 {
		items[0].Lines = nil
	}
}

// printedForm is how a line sets name and amount apart: which of them comes first, and the
// sign between them.
func printedForm(text string) string {
	if strings.IndexAny(text, "0123456789") == 0 {
		return "amount first"
	}
	i := strings.LastIndexFunc(text, func(r rune) bool { return strings.ContainsRune(",:(–-=", r) })
	if i < 0 {
		return "name first"
	}
	return "name first" + text[i:i+1]
}

// Prose says whether a text is a sentence.
func Prose(s string) bool {
	words := len(strings.Fields(s))
	return words > 12 && strings.Contains(s, ". ") || words > 8 && strings.HasSuffix(s, ".")
}
