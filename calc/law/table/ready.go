package table

import (
	_ "embed"
	"hash/fnv"
	"io/fs"
	"iter"
	"sort"
	"strconv"
	"strings"

	"gallipot/calc/law/data"
	"gallipot/ingredients"
	"gallipot/ingredients/namelist"
)

// What follows from the tables inside the program stands beside them, worked out before:
// to find it out takes a small check longer than all it asks for. `go run ./testdata/ready`
// writes it; TestReady makes it again and compares.

//go:embed ready.txt
var readyText string

// ready is what was worked out of a set of tables. Each part is sorted by its keys.
type ready struct {
	of        namelist.Sorted // table → how many bytes it had
	meaning   namelist.Sorted // table → [TableInfo.Meaning]
	entries   entryWords      // names and numbers of prohibited.csv → rows
	marks     namelist.Sorted // place in limits.csv → what prohibited.csv says of the rule, see [Tables.markLimits]
	canonical namelist.Sorted // name in a table → the one it is merged under; empty: itself
	folded    namelist.Sorted // letters → name of the tables that they spell
	standards namelist.Sorted // substance of a Standard → the one it is another spelling of
	plants    namelist.Sorted // place in limits.csv, and behind it in prohibited.csv → names of plant materials, by bars
}

// parts are the parts of ready by their heads, but for the entries.
func (r *ready) parts() map[string]*namelist.Sorted {
	return map[string]*namelist.Sorted{"of": &r.of, "meaning": &r.meaning, "marks": &r.marks,
		"canonical": &r.canonical, "folded": &r.folded, "standards": &r.standards,
		"plants": &r.plants}
}

const readyHead, entriesHead = "== ", "entries"

// openReady cuts the text into its parts.
func openReady(text string) *ready {
	r := &ready{}
	parts := r.parts()
	for part := range strings.SplitSeq(text, "\n"+readyHead) {
		head, lines, _ := strings.Cut(part, "\n")
		head = strings.TrimPrefix(head, readyHead)
		if into := parts[head]; into != nil {
			*into = namelist.Sorted(lines)
		} else if head == entriesHead {
			r.entries = entryWords(lines)
		}
	}
	return r
}

// readyFor opens what was worked out of the tables of a folder; nil where nothing was.
func readyFor(dir fs.FS, text string) *ready {
	if !data.Inside(dir) {
		return nil
	}
	r := openReady(text)
	for table := range tableColumns {
		whole, err := data.Text(dir, table)
		if size, _ := r.of.Find(table); err != nil || size != strconv.Itoa(len(whole)) {
			return nil
		}
	}
	return r
}

// entryWords lead from names and numbers of prohibited.csv to the rows that have them:
// lines of one length, each a short word for the name or number and the place of the row, in
// the order of the words. Others may share a word: whoever finds a row looks into it.
type entryWords string

// How a word and a place are written: by digits of which 64 are one of the next kind.
const (
	wordDigits  = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ_abcdefghijklmnopqrstuvwxyz~" // in their order as characters
	wordLength  = 4
	placeLength = 2
	wordLine    = wordLength + placeLength + 1
)

// wordOf is the short word for a name or number.
func wordOf(key string) string {
	h := fnv.New64a()
	_, _ = h.Write([]byte(key))
	return digits(h.Sum64()>>20, wordLength)
}

// digits writes the last digits of a number.
func digits(n uint64, length int) string {
	var room [8]byte
	for i := length - 1; i >= 0; i-- {
		room[i] = wordDigits[n%uint64(len(wordDigits))]
		n /= uint64(len(wordDigits))
	}
	return string(room[:length])
}

// of gives the rows that may have a name or number, in the order of the table.
func (w entryWords) of(key string) iter.Seq[int] {
	return func(yield func(int) bool) {
		word := wordOf(key)
		line := func(i int) string { return string(w[i*wordLine : i*wordLine+wordLength+placeLength]) }
		count := len(w) / wordLine
		for i := sort.Search(count, func(i int) bool { return line(i) >= word }); i < count; i++ {
			at, same := strings.CutPrefix(line(i), word)
			if !same {
				return
			}
			row := 0
			for _, d := range at {
				row = row*len(wordDigits) + strings.IndexRune(wordDigits, d)
			}
			if !yield(row) {
				return
			}
		}
	}
}

// bareName is a name without what its letters and its key write differently, so that what is
// ready finds it by either.
func bareName(name string) string { return bare(ingredients.Letters(name)) }

// bare leaves the signs out that stand among letters.
func bare(letters string) string {
	if strings.ContainsAny(letters, "./") {
		letters = strings.NewReplacer(".", "", "/", "").Replace(letters)
	}
	return letters
}
