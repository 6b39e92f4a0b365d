package namelist

import (
	"cmp"
	"slices"
)

// hit is a name near to another.
type hit struct {
	Place int
	Name  string
	// Near says how near it is: 1 for the same key, 0 for nothing in common.
	Near float32
}

// Bounds of a search for near names, chosen by measuring.
const (
	shortPosts = 400  // a word in more names than this leads to none alone
	longPosts  = 1200 // a word in more names than this tells nothing beside rarer ones
	rareGrams  = 6    // so many threes of letters of a word are followed, the rarest first
	fuzzyWords = 5    // words taken for one that is not in the list
	compared   = 12   // names compared letter by letter
	shortWord  = 5    // letters of a word compared with all others as short
	leastNear  = 0.6  // names less near than this are not given
	sameWords  = 0.97 // a score of this is that of the same words
	sureNear   = 0.8  // a best name less near than this looks further
	longest    = 4000 // bytes of a text that is looked for; the longest name of the lists has 2,046
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
	posts  []string
	hits   []hit
	text   []byte
	key    []byte
	work   work
}

// work counts what searches have done, for the tests that bound it.
type work struct {
	hard     int // searches that looked for near words of known words too
	posts    int // numbers read of the index
	compared int // words and names compared letter by letter
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

type ranked struct {
	place int
	score float32
}

func newTally(n int) tally { return tally{at: make([]counted, n), turn: 1} }

func newScratch(l *List) *scratch {
	return &scratch{names: newTally(l.count), words: newTally(l.wordCount)}
}

// add counts v for each of the places, two bytes each.
func (t *tally) add(places string, v float32) {
	for ; len(places) >= 2; places = places[2:] {
		t.addOne(int(u16(places, 0)), v)
	}
}

func (t *tally) addOne(i int, v float32) {
	c := &t.at[i]
	if c.turn != t.turn {
		c.turn, c.score = t.turn, 0
		t.seen = append(t.seen, int32(i))
	}
	c.score += v
}

// addSeen counts v for those of the places that are counted already.
func (t *tally) addSeen(places string, v float32) {
	for ; len(places) >= 2; places = places[2:] {
		if c := &t.at[u16(places, 0)]; c.turn == t.turn {
			c.score += v
		}
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
// list, the nearest first; names equally near in the order of the list. A text of more than
// 4,000 bytes is near to none.
func (l *List) Nearest(name string, n int) []hit {
	s := l.scratch.Get().(*scratch)
	defer l.scratch.Put(s)
	return l.nearest(s, name, n)
}

func (l *List) nearest(s *scratch, name string, n int) []hit {
	if len(name) > longest {
		return nil
	}
	l.search(s, name, false)
	if len(s.hits) == 0 || s.hits[0].Near < sureNear {
		s.work.hard++
		l.search(s, name, true)
	}
	hits := slices.Clone(s.hits[:min(n, len(s.hits))])
	for i := range hits {
		hits[i].Name = l.Name(hits[i].Place)
	}
	return hits
}

// search finds near names; hard looks for the near words of known words too.
func (l *List) search(s *scratch, name string, hard bool) {
	s.hits = s.hits[:0]
	total, count := float32(0), 0
	words(name, func(w []byte) {
		if count == len(s.asked) {
			s.asked = append(s.asked, asked{})
		}
		l.meantBy(s, &s.asked[count], w, hard)
		total += s.asked[count].weight
		count++
	})
	if count == 0 || l.count == 0 {
		return
	}
	s.names.clear()
	l.gather(s, s.asked[:count], name, hard)
	s.ranked = s.ranked[:0]
	for _, i := range s.names.seen {
		own := float32(u16(l.weights, int(i)*2)) * weightUnit
		s.ranked = append(s.ranked, ranked{int(i), 2 * s.names.at[i].score / (total + own)})
	}
	s.best = top(s.best, s.ranked, compared)
	l.compare(s, name, s.best)
}

// gather scores the names that share rare words with the name asked for, and
// those that stand beside it in the list.
func (l *List) gather(s *scratch, list []asked, name string, hard bool) {
	rare := false
	for _, a := range list {
		for _, m := range a.meant {
			rare = rare || len(l.posts(m.word))/2 <= shortPosts
		}
	}
	if hard {
		from, to := l.around(name, groupSize/2)
		for i := from; i < to; i++ {
			s.names.addOne(i, 0)
		}
	}
	for pass := range 2 { // common words score only names found by rare ones
		for _, a := range list {
			for _, m := range a.meant {
				p := l.posts(m.word)
				n := len(p) / 2
				common := n > shortPosts
				if common == (pass == 0) && (rare || pass == 0) || n > longPosts && rare {
					continue
				}
				s.work.posts += n
				if common && rare {
					s.names.addSeen(p, m.alike*a.weight)
				} else {
					s.names.add(p, m.alike*a.weight)
				}
			}
		}
	}
}

// meantBy finds the words of the list that a word may mean.
func (l *List) meantBy(s *scratch, a *asked, word []byte, hard bool) {
	known := l.findWord(word)
	a.weight, a.meant = weight(l.count, 1), a.meant[:0]
	if known >= 0 {
		a.weight = weight(l.count, len(l.posts(known))/2)
		a.meant = append(a.meant, meant{known, 1})
	}
	if known >= 0 && !hard || len(word) < 3 {
		return
	}
	s.words.clear()
	s.word.set(word)
	l.shareThrees(s, word, hard)
	s.ranked = s.ranked[:0]
	limit := max(len(word)/2, 1) // no word is near whose length differs by more
	for _, w := range s.words.seen {
		c := s.words.at[w]
		if int(w) == known || c.score <= 1 && len(word) > shortWord {
			continue
		}
		length := int(u32(l.wordAt, 4*int(w)+4) - u32(l.wordAt, 4*int(w)))
		if length-len(word) <= limit && len(word)-length <= limit {
			s.ranked = append(s.ranked, ranked{int(w), 2 * c.score / float32(len(word)+length)})
		}
	}
	s.best = top(s.best, s.ranked, 2*fuzzyWords)
	s.work.compared += len(s.best)
	for _, r := range s.best {
		other := l.wordOf(r.place)
		longer := max(len(word), len(other))
		limit := max(longer/3, 1) + 1
		if d := distance(&s.word, other, limit); d < limit {
			a.meant = append(a.meant, meant{r.place, 1 - float32(d)/float32(longer)})
		}
	}
	if hard && len(word) <= shortWord && len(a.meant) < 2 {
		l.shortWords(s, a, len(word))
	}
	slices.SortStableFunc(a.meant, func(x, y meant) int { return cmp.Compare(y.alike, x.alike) })
	if len(a.meant) > fuzzyWords {
		a.meant = a.meant[:fuzzyWords]
	}
}

// shareThrees counts for the words of the list how many threes of letters they share
// with a word. One slip breaks three of them, four where two letters are swapped, so
// the rarest few are enough; hard follows them all.
func (l *List) shareThrees(s *scratch, word []byte, hard bool) {
	s.posts = s.posts[:0]
	grams(word, func(g uint32) {
		if p := l.gramPosts(g); p != "" {
			s.posts = append(s.posts, p)
		}
	})
	if !hard && len(s.posts) > rareGrams {
		slices.SortStableFunc(s.posts, func(a, b string) int { return len(a) - len(b) })
		s.posts = s.posts[:rareGrams]
	}
	for _, p := range s.posts {
		s.work.posts += len(p) / 2
		s.words.add(p, 1)
	}
}

// shortWords adds the words that differ in one letter from the short word looked
// for: so few letters in threes are left of it that they lead nowhere.
func (l *List) shortWords(s *scratch, a *asked, length int) {
	for w := range l.wordCount {
		n := int(u32(l.wordAt, 4*w+4) - u32(l.wordAt, 4*w))
		if n < length-1 || n > length+1 || n < 2 {
			continue
		}
		s.work.compared++
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
func (l *List) compare(s *scratch, name string, best []ranked) {
	s.work.compared += len(best)
	key := appendKey(s.key[:0], name)
	s.whole.set(key)
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
			s.hits = append(s.hits, hit{Place: r.place, Near: near})
		}
	}
	slices.SortStableFunc(s.hits, func(a, b hit) int {
		if d := cmp.Compare(b.Near, a.Near); d != 0 {
			return d
		}
		return a.Place - b.Place
	})
}
