package namelist

// pattern is a text to be compared with many others: for each letter, the places
// it stands at, as bits.
type pattern struct {
	at     [256]uint64
	text   []byte
	length int
	rest   *pattern // what differs of a text of more than 64 letters
}

func (p *pattern) set(text []byte) {
	for _, c := range p.text {
		p.at[c] = 0
	}
	p.text = append(p.text[:0], text...)
	p.length = len(text)
	if p.length <= 64 {
		for i, c := range text {
			p.at[c] |= 1 << i
		}
	}
}

// distance counts letters left out, added, changed or swapped with the next
// between a pattern and a text, no letter touched twice; anything from limit on
// may come back as limit.
//
// Up to 64 letters one column of the table of distances is two words of bits, its
// steps up and down. Source: H. Hyyrö, "A bit-vector algorithm for computing
// Levenshtein and Damerau edit distances", Nordic Journal of Computing 10 (2003).
func distance[T string | []byte](p *pattern, text T, limit int) int {
	if d := p.length - len(text); d >= limit || -d >= limit {
		return limit
	}
	if p.length == 0 {
		return len(text)
	}
	if p.length > 64 {
		return p.long([]byte(text), limit)
	}
	up, down := ^uint64(0), uint64(0)
	var diagonal, before uint64
	last := uint64(1) << (p.length - 1)
	d := p.length
	for i := range len(text) {
		here := p.at[text[i]]
		swapped := ((^diagonal & here) << 1) & before
		diagonal = (((here & up) + up) ^ up) | here | down | swapped
		right, left := down|^(diagonal|up), diagonal&up
		if right&last != 0 {
			d++
		} else if left&last != 0 {
			d--
		}
		if d-(len(text)-1-i) >= limit {
			return limit
		}
		right, left = right<<1|1, left<<1
		up, down, before = left|^(diagonal|right), diagonal&right, here
	}
	return min(d, limit)
}

// long compares a pattern of more than 64 letters: what both have in common at
// the head and the end is left away, and the rest compared.
func (p *pattern) long(b []byte, limit int) int {
	a := p.text
	for len(a) > 0 && len(b) > 0 && a[0] == b[0] {
		a, b = a[1:], b[1:]
	}
	for len(a) > 0 && len(b) > 0 && a[len(a)-1] == b[len(b)-1] {
		a, b = a[:len(a)-1], b[:len(b)-1]
	}
	if len(a) > len(b) {
		a, b = b, a
	}
	switch {
	case len(a) == 0:
		return min(len(b), limit)
	case len(a) > 64: // far apart: good enough for what is only put in order
		return limit
	}
	if p.rest == nil {
		p.rest = &pattern{}
	}
	p.rest.set(a)
	return distance(p.rest, b, limit)
}
