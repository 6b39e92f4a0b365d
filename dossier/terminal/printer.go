// Package terminal prints findings, troubles and progress for whoever sits at a terminal.
//
// Start at [Printer].
package terminal

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"strings"

	"gallipot/dossier/store"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Printer is the only place that prints findings and troubles. Voice: no capital at
// the start, no full stop at the end, no blame, the fix last.
type Printer struct {
	Out, Err io.Writer
}

// Trouble prints an error that is not a finding.
func (u Printer) Trouble(err error) {
	what, fix := SayError(err), ""
	var way interface{ Remedy() string }
	var value *exact.ValueError
	switch {
	case errors.As(err, &way):
		fix = way.Remedy()
	case errors.As(err, &value):
		what, fix = value.What, value.Fix
	}
	fmt.Fprintf(u.Err, "gallipot: %s\n", Shown(what))
	if fix != "" {
		fmt.Fprintf(u.Err, "  fix: %s\n", Shown(fix))
	}
}

// SayError words an error that has no words of its own.
func SayError(err error) string {
	var path *fs.PathError
	if errors.As(err, &path) {
		return filepath.ToSlash(path.Path) + ": " + store.Reason(err)
	}
	return err.Error()
}

// Findings prints each finding by the message template, an empty line between
// them.
func (u Printer) Findings(to io.Writer, w *workshop.Workshop, fs []finding.Finding) {
	for i, f := range fs {
		if i > 0 {
			fmt.Fprintln(to)
		}
		var b strings.Builder
		u.finding(&b, w, f)
		_, _ = io.WriteString(to, Shown(b.String())) // a failure is remembered, see heedful
	}
}

func (u Printer) finding(to io.Writer, w *workshop.Workshop, f finding.Finding) {
	place := f.Pos.String()
	if place != "" {
		place += ": "
	}
	s := words.Say(&f, words.Terminal)
	items := []string(nil)
	if s.ItemsHoldLists() {
		items, s.Items = s.Under(), nil
	}
	line := s.Line()
	if s.Subject == f.Pos.File { // the place has named the file
		line = s.Text()
	}
	fmt.Fprintf(to, "%s%s[%s]: %s\n", place, s.Severity, s.Code, line)
	if w != nil {
		if line, caret := w.Excerpt(f.Pos); line != "" {
			number := fmt.Sprint(f.Pos.Line)
			fmt.Fprintf(to, "  %s | %s\n", number, line)
			fmt.Fprintf(to, "  %s | %s\n", strings.Repeat(" ", len(number)), caret)
		}
	}
	for i, item := range items {
		fmt.Fprintf(to, "  %s %s\n", lead("for:", i), item)
	}
	if s.Against != "" {
		fmt.Fprintf(to, "  stop: %s\n", s.Against)
	}
	for i, t := range s.Sum {
		at := t.Pos.String()
		if at != "" {
			at += "  "
		}
		fmt.Fprintf(to, "  %s %s%s\n", lead("sum:", i), at, t.Text)
	}
	if s.Why != "" {
		fmt.Fprintf(to, "  why: %s\n", s.Why)
	}
	if where := concerns(f); where != "" {
		fmt.Fprintf(to, "  in: %s\n", where)
	}
	if s.Fix != "" {
		fmt.Fprintf(to, "  %s: %s\n", s.FixHead(), s.Fix)
	}
}

// lead is what a line of a list begins with: the head on the first, as much room
// on the others.
func lead(head string, i int) string {
	if i > 0 {
		return strings.Repeat(" ", len(head))
	}
	return head
}

// concerns names variants and markets where a finding is not about all of them.
func concerns(f finding.Finding) string {
	parts := []string{}
	if len(f.Variants) > 0 {
		parts = append(parts, strings.Join(f.Variants, ", "))
	}
	if f.Worst != "" {
		parts = append(parts, "figures of "+f.Worst)
	}
	if len(f.Markets) > 0 {
		parts = append(parts, strings.Join(f.Markets, ", ")+" only")
	}
	return strings.Join(parts, "; ")
}

// Shown is what a terminal may get.
func Shown(s string) string { return words.Shown(s) }

func Counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

func Joined(words []string) string { return strings.Join(words, ", ") }
