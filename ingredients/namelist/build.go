package namelist

import (
	"cmp"
	"encoding/binary"
	"fmt"
	"math"
	"slices"
)

// Layout of a packed list: seven sections, each after its length as a uint32.
//
//	names     groups of 16 names: letters shared with the name before, letters that follow
//	groups    uint32 place of each group in names
//	heads     the first 8 letters of the key of each group's first name
//	weights   uint16 weight of each name: the sum of the weights of its words
//	words     the words in order, uint32 places, then the letters
//	posts     uint32 places, then for each word the names it stands in, uint16 each
//	grams     uint32 three letters, uint32 place; then the words they stand in, uint16 each
const (
	secNames = iota
	secGroups
	secHeads
	secWeights
	secWords
	secPosts
	secGrams
	sections
)

const (
	groupSize = 16
	magic     = "nl3\n"
	most      = 1 << 16 // names of one list, and words of all of them
)

// Build packs names into a list. Names are put in the order of their keys, then
// of their letters; place tells for each name given its place in the list. Names
// of the same key stand next to each other.
//
// It fails for more than 65,536 names, or words of them.
func Build(names []string) (data []byte, place []int, err error) {
	if len(names) > most {
		return nil, nil, fmt.Errorf("%d names are more than a list takes (%d)", len(names), most)
	}
	order := make([]int, len(names))
	keys := make([]string, len(names))
	for i, n := range names {
		order[i], keys[i] = i, Key(n)
	}
	slices.SortFunc(order, func(a, b int) int {
		if d := cmp.Compare(keys[a], keys[b]); d != 0 {
			return d
		}
		return cmp.Compare(names[a], names[b])
	})
	place = make([]int, len(names))
	sorted := make([]string, len(names))
	for at, i := range order {
		place[i], sorted[at] = at, names[i]
	}
	secs := make([][]byte, sections)
	secs[secNames], secs[secGroups] = packNames(sorted)
	for i := 0; i < len(sorted); i += groupSize {
		secs[secHeads] = append(secs[secHeads], headOf([]byte(Key(sorted[i])))...)
	}
	list, of := wordsOf(sorted)
	if len(list) > most {
		return nil, nil, fmt.Errorf("%d words are more than a list takes (%d)", len(list), most)
	}
	secs[secWords] = packStrings(list)
	secs[secPosts] = packLists(of)
	secs[secWeights] = packWeights(len(sorted), of)
	secs[secGrams] = packGrams(list)
	data = append(data, magic...)
	data = binary.LittleEndian.AppendUint32(data, uint32(len(names)))
	for _, s := range secs {
		data = binary.LittleEndian.AppendUint32(data, uint32(len(s)))
		data = append(data, s...)
	}
	return data, place, nil
}

const headSize = 8

// headOf is the beginning of a key, filled up with zeros.
func headOf(key []byte) []byte {
	var head [headSize]byte
	copy(head[:], key)
	return head[:]
}

func packNames(sorted []string) (names, groups []byte) {
	for i, n := range sorted {
		shared := 0
		if i%groupSize == 0 {
			groups = binary.LittleEndian.AppendUint32(groups, uint32(len(names)))
		} else {
			for last := sorted[i-1]; shared < min(len(last), len(n)) && last[shared] == n[shared]; shared++ {
			}
		}
		names = binary.AppendUvarint(names, uint64(shared))
		names = binary.AppendUvarint(names, uint64(len(n)-shared))
		names = append(names, n[shared:]...)
	}
	return names, groups
}

// wordsOf returns the words of all names in order, each with the places of the
// names it stands in.
func wordsOf(sorted []string) (list []string, of [][]int) {
	posts := map[string][]int{}
	for i, n := range sorted {
		words(n, func(w []byte) {
			if p := posts[string(w)]; len(p) == 0 || p[len(p)-1] != i {
				posts[string(w)] = append(p, i)
			}
		})
	}
	for w := range posts {
		list = append(list, w)
	}
	slices.Sort(list)
	for _, w := range list {
		of = append(of, posts[w])
	}
	return list, of
}

func packStrings(list []string) []byte {
	var offsets, letters []byte
	for _, s := range list {
		offsets = binary.LittleEndian.AppendUint32(offsets, uint32(len(letters)))
		letters = append(letters, s...)
	}
	offsets = binary.LittleEndian.AppendUint32(offsets, uint32(len(letters)))
	head := binary.LittleEndian.AppendUint32(nil, uint32(len(list)))
	return slices.Concat(head, offsets, letters)
}

func packLists(lists [][]int) []byte {
	var offsets, body []byte
	for _, l := range lists {
		offsets = binary.LittleEndian.AppendUint32(offsets, uint32(len(body)))
		body = appendPlaces(body, l)
	}
	offsets = binary.LittleEndian.AppendUint32(offsets, uint32(len(body)))
	return append(offsets, body...)
}

func appendPlaces(body []byte, l []int) []byte {
	for _, v := range l {
		body = binary.LittleEndian.AppendUint16(body, uint16(v))
	}
	return body
}

// weight of a word that stands in n of all names: the rarer, the more it tells.
//
//	weight = ln(all / n) + 1
func weight(all, n int) float32 {
	return float32(math.Log(float64(all)/float64(n))) + 1
}

// weightUnit is the smallest step of a packed weight.
const weightUnit = 1.0 / 64

func packWeights(names int, of [][]int) []byte {
	sum := make([]float32, names)
	for _, l := range of {
		for _, i := range l {
			sum[i] += weight(names, len(l))
		}
	}
	var out []byte
	for _, s := range sum {
		out = binary.LittleEndian.AppendUint16(out, uint16(min(s/weightUnit, math.MaxUint16)))
	}
	return out
}

// packGrams packs, for each three letters in a row, the words they stand in.
func packGrams(list []string) []byte {
	posts := map[uint32][]int{}
	for i, w := range list {
		grams(w, func(g uint32) {
			if p := posts[g]; len(p) == 0 || p[len(p)-1] != i {
				posts[g] = append(p, i)
			}
		})
	}
	all := make([]uint32, 0, len(posts))
	for g := range posts {
		all = append(all, g)
	}
	slices.Sort(all)
	head := binary.LittleEndian.AppendUint32(nil, uint32(len(all)))
	var table, body []byte
	for _, g := range all {
		table = binary.LittleEndian.AppendUint32(table, g)
		table = binary.LittleEndian.AppendUint32(table, uint32(len(body)))
		body = appendPlaces(body, posts[g])
	}
	table = binary.LittleEndian.AppendUint32(table, 0) // beyond the last, for its end
	table = binary.LittleEndian.AppendUint32(table, uint32(len(body)))
	return slices.Concat(head, table, body)
}

// grams calls yield with each three letters in a row, the edges of the word
// counted as letters.
func grams[T string | []byte](word T, yield func(g uint32)) {
	g := uint32('^')
	for i := range len(word) + 1 {
		c := byte('$')
		if i < len(word) {
			c = word[i]
		}
		g = g<<8&0xffffff | uint32(c)
		if i > 0 {
			yield(g)
		}
	}
}
