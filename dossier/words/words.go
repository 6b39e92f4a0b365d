package words

import (
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"gallipot/ingredients/finding"
)

func AddOnce[T comparable](list []T, s T) []T {
	if slices.Contains(list, s) {
		return list
	}
	return append(list, s)
}

func OrWord(s, word string) string {
	if s == "" {
		return word
	}
	return s
}

// UniqueValues drops repetitions.
func UniqueValues(list finding.Values) finding.Values {
	for i := range list {
		if !list[:i].Has(&list[i]) {
			continue
		}
		out := slices.Clone(list[:i])
		for _, x := range list[i+1:] {
			if !out.Has(&x) {
				out = append(out, x)
			}
		}
		return out
	}
	return list
}

// UpperFirst is a text with a capital in front, whatever letter that is.
func UpperFirst(s string) string {
	_, first := utf8.DecodeRuneInString(s)
	return strings.ToUpper(s[:first]) + s[first:]
}

// CheckName heads a row; the p of pH stays small.
func CheckName(what string) string {
	if what == "pH" {
		return what
	}
	return UpperFirst(what)
}

func Itoa(i int) string { return strconv.Itoa(i) }

// Joined joins the parts that are not empty.
func Joined(sep string, parts ...string) string {
	s := ""
	for _, p := range parts {
		if p == "" {
			continue
		}
		if s != "" {
			s += sep
		}
		s += p
	}
	return s
}

func OrEmpty[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

// JoinNames lists names; where one holds a comma itself, semicolons part them.
func JoinNames(names []string) string {
	between := ", "
	if len(names) > 1 && slices.ContainsFunc(names, func(n string) bool { return strings.Contains(n, ", ") }) {
		between = "; "
	}
	return strings.Join(names, between)
}

// The ones, beside suppliers, who can supply something.
const (
	MakerWord      = "the maker"
	AssessorWord   = "the assessor"
	LaboratoryWord = "a laboratory"
)
