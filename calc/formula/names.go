package formula

import (
	"slices"
	"strings"

	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/names"
)

// OtherNames are further names of a substance, beside the one it is merged under.
type OtherNames struct {
	// Also are names of the same substance: tables are asked for these too.
	Also []string
	// Maybe are names that it may stand for or hold, where the sheet does not decide:
	// what the tables say of them is asked about.
	Maybe []string
}

func (o *OtherNames) add(more OtherNames) {
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

// Name is a substance as a sheet names it: the name it is merged under, the key
// of that, and its numbers.
type Name struct {
	INCI, Key string
	merge     string // Key, told apart where it is nano
	cas, ec   string
	nano      bool
	OtherNames
}

// ReadNames reads a printed name with its numbers: one substance, or several where
// one value joins them. Numbers then stay with the substance they belong to.
func ReadNames(dict *ingredients.Dictionary, printed, cas, ec string) []Name {
	reading := dict.Resolve(printed, cas, ec)
	var maybe []string
	for _, w := range reading.Within {
		maybe = append(append(maybe, w.Name), w.Also...)
	}
	out := make([]Name, 0, len(reading.Names))
	for _, n := range reading.Names {
		one := Name{INCI: n.Name, Key: ingredients.NameKey(n.Name), merge: SubstanceKey(n.Name, n.Nano),
			cas: cas, ec: ec, nano: n.Nano,
			OtherNames: OtherNames{n.Also, maybe}}
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
func shareOf(r exact.Range, i, n int) exact.Range {
	if n == 1 {
		return r
	}
	return exact.Range{Typ: r.Typ.Quo(exact.Int(int64(n))), Max: r.Max}
}

// shareTypical shares out the typical content of parts that stand in one value. Of one given
// as the rest to 100 the first has it all so far: each may be nothing or the whole of it.
func shareTypical(parts []Part, rest bool) {
	if whole := parts[0].Pct.Max; rest {
		for i := range parts {
			parts[i].Pct.Min, parts[i].Pct.Max = exact.Num{}, whole
		}
	}
	var typ exact.Num
	for i := range parts {
		typ = typ.Add(parts[i].Pct.Typ)
	}
	for i := range parts {
		parts[i].Pct.Typ = typ.Quo(exact.Int(int64(len(parts))))
	}
}

// Plant is what a substance's name says of a plant material; nil for nothing.
func Plant(s *Session, name string) *names.Plant {
	return MemoryOf[plantMemory](s).Of(name, func() *names.Plant { return s.Dict.Names().Plant(name) })
}

// plantMemory keeps what names say of plants.
type plantMemory struct{ Memo[string, *names.Plant] }

// LatinNames returns what could be genus and species in a name: the first two
// words, and those of a bracket, such as Ficus carica in Fig leaf absolute (Ficus
// carica).
func LatinNames(name string, p *names.Plant) []string {
	var list []string
	add := func(text string) {
		words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r < 'a' || r > 'z' })
		if len(words) > 1 && len(words[0]) > 2 && len(words[1]) > 2 &&
			!slices.Contains(list, words[0]+" "+words[1]) {
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

// Content is one substance of a value of a sheet, with its content in the
// material.
type Content struct {
	Key string      // see [Substance.Key]
	Pct exact.Range // % of the material
}

// DeclaredAs returns what the i-th declared allergen is counted as: one substance,
// or several that stand in one value.
func (m *Material) DeclaredAs(i int) []Content {
	return contentsOf(m.declared[i], m.Sheet.Allergens.Declared[i].Pct.Range)
}

// ImpurityAs returns what the i-th impurity is counted as.
func (m *Material) ImpurityAs(i int) []Content {
	return contentsOf(m.impurities[i], m.Sheet.Impurities[i].Amount.Range)
}

func contentsOf(list []Name, r exact.Range) []Content {
	out := make([]Content, len(list))
	for i, n := range list {
		out[i] = Content{SubstanceKey(n.INCI, n.nano), shareOf(r, i, len(list))}
	}
	return out
}

func SubstanceKey(inci string, nano bool) string {
	if nano {
		return ingredients.NameKey(inci) + " (nano)"
	}
	return ingredients.NameKey(inci)
}
