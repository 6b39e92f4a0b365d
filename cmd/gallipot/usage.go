package main

import (
	"errors"
	"fmt"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/source"
	"strings"
)

// Exit codes.
const (
	exitClean      = 0 // no finding of kind stop
	exitStop       = 1 // at least one stop
	exitUnreadable = 2 // the files or the command line cannot be read, or the result not be written
)

// usageError is a mistake on the command line, with the way out.
type usageError struct{ what, fix string }

func (e *usageError) Error() string { return e.what }

// Remedy is the one thing to do.
func (e *usageError) Remedy() string { return e.fix }

func asUsage(flag string, err error) error {
	var v *exact.ValueError
	if errors.As(err, &v) {
		return &usageError{flag + ": " + v.What, v.Fix}
	}
	return &usageError{flag + ": " + err.Error(), ""}
}

func unknown(kind, name string, known []string) error {
	fix := "known: " + strings.Join(known, ", ")
	switch {
	case len(known) == 0:
		fix = "there is none yet"
	case len(known) > mostListed:
		fix = "check the spelling, or look it up by its CAS number"
	}
	if near := source.Nearest(name, known); near != "" {
		fix = "did you mean " + near + "? " + fix
	}
	return &usageError{fmt.Sprintf("no %s is called %q", kind, name), fix}
}

// mostListed is how many names a message lists at most.
const mostListed = 30
