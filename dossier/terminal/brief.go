package terminal

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// Brief prints a line for each finding: kind, code, place and message, in columns.
func (u Printer) Brief(to io.Writer, fs []finding.Finding) {
	code, place := 0, 0
	for _, f := range fs {
		code, place = max(code, len(f.Code)), max(place, utf8.RuneCountInString(f.Pos.String()))
	}
	fs = slices.Clone(fs)
	slices.SortStableFunc(fs, func(a, b finding.Finding) int { return int(a.Severity) - int(b.Severity) })
	for i := range fs {
		s := words.Say(&fs[i], words.Terminal)
		line := strings.Join(strings.Fields(s.Line()), " ")
		if where := concerns(fs[i]); where != "" {
			line += " (" + where + ")"
		}
		fmt.Fprintln(to,
			strings.TrimRight(Shown(fmt.Sprintf("%-7s  %-*s  %-*s  %s", s.Severity, code, s.Code, place, fs[i].Pos,
				line)), " "))
	}
}

// mostNext is how many things to do the head of a check names, and from how many findings
// on it has one.
const mostNext = 3

// Next prints the three things to do first, where there is more to do than that.
func (u Printer) Next(to io.Writer, fs []finding.Finding) {
	todo := finding.Count(fs)
	if todo.Stop+todo.Ask <= mostNext {
		return
	}
	fmt.Fprintf(to, "NEXT: what to do first\n\n")
	for i, f := range words.Next(fs, mostNext) {
		s := words.Say(&f, words.Terminal)
		fmt.Fprintf(to, "  %d  %s\n", i+1, Shown(words.Joined(": ", s.Subject, s.Fix)))
		fmt.Fprintf(to, "     %s\n", Shown(words.Joined(", ", s.Severity.String()+" "+s.Code, f.Pos.String())))
	}
	fmt.Fprintln(to)
}

// fewestTogether is from how many products on what they share is said once.
const fewestTogether = 3

// together says once what several products have alike, each in its own file: the first
// finding speaks for all and names their products.
func together(fs []finding.Finding) []finding.Finding {
	alike := map[string][]int{}
	keys := make([]string, len(fs))
	for i := range fs {
		if strings.HasPrefix(fs[i].Pos.File, "products/") && len(fs[i].Variants) == 0 && len(fs[i].Sum) == 0 {
			s := words.Say(&fs[i], words.Terminal)
			keys[i] = strings.Join([]string{s.Severity.String(), s.Code, s.Text(),
				strings.Join(fs[i].Markets, ",")}, "\x00")
			alike[keys[i]] = append(alike[keys[i]], i)
		}
	}
	var out []finding.Finding
	for i, f := range fs {
		group := alike[keys[i]]
		switch {
		case keys[i] == "" || len(group) < fewestTogether:
			out = append(out, f)
		case group[0] == i:
			for _, j := range group {
				f.Variants = append(slices.Clip(f.Variants), workshop.IDOfFile(fs[j].Pos.File))
			}
			f.Subject = Counted(len(group), "product")
			out = append(out, f)
		}
	}
	return out
}
