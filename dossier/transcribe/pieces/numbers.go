package pieces

import (
	"slices"
	"strconv"
	"strings"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/pattern"
)

var (
	casNumber = pattern.New(`\b\d{2,7}\s?[-‐‑–−]\s?\d{2}\s?[-‐‑–−]\s?\d\b`)
	ecNumber  = pattern.New(`\b\d{3}\s?[-‐‑–−]\s?\d{3}\s?[-‐‑–−]\s?\d\b`)
	reachNo   = pattern.New(`\b\d{2}-\d{10}-\d{2}(?:-[\dXx]{4})?\b`)
	indexNo   = pattern.New(`\b\d{3}-\d{3}-\d{2}-[\dXx]\b`)
	hyphens   = strings.NewReplacer("‐", "-", "‑", "-", "–", "-", "−", "-", " ", "", "\n", "")
	brokenNo  = pattern.New(`(\d-)\s*\n\s*(\d)`)
)

// HasCAS says whether a text holds what looks like a CAS number.
func HasCAS(text string) bool { return casNumber.MatchString(text) }

// Numbers takes CAS and EC numbers out of a text; what is left is given back.
// Numbers broken at the end of a line are joined; a number whose check digit is
// wrong is told in bad.
func Numbers(text string) (cas, ec, bad []string, rest string) {
	if !strings.ContainsAny(text, "0123456789") {
		return nil, nil, nil, text
	}
	s := brokenNo.ReplaceAllString(text, "$1$2")
	s = reachNo.ReplaceAllString(s, " ")
	s = indexNo.ReplaceAllString(s, " ")
	s = casNumber.ReplaceAllStringFunc(s, func(m string) string {
		n := hyphens.Replace(m)
		if exact.CheckCAS(n) != nil {
			bad = append(bad, n)
			return " "
		}
		if !slices.Contains(cas, n) {
			cas = append(cas, n)
		}
		return " "
	})
	s = ecNumber.ReplaceAllStringFunc(s, func(m string) string {
		n := hyphens.Replace(m)
		if exact.CheckEC(n) != nil {
			bad = append(bad, n)
			return " "
		}
		if !slices.Contains(ec, n) {
			ec = append(ec, n)
		}
		return " "
	})
	return cas, ec, bad, s
}

var numberWords = lexicon.Pattern(`(?i)\b(?:<<number kind>>[ -]*(?:<<number>>)?[ .]*` +
	`(?:<<number sign>>|nr)?\.?\s*[°º]?\s*[:#]?)(?:\s|$|[,;/)])` +
	`|\b(?:n\.?\s?[°º]|n\.|no\.?|nr\.?)\s*<<number kind behind>>\s*[:#]?`)

// WithoutNumberWords drops the labels of numbers ("CAS-Nr.:") from a text.
func WithoutNumberWords(t string) string {
	t = numberWords().ReplaceAllString(t, " ")
	return t
}

// Whole is a number in figures; 0 for what is none.
func Whole(s string) int {
	n, err := strconv.Atoi(s)
	if err != nil {
		return 0
	}
	return n
}
