package limits

import (
	"encoding/binary"
	"slices"

	"gallipot/calc/law/annex"
	"gallipot/ingredients/exact"
)

// rowChecks is [Run.judgeRow], once for the same uses where variants share them.
func (run *Run) rowChecks(checks []LimitCheck, row *annex.Limit, uses []*LimitUse, day exact.Date) []LimitCheck {
	var shared bool
	if run.key, shared = run.rowKey(run.key[:0], row, uses, day); !shared {
		return run.judgeRow(checks, row, uses, day)
	}
	j := run.known
	j.mu.RLock()
	known, is := j.checks[string(run.key)]
	j.mu.RUnlock()
	if is {
		return append(checks, known...)
	}
	from, key := len(checks), string(run.key)
	checks = run.judgeRow(checks, row, uses, day)
	j.mu.Lock()
	defer j.mu.Unlock()
	j.checks[key] = slices.Clone(checks[from:])
	return checks
}

// rowKey adds what the judgement of a row rests on: the uses that it names, and where it
// looks at other rows, the market and the day, and the uses that those name: which of them
// names which use is the same in all variants. Shared is false where one of them is of this
// variant alone.
func (run *Run) rowKey(key []byte, row *annex.Limit, uses []*LimitUse, day exact.Date) (_ []byte, shared bool) {
	key = binary.AppendUvarint(key, uint64(run.Matcher.order(row)))
	for _, u := range uses {
		if u.number == 0 {
			return key, false
		}
		key = u.appendKey(key)
	}
	sums := row.Sum.Kind != annex.NoSum && row.Sum.Kind != annex.SumEach
	if !sums && row.Annex != "IV" && len(row.Excepted) == 0 && row.Traces == "" {
		return key, true
	}
	key = append(append(append(key, '|'), run.In.Market...), 0)
	key = binary.AppendUvarint(key, uint64(day))
	if sums {
		for _, r := range run.Matcher.sumRows(row, run.In.Market, day) {
			for _, n := range run.usesOf(r) {
				if n.u.number == 0 {
					return key, false
				}
				key = n.u.appendKey(key)
			}
		}
	}
	return key, true
}

func (u *LimitUse) appendKey(key []byte) []byte {
	return append(append(binary.AppendUvarint(key, uint64(u.number)), u.market...), 0)
}
