package words

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
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

func Count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func UpperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
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

func JoinNames(names []string) string { return strings.Join(names, ", ") }

// The ones, beside suppliers, who can supply something.
const (
	Maker      = "the maker"
	Assessor   = "the assessor"
	Laboratory = "a laboratory"
)

func JoinAnd(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}
