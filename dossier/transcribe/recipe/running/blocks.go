package running

import (
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/ingredients/exact"
)

// Block is a run of lines that make one formula.
type Block struct {
	Title []Item
	Items []Item
}

// Blocks parts the lines of a text into formulas. What stands before the first
// line of a formula is its title; what stands behind is given back as rest.
func (d *Reader) Blocks(items []Item) (out []Block) {
	var open *Block
	var between []Item
	for _, it := range items {
		starts := len(it.Lines) > 0 || it.head != nil || it.isSum
		switch {
		case open == nil && len(it.Lines) == 0 && it.head == nil:
			between = append(between, it)
		case open == nil:
			out = append(out, Block{Title: between, Items: []Item{it}})
			open, between = &out[len(out)-1], nil
		case !starts:
			between = append(between, it)
		default:
			if d.newFormula(open, between, it) {
				out = append(out, Block{Items: nil})
				open = &out[len(out)-1]
				prev := &out[len(out)-2]
				n := titleStart(between)
				prev.Items = append(prev.Items, between[:n]...)
				open.Title = between[n:]
			} else {
				open.Items = append(open.Items, between...)
			}
			open.Items = append(open.Items, it)
			between = nil
		}
	}
	if open != nil {
		open.Items = append(open.Items, between...)
	} else if len(between) > 0 {
		out = append(out, Block{Title: between})
	}
	return out
}

// titleStart is where the title of the next formula begins in the lines between
// two: at the last one or two lines after a gap.
func titleStart(between []Item) int {
	n := len(between) - 1
	for n > 0 && !between[n].Row.Gap && len(between)-n < 3 {
		n--
	}
	return max(n, 0)
}

// newFormula says whether a line begins another formula: a title stands before it
// and the formula before it is whole.
func (d *Reader) newFormula(b *Block, between []Item, it Item) bool {
	if len(between) == 0 {
		return false
	}
	title := between[len(between)-1]
	marked := false
	for _, t := range between {
		s := strings.TrimSpace(t.text)
		f := lexicon.Fold(s)
		if strings.HasPrefix(s, "# ") || strings.HasPrefix(s, "## ") || d.VersionOf(s) != "" &&
			len(strings.Fields(s)) <= 8 || d.TypeOf(f) != "" && len(strings.Fields(s)) <= 8 &&
			!strings.HasSuffix(s, ".") {
			marked, title = true, t
		}
	}
	n, whole := d.whole(b)
	if n < 2 {
		return false
	}
	short := len(strings.Fields(title.text)) <= 8 && !strings.HasSuffix(title.text, ".")
	restarts := it.head != nil && b.hasPhase(it.head.ID)
	for _, l := range it.Lines {
		restarts = restarts || l.phase != nil && b.hasPhase(l.phase.ID)
	}
	return marked || short && (title.Row.Gap || it.Row.Gap) && (whole || restarts)
}

// hasPhase says whether a phase was begun in the block.
func (b *Block) hasPhase(id string) bool {
	for _, it := range b.Items {
		if it.head != nil && it.head.ID == id && id != "" {
			return true
		}
		for _, l := range it.Lines {
			if l.phase != nil && l.phase.ID == id {
				return true
			}
		}
	}
	return false
}

// whole says how many lines a block has and whether they are a whole formula: a
// rest, a total, or 100 %.
func (d *Reader) whole(b *Block) (n int, whole bool) {
	var sum exact.Num
	for _, it := range b.Items {
		whole = whole || it.isSum
		for _, l := range it.Lines {
			n++
			whole = whole || l.amount.QS == dose.To100
			if l.amount.Unit == "%" || l.amount.Unit == "" {
				sum = sum.Add(figure.Sum(l.amount.Value))
			}
		}
	}
	return n, whole || figure.Near(sum, exact.Int(100), exact.Int(1))
}
