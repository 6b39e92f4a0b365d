package namelist

import "strings"

// Sorted is text of lines, each a key, a tab and what belongs to it, in the order of the
// keys: a look-up reads a dozen lines where they stand, and nothing has to be built.
type Sorted string

// Each goes through the lines.
func (s Sorted) Each(yield func(key, value string)) {
	for line := range strings.Lines(string(s)) {
		key, value, _ := strings.Cut(strings.TrimSuffix(line, "\n"), "\t")
		yield(key, value)
	}
}

// Find returns what belongs to a key.
func (s Sorted) Find(key string) (value string, ok bool) {
	for from, to := 0, len(s); from < to; {
		mid := (from + to) / 2
		start := from + strings.LastIndexByte(string(s[from:mid]), '\n') + 1
		end := len(s)
		if i := strings.IndexByte(string(s[start:]), '\n'); i >= 0 {
			end = start + i
		}
		k, v, _ := strings.Cut(string(s[start:end]), "\t")
		switch {
		case k == key:
			return v, true
		case key < k:
			to = start
		default:
			from = end + 1
		}
	}
	return "", false
}
