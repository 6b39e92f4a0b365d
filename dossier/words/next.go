package words

import (
	"strings"

	"gallipot/ingredients/finding"
)

// rank orders what can be settled: the less, the sooner. Batches with packs in the room
// come before all, then what a product contains, by what it is against; a stop without
// a sum is about words or records, which hurt nobody's skin.
func (s *speaker) rank(f *finding.Finding) int {
	against := s.against(f)
	switch {
	case f.Severity > finding.Ask:
		return ranks
	case f.Severity == finding.Ask:
		return ranks - 1
	case strings.HasPrefix(f.Pos.File, "batches/"):
		return 0
	case against == "law" && len(f.Sum) > 0:
		return 1
	case len(f.Sum) > 0:
		return 2
	case against != "law":
		return 3
	}
	return 4
}

// ranks is how many ranks there are to settle.
const ranks = 6

// Next chooses n findings to settle first: stops before asks, one for each cause. Notes
// and what is decided are nothing to do.
func Next(all []finding.Finding, n int) []finding.Finding {
	s := &speaker{reader: Terminal, table: wordings()}
	var first []finding.Finding
	seen := map[string]bool{}
	for rank := range ranks {
		for i := range all {
			f := &all[i]
			cause := f.Code + f.Pos.File
			if len(first) < n && !seen[cause] && s.rank(f) == rank {
				seen[cause] = true
				first = append(first, *f)
			}
		}
	}
	return first
}
