package frame

import (
	"cmp"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"gallipot/calc/formula"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/pattern"
)

// Namer writes sentences for a page: a material is called by its name and not by its id.
type Namer struct {
	names map[string]string // for sentences
	all   map[string]string
	most  int                      // the length of the longest id in names
	files func() map[string]string // what a file of the workshop is called in a sentence
	done  map[string]string        // what to do, as it was worded already
	of    *workshop.Workshop
}

// file finds the files that the maker's values stand in.
var file = pattern.New(`\b(?:ingredients|products)/[a-z0-9-]+\.ya?ml\b`)

// NamesOf returns the namer of a workshop.
func NamesOf(w *workshop.Workshop) Namer {
	n := Namer{names: map[string]string{}, all: make(map[string]string, len(w.Sheets)),
		files: sync.OnceValue(func() map[string]string { return filesNamed(w) }), done: map[string]string{}, of: w}
	for id, sheet := range w.Sheets {
		if sheet.Name != "" {
			n.all[id] = sheet.Name
		}
		if strings.ContainsAny(id, "-0123456789") && sheet.Name != "" { // a plain word may mean itself
			n.names[id], n.most = sheet.Name, max(n.most, len(id))
		}
	}
	for _, p := range w.Products {
		if strings.Contains(p.ID, "-") {
			n.names[p.ID], n.most = p.Name, max(n.most, len(p.ID))
		}
	}
	n.variants(w)
	return n
}

// filesNamed says what the files of sheets and products are called.
func filesNamed(w *workshop.Workshop) map[string]string {
	files := map[string]string{}
	for id, sheet := range w.Sheets {
		if src := w.SheetSource(id); src != nil && sheet.Name != "" {
			files[src.Name] = "the sheet of " + sheet.Name
		}
	}
	for _, p := range w.Products {
		if p.Source != nil && p.Name != "" {
			files[p.Source.Name] = "the file of " + p.Name
		}
	}
	return files
}

// variants names those whose short name tells them from all others and from materials.
func (n *Namer) variants(w *workshop.Workshop) {
	times := map[string]int{}
	for _, p := range w.Products {
		for i := range p.Variants {
			times[p.Variants[i].ID]++
		}
	}
	for _, p := range w.Products {
		for i := range p.Variants {
			v := p.Variants[i]
			if _, taken := n.all[v.ID]; strings.Contains(v.ID, "-") && times[v.ID] == 1 && !taken && n.names[v.ID] == "" {
				n.names[v.ID], n.most = VariantName(p, v), max(n.most, len(v.ID))
			}
		}
	}
}

// pair is what a variant is called whose product is named with it; the pair itself where there
// is none.
func (n *Namer) pair(ids string) string {
	product, variant, _ := strings.Cut(ids, "/")
	if p := n.of.Product(product); p != nil {
		for _, v := range p.Variants {
			if v.ID == variant {
				return cmp.Or(v.Name, p.Name+", "+VariantShort(p, v), ids)
			}
		}
	}
	return ids
}

// Sentence makes a sentence of a message, with names in place of ids.
func (n Namer) Sentence(s string) string { return sentence(n.Short(s)) }

// Worded is [Namer.Short] for a text that speaks of files: what is typed into one elsewhere is a
// field here, and is called as its page calls it.
func (n Namer) Worded(s string) string { return n.Short(fieldsNamed(plain(s))) }

// Short returns a text with names in place of ids and of the files of sheets and products.
func (n Namer) Short(s string) string {
	if strings.Contains(s, "ingredients/") || strings.Contains(s, "products/") {
		s = file.ReplaceAllStringFunc(s, func(name string) string {
			if words := n.files()[name]; words != "" {
				return words
			}
			return name
		})
	}
	named, some := n.named(s)
	if some {
		named, _ = n.named(named) // two ids that share the space between them
	}
	return named
}

// What an id stands between, where no text begins or ends.
const (
	beforeID = " \t\n\f\r(,:“\""
	afterID  = " \t\n\f\r),.;:”\"'’]"
)

// named writes names in place of ids, the longest id at each place, and says whether there
// was one. What stands behind an id is not looked at again.
func (n Namer) named(s string) (string, bool) {
	var b strings.Builder
	done := 0
	for i := 0; i < len(s); {
		r, width := utf8.DecodeRuneInString(s[i:])
		from, to := i, 0
		if i == 0 {
			to = n.idAt(s, 0)
		}
		if to == 0 && strings.ContainsRune(beforeID, r) {
			from = i + width
			to = n.idAt(s, from)
		}
		if to == 0 {
			i += width
			continue
		}
		b.WriteString(s[done:from])
		b.WriteString(n.names[s[from:to]])
		done, i = to, to
		if to < len(s) {
			_, width := utf8.DecodeRuneInString(s[to:])
			i += width
		}
	}
	if done == 0 {
		return s, false
	}
	b.WriteString(s[done:])
	return b.String(), true
}

// idAt is where the longest id ends that begins at a place, 0 where none does.
func (n Namer) idAt(s string, from int) int {
	for to := min(len(s), from+n.most); to > from; to-- {
		if to < len(s) {
			if r, _ := utf8.DecodeRuneInString(s[to:]); !strings.ContainsRune(afterID, r) {
				continue
			}
		}
		if _, is := n.names[s[from:to]]; is {
			return to
		}
	}
	return 0
}

// Name returns the name of a material, or its id where it has none.
func (n Namer) Name(id string) string {
	if name := n.all[id]; name != "" {
		return name
	}
	return id
}

// VariantName returns what a variant is called beside its product: without the name of the
// product in front.
func VariantName(p *workshop.Product, v *formula.Variant) string {
	name := strings.TrimPrefix(v.Name, p.Name)
	name = strings.TrimLeft(name, " ,:–-")
	switch {
	case name == "" && v.ID == "":
		return "the only variant"
	case name == "":
		return v.ID
	}
	return name
}

// VariantShort returns a word or two for a variant, for a narrow place: its id with a capital.
func VariantShort(p *workshop.Product, v *formula.Variant) string {
	if v.ID == "" {
		return "the product"
	}
	if name := VariantName(p, v); letters(name) == letters(v.ID) {
		return name // as it was typed
	}
	s := strings.ReplaceAll(v.ID, "-", " ")
	return strings.ToUpper(s[:1]) + s[1:]
}

// letters are those of a name and its figures, in small ones.
func letters(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, s)
}

// sentence makes a sentence of a message.
func sentence(s string) string {
	if s == "" {
		return s
	}
	r := []rune(s)
	s = strings.ToUpper(string(r[0])) + string(r[1:])
	if !strings.ContainsAny(s[len(s)-1:], ".?!") {
		s += "."
	}
	return s
}
