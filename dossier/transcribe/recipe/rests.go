package recipe

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/lexicon"
)

// rests decides what each q.s. is.
func (d *doc) rests(p *Product) {
	var open, rest []*Line
	for _, l := range p.Lines() {
		switch {
		case !l.Counted() || l.QS == nil:
		case l.open:
			open = append(open, l)
		case *l.QS == string(dose.To100):
			rest = append(rest, l)
		}
	}
	if len(open) > 0 {
		d.openRests(p, open, &rest)
	}
	if len(rest) > 1 && !sameVariants(rest) {
		p.say("two-rests", "names", listed(namesOf(rest)))
		for _, l := range rest {
			l.Ask = say("line-two-rests").text()
		}
	}
	if len(rest) == 1 {
		var others []*Line
		for _, l := range p.Lines() {
			if l.Counted() && l.QS != nil && l != rest[0] {
				others = append(others, l)
			}
		}
		if len(others) > 0 {
			p.say("several-qs", "names", listed(namesOf(append([]*Line{rest[0]}, others...))), "rest",
				rest[0].Name)
		}
	}
}

// sameVariants says whether rests belong to different variants.
func sameVariants(rest []*Line) bool {
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
func (d *doc) openRests(p *Product, open []*Line, rest *[]*Line) {
	full := false
	if p.Basis == "percent" || p.Basis == "parts" {
		full = !p.fixed(nil).Less(num("99.95"))
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
			l.QS = text(string(dose.To100))
			*rest = append(*rest, l)
		case d.isAdjuster(l):
			l.QS = text(string(dose.ToPH))
			l.Ask = say("line-to-ph", "about", aboutText(l)).text()
		default:
			l.Ask = say("line-open-rest").text()
			p.say("open-qs", "name", l.Name)
		}
	}
}

func (d *doc) isWater(l *Line) bool {
	for _, s := range []string{l.Name, textOf(l.INCI)} {
		f := lexicon.Fold(headBraces.ReplaceAllString(s, " "))
		if d.is("formula word", "water", f) || d.starts("formula word", "water", f) ||
			strings.HasSuffix(f, " water") || strings.HasSuffix(f, "wasser") {
			return true
		}
	}
	return false
}

func (d *doc) isAdjuster(l *Line) bool {
	f := lexicon.Fold(l.Name + " " + textOf(l.INCI))
	return d.holds("formula word", "adjuster", f)
}

func namesOf(ls []*Line) []string {
	var out []string
	for _, l := range ls {
		if !slices.Contains(out, l.Name) {
			out = append(out, l.Name)
		}
	}
	return out
}

func (p *Product) hasRest() bool {
	return slices.ContainsFunc(p.Lines(), func(l *Line) bool {
		return l.Counted() && l.QS != nil &&
			*l.QS == string(dose.To100)
	})
}
