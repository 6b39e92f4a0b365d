package finding

import (
	"fmt"
	"slices"
	"strings"
)

// Severity is the kind of a finding.
type Severity int

// The kinds of finding, the gravest first.
const (
	// Stop: not lawful, or not computable, as it stands.
	Stop Severity = iota
	// Ask: someone must supply or decide something.
	Ask
	// Note: worth knowing.
	Note
)

var severityNames = [...]string{"stop", "ask", "note"}

// String returns stop, ask or note.
func (s Severity) String() string { return severityNames[s] }

// MarshalText writes the severity by name.
func (s Severity) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// Finding is one thing the program has to say about the maker's files.
//
// Code is stable, lower case with hyphens, and names the file in
// testdata/findings that shows it. Message, Fix and Why have no capital at the
// start and no full stop at the end.
type Finding struct {
	Severity Severity `json:"severity"`
	Code     string   `json:"code"`
	Subject  string   `json:"subject"` // what it is about: a substance, a material, a field
	Message  string   `json:"message"` // what is wrong, with the value found and the value allowed
	Fix      string   `json:"fix"`     // one thing to do, or whom to ask for what
	Why      string   `json:"why,omitempty"`
	Sum      []Term   `json:"sum,omitempty"`   // what adds up to a computed value
	Items    []string `json:"items,omitempty"` // the things the message is about, where it is about several

	Pos      Pos      `json:"-"`
	Ask      string   `json:"ask_whom,omitempty"` // supplier, laboratory, assessor: who can settle it
	Unread   bool     `json:"-"`                  // the file could not be read as it stands (exit code 2)
	Variants []string `json:"variants,omitempty"` // which variants it concerns; empty: all or none
	Markets  []string `json:"markets,omitempty"`  // which markets it concerns; empty: all
}

// Text returns the message with the things it is about.
func (f *Finding) Text() string {
	if len(f.Items) == 0 {
		return f.Message
	}
	between := ", "
	if f.ItemsHoldLists() {
		between = "; "
	}
	return f.Message + ": " + strings.Join(f.Items, between)
}

// ItemsHoldLists says whether an item is a list itself, so that each is better
// printed on a line of its own.
func (f *Finding) ItemsHoldLists() bool {
	return slices.ContainsFunc(f.Items, func(item string) bool { return strings.Contains(item, ": ") })
}

// Term is one summand of a computed value, with the place it comes from.
type Term struct {
	Pos  Pos    `json:"-"`
	Text string `json:"text"`
}

// Findingf makes a finding whose message is formatted from format and args.
func Findingf(sev Severity, code string, pos Pos, format string, args ...any) Finding {
	return Finding{Severity: sev, Code: code, Pos: pos, Message: fmt.Sprintf(format, args...)}
}

// WithFix returns f with its fix set.
func (f Finding) WithFix(format string, args ...any) Finding {
	f.Fix = fmt.Sprintf(format, args...)
	return f
}

// WithWhy returns f with its reason set.
func (f Finding) WithWhy(format string, args ...any) Finding {
	f.Why = fmt.Sprintf(format, args...)
	return f
}

// On returns f about the given subject.
func (f Finding) On(subject string) Finding {
	f.Subject = subject
	return f
}

// AskOf returns f with the one who can settle it.
func (f Finding) AskOf(whom string) Finding {
	f.Ask = whom
	return f
}
