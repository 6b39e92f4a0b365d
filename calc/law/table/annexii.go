package table

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/condition"
	"gallipot/calc/law/rows"
)

// entries are the rows of prohibited.csv with the rules that they make. Of the tables
// inside the program each is read when it is asked for: a product meets a few of them.
type entries struct {
	count  int
	row    func(i int) *annex.Prohibition
	limit  func() map[string]*annex.Limit // the rules of limits.csv by their keys
	states []*annex.LawState

	mu    sync.Mutex
	rules []*annex.Limit // by row; nil: none, or not made yet
	made  []bool
	said  map[string]condition.Condition // by their text
}

// all returns every row.
func (e *entries) all() []*annex.Prohibition {
	out := make([]*annex.Prohibition, e.count)
	for i := range out {
		out[i] = e.row(i)
	}
	return out
}

// everyRule returns the rules of Annex II that limits.csv leaves out.
func (e *entries) everyRule() []*annex.Limit {
	var out []*annex.Limit
	for i := range e.count {
		if l := e.rule(i); l != nil {
			out = append(out, l)
		}
	}
	return out
}

// rule returns the rule that a row makes; nil where limits.csv holds it, or there is none.
func (e *entries) rule(i int) *annex.Limit {
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.rules == nil {
		e.rules, e.made = make([]*annex.Limit, e.count), make([]bool, e.count)
		e.said = map[string]condition.Condition{}
	}
	if !e.made[i] {
		e.made[i] = true
		if p := e.row(i); p.State != annex.StateEmpty && p.State != annex.StateElsewhere && len(e.covering(p)) == 0 {
			e.rules[i] = p.LimitOf(e.said)
			e.rules[i].States = e.states
		}
	}
	return e.rules[i]
}

// covering returns the rules of Annex II in limits.csv that hold what a row does.
func (e *entries) covering(p *annex.Prohibition) (out []*annex.Limit) {
	for _, key := range p.Limits {
		if l := e.limit()[key]; l != nil && l.Annex == "II" {
			out = append(out, l)
		}
	}
	return out
}

// leadsTo returns the rules that the names and numbers of a row lead to: its own, and
// those of limits.csv that it names.
func (e *entries) leadsTo(i int) (out []*annex.Limit) {
	if l := e.rule(i); l != nil {
		out = append(out, l)
	}
	for _, key := range e.row(i).Limits {
		if l := e.limit()[key]; l != nil {
			out = append(out, l)
		}
	}
	return out
}

// place returns the row that makes a rule, -1 for none.
func (e *entries) place(l *annex.Limit) int {
	const head = 2 // lines are counted from 1, and the first is the header
	if i := l.Line - head; l.File == prohibitedTable && i >= 0 && i < e.count && e.rule(i) == l {
		return i
	}
	return -1
}

const prohibitedTable = "prohibited.csv"

// markLimits marks the rules of limits.csv whose numbers stand for other things too, and
// those that are for salts as well.
func (t *Tables) markLimits() {
	if t.ready == nil {
		t.entries.marks(func(l *annex.Limit, shared, salts bool) {
			l.SharedNumber, l.Salts = l.SharedNumber || shared, l.Salts || salts
		})
		return
	}
	t.ready.marks.Each(func(at, marks string) {
		i, _ := strconv.Atoi(at)
		l := t.Limits[i]
		l.SharedNumber = l.SharedNumber || strings.Contains(marks, markShared)
		l.Salts = l.Salts || strings.Contains(marks, markSalts)
	})
}

// marks goes through what the rows say of rules of limits.csv.
func (e *entries) marks(yield func(l *annex.Limit, shared, salts bool)) {
	for _, p := range e.all() {
		if p.State == annex.StateEmpty || p.State == annex.StateElsewhere {
			continue
		}
		for _, l := range e.covering(p) {
			yield(l, p.SharedNumber, p.Salts)
		}
	}
}

// How the marks of a rule are written.
const markShared, markSalts = "n", "s"

// readyMarks are the marks of the rules of limits.csv, by their places.
func (t *Tables) readyMarks() map[string]string {
	out, place := map[string]string{}, map[*annex.Limit]int{}
	for i, l := range t.Limits {
		place[l] = i
	}
	t.entries.marks(func(l *annex.Limit, shared, salts bool) {
		at := placed(place[l])
		for _, m := range []struct {
			is   bool
			mark string
		}{{shared, markShared}, {salts, markSalts}} {
			if m.is && !strings.Contains(out[at], m.mark) {
				out[at] += m.mark
			}
		}
	})
	return out
}

// placed writes the place of a row.
func placed(i int) string { return fmt.Sprintf("%05d", i) }

// EveryLimit returns the limits of [Tables.Limits] and the rules of Annex II that
// they leave out, in this order.
func (t *Tables) EveryLimit() []*annex.Limit { return slices.Concat(t.Limits, t.entries.everyRule()) }

// enterEntries takes the rows of Annex II, read whole or later.
func (t *Tables) enterEntries(whole []*annex.Prohibition, later *rows.Later[*annex.Prohibition]) {
	t.entries = &entries{count: len(whole), row: func(i int) *annex.Prohibition { return whole[i] }, states: t.states,
		limit: sync.OnceValue(t.limitsByKey)}
	if later != nil {
		t.entries.count, t.entries.row = later.Len(), later.Row
	}
}

func (t *Tables) limitsByKey() map[string]*annex.Limit {
	m := make(map[string]*annex.Limit, len(t.Limits))
	for _, l := range t.Limits {
		m[l.Key] = l
	}
	return m
}
