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
	shortPosts = 400  // a word in more names than this leads to none alone
	longPosts  = 1200 // a word in more names than this tells nothing beside rarer ones
	shortGrams = 250  // three letters in more words than this are passed over where others are rarer
	rareGrams  = 4    // so many of those are enough
	fuzzyWords = 6    // words taken for one that is not in the list
	compared   = 14   // names compared letter by letter
	shortWord  = 5    // letters of a word compared with all others as short
	leastNear  = 0.6  // names less near than this are not given
	sameWords  = 0.97 // a score of this is that of the same words
	sureNear   = 0.8  // a best name less near than this looks further
)

// scratch is the working memory of one search.
type scratch struct {
	names  tally   // by place of a name: what its words score
	words  tally   // by number of a word: letters in threes it shares
	asked  []asked // words of the name looked for
	ranked []ranked
	best   []ranked
	word   pattern // the word looked for
	whole  pattern // the name looked for
	posts  []posts
	text   []byte
	key    []byte
}

// tally counts for a few of many places, and is emptied by counting those few.
type tally struct {
	at   []counted
	seen []int32
	turn uint32
}

type counted struct {
	turn  uint32
	score float32
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

// posts are packed numbers, and how many.
type posts struct {
	n     int
	diffs string
}

type ranked struct {
	place int
	score float32
}

func newTally(n int) tally { return tally{at: make([]counted, n), turn: 1} }

func newScratch(l *List) *scratch {
	return &scratch{names: newTally(l.count), words: newTally(l.wordCount)}
}

func (t *tally) add(i int, v float32) {
	c := &t.at[i]
	if c.turn != t.turn {
		c.turn, c.score = t.turn, 0
		t.seen = append(t.seen, int32(i))
	}
	c.score += v
}

func (t *tally) addSeen(i int, v float32) {
	if c := &t.at[i]; c.turn == t.turn {
		c.score += v
	}
}

func (t *tally) clear() {
	t.seen = t.seen[:0]
	if t.turn++; t.turn == 0 {
		clear(t.at)
		t.turn = 1
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
	l.gather(s, name, hard)
	s.ranked = s.ranked[:0]
	for _, i := range s.names.seen {
		own := float32(u16(l.weights, int(i)*2)) * weightUnit
		s.ranked = append(s.ranked, ranked{int(i), 2 * s.names.at[i].score / (total + own)})
	}
	s.best = top(s.best, s.ranked, compared)
	return l.compare(s, name, s.best, n)
}

// gather scores the names that share rare words with the name asked for, and
// those that stand beside it in the list.
func (l *List) gather(s *scratch, name string, hard bool) {
	rare := false
	for _, a := range s.asked {
		for _, m := range a.meant {
			if posts, _ := l.posts(m.word); posts <= shortPosts {
				rare = true
			}
		}
	}
	if hard {
		from, to := l.around(name, groupSize/2)
		for i := from; i < to; i++ {
			s.names.add(i, 0)
		}
	}
	for pass := range 2 { // common words score only names found by rare ones
		for _, a := range s.asked {
			for _, m := range a.meant {
				posts, diffs := l.posts(m.word)
				common := posts > shortPosts
				if common == (pass == 0) && (rare || pass == 0) || posts > longPosts && rare {
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
		if onlySeen {
			s.names.addSeen(at, v)
		} else {
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
	s.word.set(word)
	short := 0
	s.posts = s.posts[:0]
	grams(word, func(g uint32) {
		n, diffs := l.gramPosts(g)
		if 0 < n && n <= shortGrams {
			short++
		}
		s.posts = append(s.posts, posts{n, diffs})
	})
	for _, p := range s.posts {
		if p.n > shortGrams && short >= rareGrams && !hard {
			continue
		}
		at := 0
		for range p.n {
			var d int
			d, p.diffs = uvarint(p.diffs)
			at += d
			s.words.add(at, 1)
		}
	}
	s.ranked = s.ranked[:0]
	for _, w := range s.words.seen {
		if c := s.words.at[w]; int(w) != known && (c.score > 1 || len(word) < 2*shortWord) {
			length := int(u32(l.wordAt, 4*int(w)+4) - u32(l.wordAt, 4*int(w)))
			s.ranked = append(s.ranked, ranked{int(w), 2 * c.score / float32(len(word)+length)})
		}
	}
	s.best = top(s.best, s.ranked, 2*fuzzyWords)
	for _, r := range s.best {
		other := l.wordOf(r.place)
		longer := max(len(word), len(other))
		limit := max(longer/3, 1) + 1
		if d := distance(&s.word, other, limit); d < limit {
			a.meant = append(a.meant, meant{r.place, 1 - float32(d)/float32(longer)})
		}
	}
	if hard && len(word) <= shortWord && len(a.meant) < 2 {
		l.shortWords(s, &a, len(word))
	}
	slices.SortStableFunc(a.meant, func(x, y meant) int { return cmp.Compare(y.alike, x.alike) })
	if len(a.meant) > fuzzyWords {
		a.meant = a.meant[:fuzzyWords]
	}
	return a
}

// shortWords adds the words that differ in one letter from the short word looked
// for: so few letters in threes are left of it that they lead nowhere.
func (l *List) shortWords(s *scratch, a *asked, length int) {
	for w := range l.wordCount {
		n := int(u32(l.wordAt, 4*w+4) - u32(l.wordAt, 4*w))
		if n < length-1 || n > length+1 || n < 2 {
			continue
		}
		if d := distance(&s.word, l.wordOf(w), 2); d == 1 {
			a.meant = append(a.meant, meant{w, 1 - 1/float32(max(n, length))})
		}
	}
}

// top returns the n of highest score, in order, in the room of best; equals stand
// in the order of their places.
func top(best, all []ranked, n int) []ranked {
	before := func(a, b ranked) bool {
		return a.score > b.score || a.score == b.score && a.place < b.place
	}
	best = best[:0]
	for _, r := range all {
		if len(best) == n && !before(r, best[n-1]) {
			continue
		}
		if len(best) < n {
			best = append(best, r)
		}
		i := len(best) - 1
		for ; i > 0 && before(r, best[i-1]); i-- {
			best[i] = best[i-1]
		}
		best[i] = r
	}
	return best
}

// compare measures the best names letter by letter.
func (l *List) compare(s *scratch, name string, best []ranked, n int) []Hit {
	key := AppendKey(s.key[:0], name)
	s.whole.set(key)
	hits := make([]Hit, 0, n+1)
	for _, r := range best {
		s.text = l.appendName(s.text[:0], r.place)
		s.key = appendKeyOf(s.key[:0], s.text)
		longer := max(s.whole.length, len(s.key))
		limit := max(longer/2, 2)
		d := distance(&s.whole, s.key, limit)
		letters := 1 - float32(d)/float32(longer)
		if d >= limit {
			letters = 0
		}
		near := max(letters, (letters+min(r.score, 1))/2)
		if r.score > sameWords { // the same words in another order
			near = max(near, sureNear)
		}
		if near >= leastNear {
			hits = append(hits, Hit{r.place, string(s.text), near})
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
