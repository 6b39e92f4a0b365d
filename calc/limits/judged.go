package limits

import (
	"encoding/binary"
	"slices"
	"sync"

	"gallipot/calc/formula"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/trade"
	"gallipot/ingredients/exact"
)

// judged is what the variants of a product share: a substance that is in several of them
// in the same way is one use, and a row is judged once for the uses that it names. It may
// be used in parallel; two at once may both make the same.
type judged struct {
	mu     sync.RWMutex
	uses   map[useKey]*LimitUse
	here   map[hereKey]*LimitUse
	checks map[string][]LimitCheck // by rowKey
}

// mostMixtures is how many mixtures a key holds: the whole and three portions.
const mostMixtures = 4

// judgedOf is what the variants of a product share; of this input alone where nothing is.
func judgedOf(in *formula.Input) *judged {
	if j := formula.SharedOf[judged](in); j != nil {
		return j
	}
	return new(judged)
}

// useKey is what tells the uses of a product apart: the substance in each mixture.
type useKey struct {
	product    *formula.Product
	kind       *trade.ProductType
	date       exact.Date
	substances [mostMixtures]*formula.Substance
	mixtures   string // their names
	formald    exact.Num
}

// hereKey is a use in one market.
type hereKey struct {
	use    *LimitUse
	market rows.Market
}

func (j *judged) use(key useKey) *LimitUse {
	j.mu.RLock()
	defer j.mu.RUnlock()
	return j.uses[key]
}

// keep keeps a use and numbers it; it returns the one that is kept.
func (j *judged) keep(key useKey, u *LimitUse) *LimitUse {
	j.mu.Lock()
	defer j.mu.Unlock()
	if j.uses == nil {
		j.uses, j.here, j.checks = map[useKey]*LimitUse{}, map[hereKey]*LimitUse{}, map[string][]LimitCheck{}
	}
	if other := j.uses[key]; other != nil {
		return other
	}
	j.uses[key] = u
	u.number = len(j.uses)
	return u
}

// in is a use with the rows of one market: itself where all of them hold there.
func (j *judged) in(u *LimitUse, market rows.Market) *LimitUse {
	elsewhere := func(m rowMatch) bool { return !m.Row.For(market) }
	if !slices.ContainsFunc(u.Matches, elsewhere) {
		return u
	}
	narrowed := func() *LimitUse {
		here := *u
		here.Matches, here.market = slices.DeleteFunc(slices.Clone(u.Matches), elsewhere), market
		return &here
	}
	if u.number == 0 {
		return narrowed()
	}
	key := hereKey{u, market}
	j.mu.RLock()
	here := j.here[key]
	j.mu.RUnlock()
	if here == nil {
		here = narrowed()
		j.mu.Lock()
		defer j.mu.Unlock()
		if other := j.here[key]; other != nil {
			return other
		}
		j.here[key] = here
	}
	return here
}

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
// looks at other rows, the market and the day, and the uses that those name. Shared is
// false where one of them is of this variant alone.
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
			key = binary.AppendUvarint(append(key, '+'), uint64(run.Matcher.order(r)))
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
