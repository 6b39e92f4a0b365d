package inventory

import (
	_ "embed"
	"errors"
	"slices"
	"sort"
	"strings"
	"sync"

	"gallipot/ingredients/namelist"
)

//go:embed data/inventory.bin
var packed string

// Kind says what a name of the inventory is to the substance.
type Kind byte

// The kinds of names.
const (
	Official      Kind = iota // a name of the inventory itself
	former                    // what the inventory says a name was before
	inn                       // international non-proprietary name
	pharmacopoeia             // European Pharmacopoeia
	chemical                  // chemical name
	annexName                 // as an annex of the Regulation prints it
	foreignName               // of the same CAS number in a list of EFSA
	sheetName                 // met on safety data sheets
)

// Name is a name that was found, with the official names it leads to: one for
// most, several where the lists give the same other name to several substances.
type Name struct {
	Text     string // as the list spells it
	Kind     Kind
	Official []string
}

// Near is a name near to one that is in no list.
type Near struct {
	Name
	Near float32 // 1 for the same letters, 0 for nothing in common
}

// Entry is what the inventory says of one official name.
type Entry struct {
	Name      string
	CAS, EC   []string // as printed; a few fail their check digit (marks c and e)
	Functions []string // codes, such as SCE
	Annex     []string // entries of the Regulation, such as II/665; state of spring 2024
	Edition   string   // latest edition that has the name: 2026-07, 2020-12 or 2006
	Marks     string   // letters explained in data/README.md
}

// Superseded says whether the name is old: only in the inventory of 2000/2006, or
// in the list of 2020 and not among the active names since.
func (e Entry) Superseded() bool { return strings.ContainsAny(e.Marks, "or") }

// Numbered says whether the lists give CAS numbers of the name; for names newer
// than December 2020 they do not.
func (e Entry) Numbered() bool { return len(e.CAS) > 0 }

// function is an official function word.
type function struct{ Code, Word string }

// Inventory is the opened inventory. It is safe for use by several at a time.
type Inventory struct {
	list      *namelist.List
	others    string
	cas, ec   string
	lines     *namelist.Lines
	functions func() []function
}

var errPacked = errors.New("inventory: data/inventory.bin is not what its tables make; " +
	"run UPDATE=1 go test ./ingredients/inventory")

// Open opens the embedded inventory. Nothing is unpacked by it.
func Open() (*Inventory, error) { return open(packed) }

func open(data string) (*Inventory, error) {
	secs, err := namelist.OpenSections(layout, data, sections)
	if err != nil {
		return nil, err
	}
	list, err := namelist.Open(secs[secNames])
	if err != nil {
		return nil, err
	}
	lines, err := namelist.OpenLines(secs[secLines])
	if err != nil {
		return nil, err
	}
	if lines.Len() != list.Len() || len(secs[secOthers])%otherSize != 0 {
		return nil, errPacked
	}
	return &Inventory{list: list, others: secs[secOthers], cas: secs[secCAS], ec: secs[secEC],
		lines:     lines,
		functions: sync.OnceValue(func() []function { return readFunctions(secs[secFunctions]) })}, nil
}

func u32(s string, at int) uint32 {
	return uint32(s[at]) | uint32(s[at+1])<<8 | uint32(s[at+2])<<16 | uint32(s[at+3])<<24
}

func u16(s string, at int) int { return int(s[at]) | int(s[at+1])<<8 }

// otherSize is how many bytes a record of the names that are not official has.
const otherSize = 5

// other is record i of the names that are not official: where the name stands, what
// it is, and where the official name stands.
func (v *Inventory) other(i int) (place int, kind Kind, target int) {
	at := otherSize * i
	return u16(v.others, at), Kind(v.others[at+2]), u16(v.others, at+3)
}

// firstOther is the first record of the names that are not official at or after a place.
func (v *Inventory) firstOther(place int) int {
	return sort.Search(len(v.others)/otherSize, func(i int) bool { return u16(v.others, otherSize*i) >= place })
}

// isOfficial says whether the name at a place is one of the inventory itself.
func (v *Inventory) isOfficial(place int) bool {
	i := v.firstOther(place)
	return i == len(v.others)/otherSize || u16(v.others, otherSize*i) != place
}

// Len is the number of official names.
func (v *Inventory) Len() int {
	n, last := v.list.Len(), -1
	for i := range len(v.others) / otherSize {
		if place, _, _ := v.other(i); place != last {
			n, last = n-1, place
		}
	}
	return n
}

// Names returns all official names, in the order of their keys.
func (v *Inventory) Names() []string {
	var out []string
	for i, n := range v.list.All() {
		if v.isOfficial(i) {
			out = append(out, n)
		}
	}
	return out
}

// Find returns the names of the lists that a text spells as a whole: letter case,
// spaces, hyphens, dots and brackets apart. Several are spellings of one
// substance, the one in use first.
func (v *Inventory) Find(text string) []Name {
	places := v.list.Find(text)
	out := make([]Name, 0, len(places))
	for _, p := range places {
		out = append(out, v.name(p))
	}
	if len(out) > 1 {
		slices.SortStableFunc(out, func(a, b Name) int { return v.age(a) - v.age(b) })
	}
	return out
}

func (v *Inventory) age(n Name) int {
	if e, ok := v.Entry(n.Official[0]); ok && e.Superseded() {
		return 1
	}
	return 0
}

func (v *Inventory) name(place int) Name { return v.nameOf(place, v.list.Name(place)) }

// nameOf is the name at a place, whose text is known.
func (v *Inventory) nameOf(place int, text string) Name {
	n := Name{Text: text}
	for i := v.firstOther(place); i < len(v.others)/otherSize; i++ {
		at, kind, target := v.other(i)
		if at != place {
			break
		}
		n.Kind, n.Official = kind, append(n.Official, v.list.Name(target))
	}
	if n.Kind == Official {
		n.Official = []string{n.Text}
	}
	return n
}

// Nearest returns at most n names near to a text that is no name, the nearest
// first.
func (v *Inventory) Nearest(text string, n int) []Near {
	hits := v.list.Nearest(text, n)
	out := make([]Near, 0, len(hits))
	for _, h := range hits {
		out = append(out, Near{v.nameOf(h.Place, h.Name), h.Near})
	}
	return out
}

// Entry returns what the inventory says of an official name; it unpacks one block.
func (v *Inventory) Entry(official string) (Entry, bool) {
	for _, p := range v.list.Find(official) {
		if v.isOfficial(p) && v.list.Name(p) == official {
			return v.entry(p), true
		}
	}
	for _, p := range v.list.Find(official) {
		if v.isOfficial(p) {
			return v.entry(p), true
		}
	}
	return Entry{}, false
}

func (v *Inventory) entry(place int) Entry {
	e := Entry{Name: v.list.Name(place)}
	cells := strings.Split(v.lines.Line(place), "\t")
	if len(cells) != 6 {
		return e
	}
	e.CAS, e.EC, e.Edition, e.Marks = cut(cells[0]), cut(cells[1]), cells[4], cells[5]
	e.Functions, e.Annex = strings.Fields(cells[2]), strings.Fields(cells[3])
	return e
}

// ByCAS returns the official names that the lists give a CAS number to, in order.
// A number whose check digit is wrong has none.
func (v *Inventory) ByCAS(cas string) []string {
	n, ok := casNumber(cas)
	if !ok {
		return nil
	}
	return v.byNumber(v.cas, n)
}

// ByEC returns the official names that the lists give an EC number to, in order.
func (v *Inventory) ByEC(ec string) []string {
	n, ok := ecNumber(ec)
	if !ok {
		return nil
	}
	return v.byNumber(v.ec, n)
}

func (v *Inventory) byNumber(table string, n uint32) []string {
	var names []string
	i := sort.Search(len(table)/6, func(i int) bool { return u32(table, 6*i) >= n })
	for ; i < len(table)/6 && u32(table, 6*i) == n; i++ {
		names = append(names, v.list.Name(u16(table, 6*i+4)))
	}
	return names
}

// Functions returns the official function words, by code.
func (v *Inventory) Functions() []function { return v.functions() }

// FunctionWord returns the official word of a function code, or the code.
func (v *Inventory) FunctionWord(code string) string {
	for _, f := range v.functions() {
		if f.Code == code {
			return f.Word
		}
	}
	return code
}

func readFunctions(csv string) []function {
	var out []function
	for i, line := range strings.Split(csv, "\n") {
		if cells := strings.Split(strings.TrimSpace(line), ","); i > 0 && len(cells) == 3 {
			out = append(out, function{cells[0], cells[1]})
		}
	}
	return out
}
