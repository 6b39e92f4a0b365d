package namelist

import (
	"bytes"
	"encoding/binary"
	"errors"
	"slices"
	"sort"
	"strings"
	"sync"
)

// List is a packed list of names. It is safe for use by several at a time.
type List struct {
	count         int
	names, groups string
	heads         string
	weights       string
	wordCount     int
	wordAt, word  string
	postAt, post  string
	gramCount     int
	gramAt, gram  string
	scratch       sync.Pool
}

var errPacked = errors.New("namelist: not a packed list of names, or a cut one")

// Open reads the outline of a packed list, as [Build] makes it. The data is used
// in place. It fails for data of another form.
func Open(data string) (*List, error) {
	if len(data) < len(magic)+4 || data[:len(magic)] != magic {
		return nil, errPacked
	}
	l := &List{count: int(u32(data, len(magic)))}
	rest := data[len(magic)+4:]
	var secs [sections]string
	for i := range secs {
		if len(rest) < 4 {
			return nil, errPacked
		}
		n := int(u32(rest, 0))
		if n < 0 || n > len(rest)-4 {
			return nil, errPacked
		}
		secs[i], rest = rest[4:4+n], rest[4+n:]
	}
	l.names, l.groups, l.heads, l.weights = secs[secNames], secs[secGroups], secs[secHeads], secs[secWeights]
	if len(l.groups) != 4*((l.count+groupSize-1)/groupSize) || len(l.heads) != 2*len(l.groups) ||
		len(l.weights) != 2*l.count || len(secs[secWords]) < 8 || len(secs[secGrams]) < 4 {
		return nil, errPacked
	}
	l.wordCount = int(u32(secs[secWords], 0))
	at := 4 + 4*(l.wordCount+1)
	if at > len(secs[secWords]) || 4*(l.wordCount+1) > len(secs[secPosts]) {
		return nil, errPacked
	}
	l.wordAt, l.word = secs[secWords][4:at], secs[secWords][at:]
	l.postAt, l.post = secs[secPosts][:4*(l.wordCount+1)], secs[secPosts][4*(l.wordCount+1):]
	l.gramCount = int(u32(secs[secGrams], 0))
	at = 4 + 8*(l.gramCount+1)
	if at > len(secs[secGrams]) {
		return nil, errPacked
	}
	l.gramAt, l.gram = secs[secGrams][4:at], secs[secGrams][at:]
	l.scratch.New = func() any { return newScratch(l) }
	return l, nil
}

func u32(s string, at int) uint32 {
	return uint32(s[at]) | uint32(s[at+1])<<8 | uint32(s[at+2])<<16 | uint32(s[at+3])<<24
}

func u16(s string, at int) uint16 { return uint16(s[at]) | uint16(s[at+1])<<8 }

// uvarint reads a number at the head of s and returns it with the rest.
func uvarint(s string) (int, string) {
	v, shift := uint64(0), 0
	for i := 0; i < len(s) && i < binary.MaxVarintLen64; i++ {
		v |= uint64(s[i]&0x7f) << shift
		if s[i] < 0x80 {
			return int(v), s[i+1:]
		}
		shift += 7
	}
	return 0, ""
}

// Len is the number of names.
func (l *List) Len() int { return l.count }

// Name returns the name at a place, spelled as it was given.
func (l *List) Name(place int) string { return string(l.appendName(nil, place)) }

// appendName appends the name at a place to dst.
func (l *List) appendName(dst []byte, place int) []byte {
	rest := l.names[u32(l.groups, place/groupSize*4):]
	start := len(dst)
	for range place%groupSize + 1 {
		var shared, n int
		if rest[0]|rest[1] < 0x80 { // both lengths in a byte each
			shared, n, rest = int(rest[0]), int(rest[1]), rest[2:]
		} else {
			shared, rest = uvarint(rest)
			n, rest = uvarint(rest)
		}
		dst = append(dst[:start+shared], rest[:n]...)
		rest = rest[n:]
	}
	return dst
}

// Find returns the places of all names with the key of a name, in order.
func (l *List) Find(name string) []int {
	var room, text, probe [128]byte
	want := appendKey(room[:0], name)
	if len(want) == 0 {
		return nil
	}
	head := string(headOf(want))
	group := sort.Search(len(l.groups)/4, func(g int) bool {
		switch c := strings.Compare(l.heads[g*headSize:(g+1)*headSize], head); {
		case c != 0:
			return c > 0
		}
		return bytes.Compare(appendKeyOf(probe[:0], l.appendName(text[:0], g*groupSize)), want) >= 0
	})
	var places []int
	for place := max(group-1, 0) * groupSize; place < l.count; place++ {
		switch c := bytes.Compare(appendKeyOf(probe[:0], l.appendName(text[:0], place)), want); {
		case c > 0:
			return places
		case c == 0:
			places = append(places, place)
		}
	}
	return places
}

// around returns the places of the names that stand before and after a name, as
// many each way.
func (l *List) around(name string, each int) (from, to int) {
	var room, text, probe [128]byte
	want := appendKey(room[:0], name)
	at := sort.Search(l.count, func(i int) bool {
		return bytes.Compare(appendKeyOf(probe[:0], l.appendName(text[:0], i)), want) >= 0
	})
	return max(at-each, 0), min(at+each, l.count)
}

// wordOf returns a word by its number.
func (l *List) wordOf(w int) string {
	return l.word[u32(l.wordAt, 4*w):u32(l.wordAt, 4*w+4)]
}

// findWord returns the number of a word, or -1.
func (l *List) findWord(word []byte) int {
	from, to := 0, l.wordCount
	for from < to {
		switch mid := (from + to) / 2; {
		case l.wordOf(mid) < string(word):
			from = mid + 1
		default:
			to = mid
		}
	}
	if from == l.wordCount || l.wordOf(from) != string(word) {
		return -1
	}
	return from
}

// posts returns the places of the names a word stands in, two bytes each.
func (l *List) posts(w int) string { return l.post[u32(l.postAt, 4*w):u32(l.postAt, 4*w+4)] }

// gramPosts returns the numbers of the words that hold three letters, two bytes each.
func (l *List) gramPosts(g uint32) string {
	from, to := 0, l.gramCount
	for from < to {
		if mid := (from + to) / 2; u32(l.gramAt, 8*mid) < g {
			from = mid + 1
		} else {
			to = mid
		}
	}
	if from == l.gramCount || u32(l.gramAt, 8*from) != g {
		return ""
	}
	return l.gram[u32(l.gramAt, 8*from+4):u32(l.gramAt, 8*from+12)]
}

// All returns every name, in order of the keys.
func (l *List) All() []string {
	out := make([]string, 0, l.count)
	var name []byte
	for i := range l.count {
		name = l.appendName(name[:0], i)
		out = append(out, string(name))
	}
	return slices.Clip(out)
}
