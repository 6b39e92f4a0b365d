package main

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

// ui is the only place that prints findings and troubles. Voice: no capital at
// the start, no full stop at the end, no blame, the fix last.
type ui struct {
	out, errout io.Writer
}

// trouble prints an error that is not a finding.
func (u ui) trouble(err error) {
	what, fix := sayError(err), ""
	var usage *usageError
	var value *exact.ValueError
	switch {
	case errors.As(err, &usage):
		fix = usage.fix
	case errors.As(err, &value):
		what, fix = value.What, value.Fix
	}
	fmt.Fprintf(u.errout, "gallipot: %s\n", shown(what))
	if fix != "" {
		fmt.Fprintf(u.errout, "  fix: %s\n", shown(fix))
	}
}

// sayError words an error that has no words of its own.
func sayError(err error) string {
	var path *fs.PathError
	if errors.As(err, &path) {
		return filepath.ToSlash(path.Path) + ": " + store.Reason(err)
	}
	return err.Error()
}

// findings prints each finding by the message template, an empty line between
// them.
func (u ui) findings(to io.Writer, w *workshop.Workshop, fs []finding.Finding) {
	for i, f := range fs {
		if i > 0 {
			fmt.Fprintln(to)
		}
		var b strings.Builder
		u.finding(&b, w, f)
		_, _ = io.WriteString(to, shown(b.String())) // a failure is remembered, see heedful
	}
}

func (u ui) finding(to io.Writer, w *workshop.Workshop, f finding.Finding) {
	place := f.Pos.String()
	if place != "" {
		place += ": "
	}
	s := words.Say(&f, words.Terminal)
	items := []string(nil)
	if s.ItemsHoldLists() {
		items, s.Items = s.Items, nil
	}
	fmt.Fprintf(to, "%s%s[%s]: %s\n", place, s.Severity, s.Code, s.Line())
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

// heedful remembers that something could not be printed: what is cut off must
// not pass for the whole.
type heedful struct {
	to  io.Writer
	err error
}

// Write prints p; after a failure nothing more.
func (h *heedful) Write(p []byte) (int, error) {
	if h.err != nil {
		return 0, h.err
	}
	n, err := h.to.Write(p)
	h.err = err
	return n, err
}

// cannotPrint words why the output could not be written.
func cannotPrint(err error) error {
	return &usageError{"what is printed could not be written to its end: " + store.Reason(err), "make room where it goes, and run this again"}
}

// shown is what a terminal may get.
func shown(s string) string { return words.Shown(s) }

func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

func joined(words []string) string { return strings.Join(words, ", ") }
