package source

import (
	"errors"
	"slices"
	"strings"
	"unicode"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/pattern"
)

// Choice returns one of the allowed words; "" when it is absent or wrong.
func (v Node) Choice(allowed ...string) string {
	s, ok := v.scalar("one of " + strings.Join(allowed, ", "))
	if !ok || slices.Contains(allowed, s) {
		return s
	}
	v.NotAmong(CodeBadChoice, s, allowed)
	return ""
}

// NotAmong reports a word that is none of the allowed ones, with the nearest.
func (v Node) NotAmong(code, word string, allowed []string) {
	values := finding.With().Quote("typed", Clip(word))
	if near := Nearest(word, allowed); near != "" {
		values = values.Name("near", near)
	} else {
		values = values.Names("allowed", allowed)
	}
	v.Stop(code, "", values)
}

var IDForm = pattern.New(`^[a-z0-9]+([-_][a-z0-9]+)*$`)

// ID returns an id: small letters and digits, joined by hyphens, so that it is a
// file name on every system.
func (v Node) ID() string {
	s, ok := v.Short(codeBadID, "an id")
	if !ok {
		return ""
	}
	if !IDForm.MatchString(s) {
		v.Stop(codeBadID, "", finding.With().Quote("typed", Clip(s)).Name("write", asID(s)))
		return ""
	}
	if DeviceName(s) {
		v.Stop(codeBadID, "device", finding.With().Quote("typed", s).Name("write", s+"-1"))
		return ""
	}
	return s
}

// deviceName are the names that mean a device on Windows in every folder, with any
// ending: a file of that name cannot be copied to such a computer.
//
// Source: Microsoft, Naming Files, Paths, and Namespaces.
var deviceName = pattern.New(`^(?i:con|prn|aux|nul|conin\$|conout\$|(?:com|lpt)[0-9¹²³])$`)

// DeviceName says whether a file name, up to its first point, means a device on
// Windows.
func DeviceName(name string) bool {
	stem, _, _ := strings.Cut(name, ".")
	return deviceName.MatchString(strings.TrimRight(stem, " "))
}

// asID turns a text into an id, or "".
func asID(s string) string {
	words := strings.FieldsFunc(strings.ToLower(s), func(r rune) bool {
		return (r < 'a' || r > 'z') &&
			(r < '0' || r > '9')
	})
	return strings.Join(words, "-")
}

// CAS returns a CAS number as typed. A number of the wrong form stops; one with
// a wrong check digit is asked for and kept, since everything is computed by
// name.
func (v Node) CAS() string { return v.number(codeBadCAS, "a CAS number", exact.CheckCAS, casForm) }

// EC returns an EC number as typed, on the same terms as CAS.
func (v Node) EC() string { return v.number(codeBadEC, "an EC number", exact.CheckEC, ecForm) }

var (
	casForm = pattern.New(`^[0-9]{2,7}-[0-9]{2}-[0-9]$`)
	ecForm  = pattern.New(`^[0-9]{3}-[0-9]{3}-[0-9]$`)
)

func (v Node) number(code, want string, check func(string) error, form *pattern.Pattern) string {
	s, ok := v.Short(code, want)
	if !ok {
		return ""
	}
	err := check(s)
	if err == nil {
		return s
	}
	var e *exact.ValueError
	errors.As(err, &e)
	if form.MatchString(s) {
		v.r.Report(finding.NewFinding(finding.Ask, code, v.Pos(), finding.With().Quote("fault", e.What).
			Quote("remedy", e.Fix)).As("fault").On(v.name).By(finding.TheSupplier))
		return s
	}
	plain := strings.NewReplacer("–", "-", "‑", "-", "‐", "-", "−", "-", " ", "").Replace(s)
	switch values := finding.With().Quote("fault", e.What); {
	case form.MatchString(plain):
		v.Stop(code, "plain", values.Name("write", plain))
	case strings.ContainsAny(s, "/,;& "):
		v.Stop(code, "several", values)
	case !strings.ContainsFunc(s, unicode.IsDigit):
		v.Stop(code, "none", values)
	default:
		v.Stop(code, "fault", values.Quote("remedy", e.Fix))
	}
	return ""
}
