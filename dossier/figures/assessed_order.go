package figures

import (
	"slices"
)

// order tells which names of the ingredient list moved. Names that came or went
// are told by the composition or the allergens, save those that only the list
// has.
func (c *comparison) order(was, is []string) {
	both := func(list, other []string) (kept []string) {
		for _, name := range list {
			if slices.Contains(other, name) {
				kept = append(kept, name)
			}
		}
		return kept
	}
	for _, name := range is {
		if name != "" && !slices.Contains(was, name) {
			c.say("order", "%s is new in the ingredient list", name)
		}
	}
	for _, name := range was {
		if name != "" && !slices.Contains(is, name) {
			c.say("order", "%s is no longer in the ingredient list", name)
		}
	}
	old, now := both(was, is), both(is, was)
	stay := longestCommon(old, now)
	for i, name := range now {
		if slices.Contains(stay, name) {
			continue
		}
		if i == 0 {
			c.say("order", "%s now comes first", name)
			continue
		}
		c.say("order", "%s now stands behind %s", name, now[i-1])
	}
}

// longestCommon returns the longest list of names that stand in the same order
// in both lists: the others moved.
func longestCommon(a, b []string) []string {
	length := make([][]int, len(a)+1)
	for i := range length {
		length[i] = make([]int, len(b)+1)
	}
	for i := len(a) - 1; i >= 0; i-- {
		for j := len(b) - 1; j >= 0; j-- {
			if a[i] == b[j] {
				length[i][j] = length[i+1][j+1] + 1
			} else {
				length[i][j] = max(length[i+1][j], length[i][j+1])
			}
		}
	}
	var common []string
	for i, j := 0, 0; i < len(a) && j < len(b); {
		switch {
		case a[i] == b[j]:
			common = append(common, a[i])
			i, j = i+1, j+1
		case length[i+1][j] >= length[i][j+1]:
			i++
		default:
			j++
		}
	}
	return common
}
