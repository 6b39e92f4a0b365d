package namelist

import (
	"cmp"
	"slices"
)

// Hit is a name near to another.
type Hit struct {
	Place int
	Name  string
	// Near says how near it is: 1 for the same key, 0 for nothing in common.
	Near float32
}

// Bounds of a search for near names, chosen by measuring.
const (
	shortPosts = 700  // a word in more names than this leads to none alone
	fuzzyWords = 6    // words taken for one that is not in the list
	compared   = 14   // names compared letter by letter
	leastNear  = 0.45 // names less near than this are not given
	sureNear   = 0.9  // a best name less near than this looks further
)

// scratch is the working memory of one search.
type scratch struct {
	names  tally // by place of a name: what its words score
	words  tally // by number of a word: letters in threes it shares
	asked  []asked
	ranked []ranked
	rows   [3][]int
	a, b   []byte
}

// tally counts for a few of many places, and is emptied by counting those few.
type tally struct {
	score []float32
	seen  []int32
	turn  []uint16
	last  uint16
}

// asked is a word of the name searched for, with words of the list meant by it.
type asked struct {
	meant  []meant
	weight float32
}

type meant struct {
	word  int
	alike float32
}

type ranked struct {
	place int
	score float32
}

func newTally(n int) tally { return tally{score: make([]float32, n), turn: make([]uint16, n)} }

func newScratch(l *List) *scratch {
	return &scratch{names: newTally(l.count), words: newTally(l.wordCount)}
}

func (t *tally) add(i int, v float32) {
	if t.turn[i] != t.last+1 {
		t.turn[i], t.score[i] = t.last+1, 0
		t.seen = append(t.seen, int32(i))
	}
	t.score[i] += v
}

func (t *tally) has(i int) bool { return t.turn[i] == t.last+1 }

func (t *tally) clear() {
	t.seen = t.seen[:0]
	if t.last++; t.last == 1<<16-2 {
		clear(t.turn)
		t.last = 0
	}
}

// Nearest returns at most n names that may be meant by a name that is not in the
// list, the nearest first; names equally near in the order of the list.
func (l *List) Nearest(name string, n int) []Hit {
	s := l.scratch.Get().(*scratch)
	defer l.scratch.Put(s)
	hits := l.search(s, name, n, false)
	if len(hits) == 0 || hits[0].Near < sureNear {
		hits = l.search(s, name, n, true)
	}
	return hits
}

// search finds near names; hard looks for the near words of known words too.
func (l *List) search(s *scratch, name string, n int, hard bool) []Hit {
	s.asked = s.asked[:0]
	total := float32(0)
	words(name, func(w []byte) {
		a := l.meantBy(s, w, hard)
		total += a.weight
		s.asked = append(s.asked, a)
	})
	if len(s.asked) == 0 || l.count == 0 {
		return nil
	}
	s.names.clear()
	l.gather(s, name)
	s.ranked = s.ranked[:0]
	for _, i := range s.names.seen {
		own := float32(u16(l.weights, int(i)*2)) * weightUnit
		s.ranked = append(s.ranked, ranked{int(i), 2 * s.names.score[i] / (total + own)})
	}
	best := top(s.ranked, compared)
	return l.compare(s, name, best, n)
}

// gather scores the names that share rare words with the name asked for, and
// those that stand beside it in the list.
func (l *List) gather(s *scratch, name string) {
	rare := false
	for _, a := range s.asked {
		for _, m := range a.meant {
			if posts, _ := l.posts(m.word); posts <= shortPosts {
				rare = true
			}
		}
	}
	from, to := l.around(name, groupSize/2)
	for i := from; i < to; i++ {
		s.names.add(i, 0)
	}
	for pass := range 2 { // common words score only names found by rare ones
		for _, a := range s.asked {
			for _, m := range a.meant {
				posts, diffs := l.posts(m.word)
				common := posts > shortPosts
				if common == (pass == 0) && (rare || pass == 0) {
					continue
				}
				l.score(s, posts, diffs, m.alike*a.weight, common && rare)
			}
		}
	}
}

func (l *List) score(s *scratch, posts int, diffs string, v float32, onlySeen bool) {
	at := 0
	for range posts {
		var d int
		d, diffs = uvarint(diffs)
		at += d
		if !onlySeen || s.names.has(at) {
			s.names.add(at, v)
		}
	}
}

// meantBy returns the words of the list that a word may mean.
func (l *List) meantBy(s *scratch, word []byte, hard bool) asked {
	known := l.findWord(word)
	a := asked{weight: weight(l.count, 1)}
	if known >= 0 {
		n, _ := l.posts(known)
		a.weight = weight(l.count, n)
		a.meant = append(a.meant, meant{known, 1})
	}
	if known >= 0 && !hard || len(word) < 3 {
		return a
	}
	s.words.clear()
	grams(string(word), func(g uint32) {
		n, diffs := l.gramPosts(g)
		at := 0
		for range n {
			var d int
			d, diffs = uvarint(diffs)
			at += d
			s.words.add(at, 1)
		}
	})
	s.ranked = s.ranked[:0]
	for _, w := range s.words.seen {
		if int(w) != known {
			length := int(u32(l.wordAt, 4*int(w)+4) - u32(l.wordAt, 4*int(w)))
			s.ranked = append(s.ranked, ranked{int(w), 2 * s.words.score[w] / float32(len(word)+length)})
		}
	}
	for _, r := range top(s.ranked, 2*fuzzyWords) {
		other := l.wordOf(r.place)
		longer := max(len(word), len(other))
		limit := max(longer/3, 1) + 1
		if d := s.distance(word, []byte(other), limit); d < limit {
			a.meant = append(a.meant, meant{r.place, 1 - float32(d)/float32(longer)})
		}
	}
	slices.SortStableFunc(a.meant, func(x, y meant) int { return cmp.Compare(y.alike, x.alike) })
	if len(a.meant) > fuzzyWords {
		a.meant = a.meant[:fuzzyWords]
	}
	return a
}

// top puts the n of highest score first, in order, and returns them; it keeps
// the order of the places among equals.
func top(all []ranked, n int) []ranked {
	less := func(a, b ranked) int {
		if d := cmp.Compare(b.score, a.score); d != 0 {
			return d
		}
		return a.place - b.place
	}
	best := all[:0:0]
	for _, r := range all {
		if len(best) == n && less(r, best[n-1]) >= 0 {
			continue
		}
		i, _ := slices.BinarySearchFunc(best, r, less)
		if len(best) == n {
			best = best[:n-1]
		}
		best = slices.Insert(best, i, r)
	}
	return best
}

// compare measures the best names letter by letter.
func (l *List) compare(s *scratch, name string, best []ranked, n int) []Hit {
	key := AppendKey(s.a[:0], name)
	s.a = key
	hits := make([]Hit, 0, len(best))
	var text []byte
	for _, r := range best {
		text = l.appendName(text[:0], r.place)
		other := AppendKey(s.b[:0], string(text))
		s.b = other
		longer := max(len(key), len(other))
		limit := max(longer/2, 2)
		d := s.distance(key, other, limit)
		letters := 1 - float32(d)/float32(longer)
		if d >= limit {
			letters = 0
		}
		if near := max(letters, (letters+min(r.score, 1))/2); near >= leastNear {
			hits = append(hits, Hit{r.place, string(text), near})
		}
	}
	slices.SortStableFunc(hits, func(a, b Hit) int {
		if d := cmp.Compare(b.Near, a.Near); d != 0 {
			return d
		}
		return a.Place - b.Place
	})
	return hits[:min(n, len(hits))]
}

// distance counts letters left out, added, changed or swapped with the next
// between a and b; anything from limit on may come back as limit.
func (s *scratch) distance(a, b []byte, limit int) int {
	for len(a) > 0 && len(b) > 0 && a[0] == b[0] {
		a, b = a[1:], b[1:]
	}
	for len(a) > 0 && len(b) > 0 && a[len(a)-1] == b[len(b)-1] {
		a, b = a[:len(a)-1], b[:len(b)-1]
	}
	if d := len(a) - len(b); d >= limit || -d >= limit {
		return limit
	}
	for i := range s.rows {
		s.rows[i] = slices.Grow(s.rows[i][:0], len(b)+1)[:len(b)+1]
	}
	before, last, row := s.rows[0], s.rows[1], s.rows[2]
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		least := i
		from, to := max(1, i-limit), min(len(b), i+limit)
		if from > 1 {
			row[from-1] = limit
		}
		for j := from; j <= to; j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			v := last[j-1] + cost
			if j < i+limit {
				v = min(v, last[j]+1)
			}
			if j > i-limit {
				v = min(v, row[j-1]+1)
			}
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				v = min(v, before[j-2]+1)
			}
			row[j] = v
			least = min(least, v)
		}
		if least >= limit {
			return limit
		}
		if to < len(b) {
			row[to+1] = limit
		}
		before, last, row = last, row, before
	}
	return min(last[len(b)], limit)
}
