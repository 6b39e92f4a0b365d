package calc

import (
	"slices"
	"strings"

	"gallipot/ingredients"
	"gallipot/ingredients/names"
)

// otherNames are further names of a substance, beside the one it is merged under.
type otherNames struct {
	// Also are names of the same substance: tables are asked for these too.
	Also []string
	// Maybe are names that it may stand for or hold, where the sheet does not decide:
	// what the tables say of them is asked about.
	Maybe []string
}

func (o *otherNames) add(more otherNames) {
	for _, n := range more.Also {
		if !slices.Contains(o.Also, n) {
			o.Also = append(o.Also, n)
		}
	}
	for _, n := range more.Maybe {
		if !slices.Contains(o.Maybe, n) {
			o.Maybe = append(o.Maybe, n)
		}
	}
}

// name is a substance as a sheet names it: the name it is merged under, the key
// of that, and its numbers.
type name struct {
	inci, key string
	cas, ec   string
	nano      bool
	otherNames
}

// readNames reads a printed name with its numbers: one substance, or several where
// one value joins them. Numbers then stay with the substance they belong to.
func readNames(dict *ingredients.Dictionary, printed, cas, ec string) []name {
	reading := dict.Resolve(printed, cas, ec)
	var maybe []string
	for _, w := range reading.Within {
		maybe = append(append(maybe, w.Name), w.Also...)
	}
	out := make([]name, 0, len(reading.Names))
	for _, n := range reading.Names {
		one := name{inci: n.Name, key: ingredients.NameKey(n.Name), cas: cas, ec: ec, nano: n.Nano, otherNames: otherNames{n.Also, maybe}}
		if reading.Several() && !slices.Contains(dict.Numbers(n.Name), cas) {
			one.cas, one.ec = "", ""
		}
		out = append(out, one)
	}
	return out
}

// shareOf is the content of the i-th of n substances that stand in one value: each
// may be nothing or the whole, and is counted with the whole in every limit; the
// typical value is shared out evenly.
func shareOf(r ingredients.Range, i, n int) ingredients.Range {
	if n == 1 {
		return r
	}
	return ingredients.Range{Typ: r.Typ.Quo(ingredients.Int(int64(n))), Max: r.Max}
}

// shareRest shares out the typical contents of parts that stand in one value
// given as the rest to 100.
func (m *Material) shareRest(shared []int) {
	for from := 0; from < len(shared); {
		to := from + 1
		for to < len(shared) && m.Parts[shared[to]].Pos == m.Parts[shared[from]].Pos {
			to++
		}
		var typ ingredients.Num
		for _, i := range shared[from:to] {
			typ = typ.Add(m.Parts[i].Pct.Typ)
		}
		for _, i := range shared[from:to] {
			m.Parts[i].Pct.Typ = typ.Quo(ingredients.Int(int64(to - from))).Min(m.Parts[i].Pct.Max)
		}
		from = to
	}
}

// allNames are the names that tables are asked for, the merged one first.
func (s *Substance) allNames() []string { return append([]string{s.INCI}, s.Also...) }

// plant is what a substance's name says of a plant material; nil for nothing.
func plant(dict *ingredients.Dictionary, name string) *names.Plant { return dict.Names().Plant(name) }

// latinNames returns what could be genus and species in a name: the first two
// words, and those of a bracket, such as Ficus carica in Fig leaf absolute (Ficus
// carica).
func latinNames(name string, p *names.Plant) []string {
	var list []string
	add := func(text string) {
		words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r < 'a' || r > 'z' })
		if len(words) > 1 && len(words[0]) > 2 && len(words[1]) > 2 && !slices.Contains(list, words[0]+" "+words[1]) {
			list = append(list, words[0]+" "+words[1])
		}
	}
	add(p.Of)
	for _, piece := range names.Read(name) {
		if piece.Kind == names.Bracket {
			add(piece.Inside())
		}
	}
	return list
}
