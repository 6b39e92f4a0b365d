package checks

import (
	"slices"
	"strconv"
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/recipe/terms"
)

// rests decides what each q.s. is.
func (d *checker) rests(p *formulation.Product) {
	var open, rest []*formulation.Line
	for _, l := range p.Lines() {
		switch {
		case !l.Counted() || l.QS == nil:
		case l.Open:
			open = append(open, l)
		case *l.QS == string(dose.To100):
			rest = append(rest, l)
		}
	}
	if len(open) > 0 {
		d.openRests(p, open, &rest)
	}
	if len(rest) > 1 && !sameVariants(rest) {
		p.Say("two-rests", "names", listed(namesOf(rest)))
		for _, l := range rest {
			l.Ask = formulation.Sentence("line-two-rests")
		}
	}
	if len(rest) == 1 {
		var others []*formulation.Line
		for _, l := range p.Lines() {
			if l.Counted() && l.QS != nil && l != rest[0] {
				others = append(others, l)
			}
		}
		if len(others) > 0 {
			all := listed(namesOf(append([]*formulation.Line{rest[0]}, others...)))
			p.Say("several-qs", "names", all, "rest", rest[0].Name)
		}
	}
}

// sameVariants says whether rests belong to different variants.
func sameVariants(rest []*formulation.Line) bool {
	seen := map[string]bool{}
	for _, l := range rest {
		if len(l.Variants) == 0 {
			return false
		}
		for _, v := range l.Variants {
			if seen[v] {
				return false
			}
			seen[v] = true
		}
	}
	return true
}

// openRests decides the bare q.s. lines: one may be the rest where the others
// leave room; acids and bases go to a pH.
func (d *checker) openRests(p *formulation.Product, open []*formulation.Line, rest *[]*formulation.Line) {
	full := false
	if p.Basis == "percent" || p.Basis == "parts" {
		full = !p.Fixed(nil).Less(figure.Sum("99.95"))
	}
	candidate := -1
	if len(*rest) == 0 && !full {
		for i, l := range open {
			if d.isWater(l) {
				if candidate >= 0 {
					candidate = -2
					break
				}
				candidate = i
			}
		}
		if candidate == -1 && len(open) == 1 && !d.isAdjuster(open[0]) && d.slotOf(open[0]) == "" {
			candidate = 0
		}
	}
	for i, l := range open {
		switch {
		case i == candidate:
			l.QS = formulation.Value(string(dose.To100))
			*rest = append(*rest, l)
		case d.isAdjuster(l):
			l.QS = formulation.Value(string(dose.ToPH))
			l.Ask = formulation.Sentence("line-to-ph", "about", formulation.AboutText(l))
		default:
			l.Ask = formulation.Sentence("line-open-rest")
			p.Say("open-qs", "name", l.Name)
		}
	}
}

// endsWater says whether a name ends with the word for water: "rose water",
// "Rosenwasser".
func (d *checker) endsWater(folded string) bool {
	return slices.ContainsFunc(d.Words.Each("formula small"), func(e lexicon.Entry) bool {
		return e.Key == "water-end" && strings.HasSuffix(folded, " "+e.Word) ||
			e.Key == "water-joined" && strings.HasSuffix(folded, e.Word)
	})
}

// isWater says whether a line is water by its name or INCI name.
func (d *checker) isWater(l *formulation.Line) bool {
	for _, s := range []string{l.Name, formulation.ValueOf(l.INCI)} {
		f := lexicon.Fold(terms.WithoutBraces(s))
		if d.Is("formula word", "water", f) || d.Starts("formula word", "water", f) ||
			d.endsWater(f) {
			return true
		}
	}
	return false
}

func (d *checker) isAdjuster(l *formulation.Line) bool {
	f := lexicon.Fold(l.Name + " " + formulation.ValueOf(l.INCI))
	return d.Holds("formula word", "adjuster", f)
}

func namesOf(ls []*formulation.Line) []string {
	var out []string
	for _, l := range ls {
		if !slices.Contains(out, l.Name) {
			out = append(out, l.Name)
		}
	}
	return out
}

// listed joins at most so many names.
func listed(names []string) string {
	const most = 12
	if len(names) > most {
		return strings.Join(names[:most], ", ") + formulation.Sentence("and-more", "count",
			strconv.Itoa(len(names)-most))
	}
	return strings.Join(names, ", ")
}
