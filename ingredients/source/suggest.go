package source

import (
	"slices"
	"strings"
)

// Nearest returns the candidate that is most likely meant by a misspelt word,
// or "" when none is near: at most one edit for each three letters, case and
// hyphens apart. Of equally near candidates the first is taken.
func Nearest(word string, candidates []string) string {
	plain := func(s string) string { return strings.ToLower(strings.NewReplacer("_", "-", " ", "-").Replace(s)) }
	w := plain(word)
	best, bestDist := "", len(w)/3+1
	for _, c := range candidates {
		if d := editDistance(w, plain(c), bestDist); d < bestDist {
			best, bestDist = c, d
		}
	}
	return best
}

// Meant returns the candidates that may be meant by a word of several parts
// joined by hyphens: the nearest alone where only its spelling differs, else all
// that share a part with it. Those can differ in all that matters, so that none of
// them may be picked for the maker.
func Meant(word string, candidates []string) []string {
	near := Nearest(word, candidates)
	parts := strings.Split(strings.ToLower(strings.NewReplacer("_", "-", " ", "-").Replace(word)), "-")
	var list []string
	for _, c := range candidates {
		if sharePart(parts, strings.Split(c, "-")) {
			list = append(list, c)
		}
	}
	if near != "" && (len(list) == 0 || misspelt(parts, strings.Split(near, "-"))) {
		return []string{near}
	}
	return list
}

func sharePart(a, b []string) bool {
	return slices.ContainsFunc(a, func(part string) bool { return part != "" && slices.Contains(b, part) })
}

// misspelt says whether each part of a word is that of the other or near to it.
func misspelt(parts, of []string) bool {
	if len(parts) != len(of) {
		return strings.Join(parts, "") == strings.Join(of, "")
	}
	for i, part := range parts {
		if Nearest(part, of[i:i+1]) == "" {
			return false
		}
	}
	return true
}

// editDistance counts insertions, deletions, substitutions and swaps of
// neighbours between a and b; anything from limit on may return limit.
func editDistance(a, b string, limit int) int {
	if d := len(a) - len(b); d >= limit || -d >= limit {
		return limit
	}
	prev2, prev, cur := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range prev {
		prev[j] = j
	}
	for i := 1; i <= len(a); i++ {
		cur[0] = i
		least := i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			cur[j] = min(prev[j]+1, cur[j-1]+1, prev[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				cur[j] = min(cur[j], prev2[j-2]+1)
			}
			least = min(least, cur[j])
		}
		if least >= limit {
			return limit
		}
		prev2, prev, cur = prev, cur, prev2
	}
	return prev[len(b)]
}
