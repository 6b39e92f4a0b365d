package identity

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/ingredients/pattern"
)

// date is a day or a month as found in a text.
type date struct {
	iso        string
	printed    string
	start, end int
	open       bool // day and month may be the other way round
}

var (
	isoDate  = pattern.New(`\b((?:19|20)\d{2})[-/.](\d{1,2})[-/.](\d{1,2})\b`)
	numDate  = pattern.New(`\b(\d{1,2})([./-]) ?(\d{1,2})[./-] ?((?:19|20)\d{2}|\d{2})\b`)
	wordDate = lexicon.Pattern(`(?i)\b(\d{1,2})(?:<<ordinal>>|\.)?` +
		`[ -]*(?:<<of>> )?([\p{L}]{3,12})\.?,?[ -]*(?:<<of>> )?((?:19|20)\d{2}|\d{2})\b`)
	usDate    = lexicon.Pattern(`(?i)\b([\p{L}]{3,10})\.? (\d{1,2})(?:<<ordinal>>)?,? ((?:19|20)\d{2})\b`)
	monthDate = lexicon.Pattern(`(?i)\b([\p{L}]{3,12})\.?[ -]+(?:<<of>> )?((?:19|20)\d{2})\b`)
	numMonth  = pattern.New(`\b(\d{1,2})[./-]((?:19|20)\d{2})\b`)
	isoMonth  = pattern.New(`\b((?:19|20)\d{2})[-/](\d{1,2})\b`)
)

// dateReader reads dates; dayFirst says how numbers such as 03/04/2024 are ordered.
type dateReader struct {
	words    *lexicon.Lexicon
	dayFirst bool
	known    bool // the order is known
}

// find lists the dates of a text from left to right.
func (d dateReader) find(s string) []date {
	var out []date
	taken := func(a, b int) bool {
		for _, x := range out {
			if a < x.end && b > x.start {
				return true
			}
		}
		return false
	}
	add := func(re *regexp.Regexp, read func(m []string) (string, bool)) {
		for _, at := range re.FindAllStringSubmatchIndex(s, -1) {
			if taken(at[0], at[1]) {
				continue
			}
			var m []string
			for i := 0; i < len(at); i += 2 {
				if at[i] < 0 {
					m = append(m, "")
				} else {
					m = append(m, s[at[i]:at[i+1]])
				}
			}
			iso, open := read(m)
			if iso != "" || re == isoDate.Regexp() || re == numDate.Regexp() { // 30.02.2024 is no month either
				out = append(out, date{iso: iso, printed: m[0], start: at[0], end: at[1], open: open})
			}
		}
	}
	add(isoDate.Regexp(), func(m []string) (string, bool) { return day(m[1], m[2], m[3]), false })
	add(numDate.Regexp(), func(m []string) (string, bool) {
		a, b, year := m[1], m[3], fullYear(m[4])
		if len(m[4]) == 2 && (len(a) < 2 || len(b) < 2) {
			return "", false // 2.8.13 is a chapter of a pharmacopoeia
		}
		x, _ := strconv.Atoi(a)
		y, _ := strconv.Atoi(b)
		if x > 12 || d.dayFirst || y <= 12 && !d.known {
			if iso := day(year, b, a); iso != "" {
				return iso, x <= 12 && y <= 12 && x != y && !d.known && m[2] != "."
			}
		}
		return day(year, a, b), false
	})
	add(wordDate(), func(m []string) (string, bool) {
		return day(fullYear(m[3]), d.month(m[2]), m[1]), false
	})
	add(usDate(), func(m []string) (string, bool) { return day(m[3], d.month(m[1]), m[2]), false })
	add(monthDate(), func(m []string) (string, bool) { return month(m[2], d.month(m[1])), false })
	add(numMonth.Regexp(), func(m []string) (string, bool) { return month(m[2], m[1]), false })
	add(isoMonth.Regexp(), func(m []string) (string, bool) { return month(m[1], m[2]), false })
	out = slices.DeleteFunc(out, func(x date) bool { return x.iso == "" })
	slices.SortStableFunc(out, func(a, b date) int { return cmp.Compare(a.start, b.start) })
	return out
}

// dateOrder is the form of a date as papers print it beside one: day before month, or after.
var dateOrder = lexicon.Pattern(`(?i)\b(?:(<<day letters>>[./-]mm[./-]<<year letters>>)|mm[./-]<<day letters>>[./-]<<year letters>>)`)

// order learns from dates that can be read in one way only.
func (d *dateReader) order(texts []string) {
	first, second := 0, 0
	for _, t := range texts {
		switch m := dateOrder().FindStringSubmatch(t); { // "(dd/mm/yyyy)" beside a date
		case m == nil:
		case m[1] != "":
			first++
		default:
			second++
		}
		for _, m := range numDate.FindAllStringSubmatch(t, -1) {
			a, _ := strconv.Atoi(m[1])
			b, _ := strconv.Atoi(m[3])
			if len(m[4]) == 2 {
				continue // browsers print such dates at the edge of the page
			}
			switch {
			case m[2] == "." || a > 12 && b <= 12:
				first++
			case b > 12 && a <= 12:
				second++
			}
		}
	}
	switch {
	case first > 0 && second == 0:
		d.dayFirst, d.known = true, true
	case second > 0 && first == 0:
		d.dayFirst, d.known = false, true
	}
}

func (d dateReader) month(word string) string {
	e, ok := d.words.Exact("month", word)
	if !ok {
		return ""
	}
	return e.Key
}

func fullYear(y string) string {
	if len(y) == 2 {
		return "20" + y
	}
	return y
}

func day(y, m, d string) string {
	a, _ := strconv.Atoi(m)
	b, _ := strconv.Atoi(d)
	if a < 1 || a > 12 || b < 1 || b > daysIn(y, a) || y < "1980" || y > "2099" {
		return ""
	}
	return fmt.Sprintf("%s-%02d-%02d", y, a, b)
}

func daysIn(year string, m int) int {
	y, _ := strconv.Atoi(year)
	switch m {
	case 2:
		if y%4 == 0 && (y%100 != 0 || y%400 == 0) {
			return 29
		}
		return 28
	case 4, 6, 9, 11:
		return 30
	}
	return 31
}

func month(y, m string) string {
	a, _ := strconv.Atoi(m)
	if a < 1 || a > 12 || strings.Compare(y, "1980") < 0 {
		return ""
	}
	return fmt.Sprintf("%s-%02d", y, a)
}
