// Package batchcode makes the codes of batches by the scheme of a workshop.
//
// Start at [Parse].
package batchcode

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/pattern"
	"gallipot/ingredients/source"
)

// Scheme says how batch codes are made: text with names in braces.
//
//	{product}  first letters of the parts of the product's id: heath-wash gives HW
//	{id}       the whole id, in capitals
//	{variant}  the variant's id, in capitals
//	{year} {month} {day}  two digits each      {yearday}  three digits
//	{count}    1, 2, 3 …; {count3} is 001, 002 …
//	{letter}   A, B … Z
//
// One of count and letter has to be there. It counts on within whatever is the
// same in front of and behind it: "{product}{year}-{count3}" counts each product's
// batches of a year.
type Scheme struct {
	Text  string
	Pos   exact.Pos
	parts []codePart
}

// codePart is literal text, or a field where name is set.
type codePart struct {
	text  string
	name  string
	width int // digits of a count; 0: as many as it needs
}

// defaultCode holds where workshop.yaml does not say.
const defaultCode = "{product}{year}{month}{day}{letter}"

var codeFields = []string{"product", "id", "variant", "year", "month", "day", "yearday", "count", "letter"}

var codePartForm = pattern.New(`\{([a-z]+)([1-6]?)\}|[^{}]+|[{}]`)

func Default() Scheme {
	s, err := Parse(defaultCode)
	if err != nil {
		panic(err) // ruled out by the tests
	}
	return s
}

// Parse reads a scheme.
//
// Errors: a *ingredients.ValueError for an unknown name, for characters that a
// code cannot hold, and for a scheme without a counter or with two.
func Parse(text string) (Scheme, error) {
	s := Scheme{Text: text}
	counters := 0
	for _, m := range codePartForm.FindAllStringSubmatch(text, -1) {
		switch name := m[1]; {
		case name == "" && (m[0] == "{" || m[0] == "}"):
			return s, &exact.ValueError{What: "a brace stands alone in " + text,
				Fix: "write names in braces, such as {product}"}
		case name == "":
			if strings.Trim(m[0], "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789._-") != "" {
				return s, &exact.ValueError{What: fmt.Sprintf("%q cannot stand in a batch code", m[0]), Fix: "use " +
					codeWords}
			}
			s.parts = append(s.parts, codePart{text: m[0]})
		case !slices.Contains(codeFields, name) || m[2] != "" && name != "count":
			fix := "the names are " + strings.Join(codeFields, ", ")
			if near := source.Nearest(name, codeFields); near != "" {
				fix = "write {" + near + "}; " + fix
			}
			return s, &exact.ValueError{What: m[0] + " means nothing in a batch code", Fix: fix}
		default:
			width, _ := strconv.Atoi(m[2]) // 0 where there is none
			s.parts = append(s.parts, codePart{name: name, width: width})
			if name == "count" || name == "letter" {
				counters++
			}
		}
	}
	if counters != 1 {
		return s, &exact.ValueError{What: fmt.Sprintf("%q has %d counters, wanted one", text, counters),
			Fix: "put {letter} or {count} into it, so that two batches never get one code"}
	}
	return s, nil
}

// Next returns the code of a new batch: the one after the highest that exists.
//
// Errors: a *ingredients.ValueError when the letters are used up or the code
// cannot be a file name.
func (s Scheme) Next(existing []string, product, variant string, date exact.Date) (string, error) {
	form := regexp.MustCompile("(?i)^" + s.render(product, variant, date, func(p codePart) string {
		if p.name == "letter" {
			return "([A-Z])"
		}
		return "([0-9]+)"
	}, regexp.QuoteMeta) + "$")
	highest := 0
	for _, code := range existing {
		if m := form.FindStringSubmatch(code); m != nil {
			highest = max(highest, counterValue(m[1]))
		}
	}
	next := highest + 1
	if strings.Contains(s.Text, "{letter}") && next > 26 {
		return "", &exact.ValueError{What: "all 26 letters of batch_code " + s.Text + " are used up for this day",
			Fix: "write {count} in place of {letter} in workshop.yaml"}
	}
	code := s.render(product, variant, date, func(p codePart) string {
		if p.name == "letter" {
			return string(rune('A' + next - 1))
		}
		return fmt.Sprintf("%0*d", p.width, next)
	}, func(t string) string { return t })
	if !codeForm.MatchString(code) {
		return "", &exact.ValueError{What: fmt.Sprintf("batch_code makes %q, which cannot be a batch code", code),
			Fix: "use " + codeWords}
	}
	return code, nil
}

func counterValue(text string) int {
	if n, err := strconv.Atoi(text); err == nil {
		return n
	}
	return int(strings.ToUpper(text)[0]-'A') + 1
}

func (s Scheme) render(product, variant string, date exact.Date, counter func(codePart) string,
	literal func(string) string) string {
	var b strings.Builder
	day := date.Time()
	for _, p := range s.parts {
		switch p.name {
		case "":
			b.WriteString(literal(p.text))
		case "product":
			b.WriteString(literal(initials(product)))
		case "id":
			b.WriteString(literal(strings.ToUpper(product)))
		case "variant":
			b.WriteString(literal(strings.ToUpper(variant)))
		case "year":
			fmt.Fprintf(&b, "%02d", day.Year()%100)
		case "month":
			fmt.Fprintf(&b, "%02d", int(day.Month()))
		case "day":
			fmt.Fprintf(&b, "%02d", day.Day())
		case "yearday":
			fmt.Fprintf(&b, "%03d", day.YearDay())
		default:
			b.WriteString(counter(p))
		}
	}
	return b.String()
}

// initials are the first letters of the parts of an id, or its first two letters
// where it has one part.
func initials(id string) string {
	parts := strings.FieldsFunc(id, func(r rune) bool { return r == '-' || r == '_' })
	if len(parts) == 1 {
		return strings.ToUpper(id[:min(2, len(id))])
	}
	out := ""
	for _, p := range parts {
		out += p[:1]
	}
	return strings.ToUpper(out)
}

// codeWords say what a code may hold.
const codeWords = "letters, digits, points, hyphens and underscores, up to 40 of them"

// Fits says whether a text can be the code of a batch or the number of a lot, which
// is the name of a file.
func Fits(code string) bool { return WellFormed(code) && !source.DeviceName(code) }

// WellFormed says whether the characters of a text are those of a code.
func WellFormed(code string) bool { return codeForm.MatchString(code) }

// codeForm is what a batch code may be: it is a file name and stands on packs.
var codeForm = pattern.New(`^[A-Za-z0-9][A-Za-z0-9._-]{0,39}$`)
