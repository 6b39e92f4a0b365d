package finding

import (
	"slices"

	"gallipot/ingredients/exact"
)

// Severity is the kind of a finding.
type Severity int8

// The kinds of finding, the gravest first.
const (
	// Stop: against a law, a certificate or a fragrance Standard, or not computable
	// as it stands; the table of wordings says which.
	Stop Severity = iota
	// Ask: someone must supply or decide something.
	Ask
	// Note: worth knowing.
	Note
	// Decided: an ask that a person answerable has settled in writing.
	Decided
)

var severityNames = [...]string{"stop", "ask", "note", "decided"}

// String returns stop, ask, note or decided.
func (s Severity) String() string { return severityNames[s] }

// MarshalText writes the severity by name.
func (s Severity) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// Finding is one thing the program has to say about the maker's files: a code and
// named values. Its words stand in the table of wordings by the code, and by the
// form where one code says several things; sentences are made when it is printed.
//
// Code is stable, lower case with hyphens, and names the file in
// testdata/findings that shows it.
type Finding struct {
	Severity Severity
	Unread   bool  // the file could not be read as it stands (exit code 2)
	More     int32 // how many further findings of the same file are not listed
	Code     string
	Form     string // which shape of the message; "" where the code has one
	About    Value  // what it is about: a substance, a material, a field
	Values   Values
	Sum      []Term // what adds up to a computed value
	Things   Values // those the message is about, where it is about several
	// Inner is the finding that this one is about, such as one of a later day.
	Inner *Finding

	Who    []Party // who can settle it
	Settle *Settle // what to write where; nil where that is not known
	Do     *Action // what the program can do about it; nil: nothing

	Decided *Settled // of kind Decided: what was decided; nil else

	Pos      exact.Pos
	Variants []string // which variants it concerns; empty: all or none
	Markets  []string // which markets it concerns; empty: all
	// Grade tells how grave a finding is among those of one cause in several variants
	// or markets: the one with the highest speaks for all. Nil: each stands alone.
	Grade *exact.Num
	Cause string // tells causes apart that share code, place and subject
	Worst string // the variant whose figures are shown, where others have lower ones

	Subject string // what it is about, as printed: About in words
}

// Role is who somebody is to a product.
type Role string

// Those who can settle a finding.
const (
	RoleMaker      Role = "maker"
	RoleSupplier   Role = "supplier"
	RoleLaboratory Role = "laboratory"
	RoleAssessor   Role = "assessor"
)

// Party is one who can settle a finding.
type Party struct {
	Role Role
	Name string // of a supplier; "" where it is not known
	Of   string // of a supplier without a name: the material
}

// Those who have no name of their own in the files.
var (
	TheMaker    = Party{Role: RoleMaker}
	TheSupplier = Party{Role: RoleSupplier}
	ALaboratory = Party{Role: RoleLaboratory}
	TheAssessor = Party{Role: RoleAssessor}
)

// Settle is the line of the maker's files that settles a finding.
type Settle struct {
	File  string
	Key   string    // path of keys, such as specification.ph
	Pos   exact.Pos // where it stands already
	Value *Value    // in the unit of that line as it is typed; nil where it is for a person to say
}

// Action is something the program does on demand about a finding.
type Action struct {
	Kind    actionKind
	Product string
	Batch   string
	Day     exact.Date
}

// actionKind names an action; each printer words it for its readers.
type actionKind string

// The actions there are.
const (
	ActionBegin       actionKind = "begin"        // make a workshop
	ActionLetters     actionKind = "letters"      // write the letters
	ActionReadiness   actionKind = "readiness"    // list all items of the file
	ActionKeepFigures actionKind = "keep-figures" // keep the figures of the day
	ActionCalendar    actionKind = "calendar"     // readings to come, as a calendar
	ActionCheckOn     actionKind = "check-on"     // check for another day
	ActionCheckAgain  actionKind = "check-again"  // check once more
	ActionBatch       actionKind = "batch"        // what is open in a batch record
	ActionDay         actionKind = "day"          // give the day of the run
	ActionFunctions   actionKind = "functions"    // list the function words
	ActionTypes       actionKind = "types"        // list the types of product
)

// Term is one summand of a computed value, with the place it comes from.
type Term struct {
	Pos    exact.Pos
	Key    string // of the vocabulary
	Values Values
}

// NewFinding makes a finding with its values.
func NewFinding(sev Severity, code string, pos exact.Pos, values Values) Finding {
	return Finding{Severity: sev, Code: code, Pos: pos, Values: values}
}

// As returns f in one of the forms of its code.
func (f Finding) As(form string) Finding {
	f.Form = form
	return f
}

// And returns f with further values.
func (f Finding) And(values Values) Finding {
	f.Values = append(slices.Clip(f.Values), values...)
	return f
}

// OnValue returns f about something that has an id beside its name.
func (f Finding) OnValue(v Value) Finding {
	v.Name = ""
	f.About, f.Subject = v, v.Text
	return f
}

// By returns f with those who can settle it.
func (f Finding) By(who ...Party) Finding {
	f.Who = who
	return f
}

// At returns f with the line that settles it, and the value to write there where
// that is known.
func (f Finding) At(file, key string, value Values) Finding {
	f.Settle = &Settle{File: file, Key: key}
	if len(value) > 0 {
		f.Settle.Value = &value[0]
	}
	return f
}

// With returns f with what the program can do about it.
func (f Finding) With(a Action) Finding {
	f.Do = &a
	return f
}

// IsAsked says whether one of a role can settle f.
func (f *Finding) IsAsked(role Role) bool {
	return slices.ContainsFunc(f.Who, func(p Party) bool { return p.Role == role })
}

// Key tells findings apart: those of one key say the same, whatever they rest on.
func (f *Finding) Key() string { return string(f.AppendKey(nil)) }

// AppendKey adds what Key returns.
func (f *Finding) AppendKey(b []byte) []byte {
	b = append(append(b, f.Severity.String()...), 0)
	b = append(append(b, f.Code...), 0)
	b = append(append(b, f.Form...), 0)
	b = append(f.Pos.Append(b), 0)
	b = append(append(b, f.About.ID...), 0)
	b = append(append(b, f.Subject...), 0)
	return f.Values.appendKey(b)
}

// CauseKey tells causes apart: several variants or markets can have one with
// different figures. It is the Key of a finding without a Grade.
func (f *Finding) CauseKey() string { return string(f.AppendCauseKey(nil)) }

// AppendCauseKey adds what CauseKey returns.
func (f *Finding) AppendCauseKey(b []byte) []byte {
	if f.Grade == nil {
		return f.AppendKey(b)
	}
	b = append(append(b, f.Severity.String()...), 0)
	b = append(append(b, f.Code...), 0)
	b = append(f.Pos.Append(b), 0)
	b = append(append(b, f.About.ID...), 0)
	b = append(append(b, f.Subject...), 0)
	return append(b, f.Cause...)
}

// JoinSources returns f with the sources of another finding that says the same.
func (f Finding) JoinSources(other Finding) Finding {
	f.Values = f.Values.joinSources(other.Values)
	if f.Inner != nil && other.Inner != nil {
		inner := f.Inner.JoinSources(*other.Inner)
		f.Inner = &inner
	}
	return f
}

// AboutNames returns f about several things by name. Findings of one cause that are about
// different ones become one about them all.
func (f Finding) AboutNames(names []string) Finding {
	for _, n := range names {
		f.Things = f.Things.Name("", n)
	}
	return f
}

// On returns f about the given subject.
func (f Finding) On(subject string) Finding {
	f.Subject = subject
	f.About = Value{Kind: KindName, Text: subject}
	return f
}
