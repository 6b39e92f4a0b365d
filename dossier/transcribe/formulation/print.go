package formulation

import (
	"fmt"
	"gallipot/dossier/transcribe/phrases"
	"io"
	"strings"
	"unicode/utf8"
)

// Print shows a reading to a person: each product with its lines and places, then
// what is to be minded and decided.
func Print(to io.Writer, r *Reading) error {
	var b strings.Builder
	for i := range r.Products {
		p := &r.Products[i]
		if i > 0 {
			b.WriteByte('\n')
		}
		printProduct(&b, p)
	}
	printList(&b, phrases.Formulas().Say("not-products"), asides(r.NotProducts))
	printList(&b, phrases.Formulas().Say("older-versions"), asides(r.Older))
	var left []string
	for _, p := range r.NotUnderstood {
		left = append(left, p.Where+": "+p.Text)
	}
	printList(&b, phrases.Formulas().Say("left-over"), left)
	printList(&b, "mind", r.Warnings)
	printList(&b, "decide", r.Asks)
	_, err := io.WriteString(to, b.String())
	return err
}

func asides(list []Aside) []string {
	var out []string
	for _, a := range list {
		out = append(out, a.Where+": "+a.Why)
		for _, t := range a.Text {
			out = append(out, "  "+t)
		}
	}
	return out
}

func printProduct(b *strings.Builder, p *Product) {
	head := p.Name
	if p.Version != "" {
		head += ", version " + p.Version
	}
	fmt.Fprintf(b, "%s (%s)\n", head, p.Basis)
	wide, amounts := 0, 0
	for _, l := range p.Lines() {
		wide = max(wide, utf8.RuneCountInString(l.Name))
		amounts = max(amounts, utf8.RuneCountInString(shownAmount(l)))
	}
	for _, ph := range p.Phases {
		title := "phase " + ph.ID
		if ph.Name != nil {
			title += ", " + *ph.Name
		}
		if ph.HeatC != "" {
			title += ", " + ph.HeatC + " °C"
		}
		fmt.Fprintf(b, "  %s\n", title)
		for i := range ph.Lines {
			l := &ph.Lines[i]
			mark := " "
			if l.Ask != "" || l.Hidden {
				mark = "?"
			}
			fmt.Fprintf(b, "  %s %s  %s  %s\n", mark, padded(l.Name, wide), padded(shownAmount(l),
				amounts), l.Where)
		}
	}
	printList(b, "mind", p.Warnings)
	printList(b, "decide", p.Asks)
	printList(b, "steps", p.Steps)
	printList(b, phrases.Formulas().Say("also-there"), p.Notes)
	printList(b, phrases.Formulas().Say("columns-left"), p.LeftOut)
}

func padded(s string, wide int) string {
	return s + strings.Repeat(" ", max(0, wide-utf8.RuneCountInString(s)))
}

// shownAmount is an amount as a person reads it.
func shownAmount(l *Line) string {
	unit := ValueOf(l.Unit)
	s := ""
	switch {
	case l.QS != nil && *l.QS == "to-100" && l.ToMass != "":
		s = "to " + l.ToMass
	case l.QS != nil && *l.QS == "to-100":
		s = phrases.Formulas().Say("to-hundred")
	case l.QS != nil && *l.QS == "to-ph":
		s = phrases.Formulas().Say("to-the-ph")
	case l.QS != nil:
		s = phrases.Formulas().Say("by-need")
	case l.Low != nil && l.High != nil:
		s = *l.Low + "-" + *l.High + " " + unit
	case l.High != nil:
		s = "up to " + *l.High + " " + unit
	case l.Low != nil:
		s = "from " + *l.Low + " " + unit
	case l.Amount != nil:
		s = *l.Amount + " " + unit
	default:
		s = "none"
	}
	if len(l.Variants) > 0 {
		s += " in " + strings.Join(l.Variants, ", ")
	}
	switch {
	case l.Struck:
		s += phrases.Formulas().Say("crossed-out")
	case l.After100:
		s += phrases.Formulas().Say("on-top")
	case l.Hidden:
		s += ", hidden"
	}
	return strings.TrimSpace(s)
}

func printList(b *strings.Builder, head string, items []string) {
	if len(items) == 0 {
		return
	}
	fmt.Fprintf(b, "  %s:\n", head)
	for _, s := range items {
		fmt.Fprintf(b, "    %s\n", s)
	}
}
