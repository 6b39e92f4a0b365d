package finding

import (
	"slices"
	"strconv"

	"gallipot/ingredients/exact"
)

// valueKind is what a value of a finding is.
type valueKind uint8

// The kinds of value. None of them is a sentence: sentences stand in the table of
// wordings and are made when a finding is printed.
const (
	KindNumber valueKind = iota + 1 // a number or a range, with its unit
	KindName                        // a name: of a substance, a material, a file, a key
	KindQuote                       // words as the maker, a paper or a row of a table has them
	KindDate
	KindPlace // a place in a file
	KindCount // how many
	KindTerm  // a key of the small vocabulary, with the values that its words name
	KindList  // several of these
)

// Value is one thing that a finding says, under the name that the wording uses. There are
// many of them: what few have stands behind a pointer.
type Value struct {
	Name string
	Text string    // of a name or a quotation; the key of a term; a number as its own rule prints it
	ID   string    // of a name: what the maker's files call it
	Low  exact.Num // of a number: unrounded; of a range its lower end
	Unit string
	List Values
	high *exact.Num // of a range; nil: no range
	pos  *exact.Pos // of a place

	n int32 // a day, or how many there are
	// Round says how a number is printed; see Rounding.
	Round Rounding
	Kind  valueKind
	// Source marks what a finding rests on and is not what it says: two findings
	// that differ in nothing else are one, with the sources of both.
	Source bool
}

// High is the upper end of a range, unrounded; Low where a number is none.
func (x *Value) High() exact.Num {
	if x.high == nil {
		return x.Low
	}
	return *x.high
}

// Date is the day of a value that is one.
func (x *Value) Date() exact.Date { return exact.Date(x.n) }

// Count is how many a value says there are.
func (x *Value) Count() int { return int(x.n) }

// Pos is the place of a value that is one.
func (x *Value) Pos() exact.Pos {
	if x.pos == nil {
		return exact.Pos{}
	}
	return *x.pos
}

// Rounding says how a number is printed: 0 as it is, n above 0 to n significant
// digits, n below 0 to -n significant digits and never upwards, from 100 on to
// n - 100 decimals.
type Rounding int16

// The roundings in use. What is printed as allowed must be allowed: it is rounded
// down.
const (
	AsIs        Rounding = 0
	FourDigits  Rounding = 4
	ThreeDigits Rounding = 3
	FourDown    Rounding = -4
	ThreeDown   Rounding = -3
	OneDecimal  Rounding = 101
)

// Of prints a number by the rounding.
func (r Rounding) Of(n exact.Num) string {
	switch {
	case r == AsIs:
		return n.Exact()
	case r >= 100:
		return n.Fixed(int(r - 100))
	case r < 0:
		return n.SigDown(int(-r))
	}
	return n.Sig(int(r))
}

// Values are the values of a finding, a summand or a term, in the order in which
// they were given.
//
//	ingredients.With().Name("lot", lot).Day("until", day).Num("limit", n, "%", ingredients.AsIs)
//
// What is empty (a name without letters, a day that is not known, a list without
// entries) is left out: the wording has an optional part for it.
type Values []Value

// With begins a list of values.
func With() Values { return nil }

// mostHave is how many values most lists have: room for them is made at once.
const mostHave = 3

func (v Values) add(x Value) Values {
	if cap(v) == 0 {
		v = make(Values, 0, mostHave)
	}
	return append(v, x)
}

// Num adds a number with its unit.
func (v Values) Num(name string, n exact.Num, unit string, r Rounding) Values {
	return v.add(Value{Name: name, Kind: KindNumber, Low: n, Unit: unit, Round: r})
}

// MaybeNum adds a number where there is one.
func (v Values) MaybeNum(name string, n *exact.Num, unit string, r Rounding) Values {
	if n == nil {
		return v
	}
	return v.Num(name, *n, unit, r)
}

// Range adds the ends of a range; one number where they are the same.
func (v Values) Range(name string, x exact.Range, unit string, r Rounding) Values {
	out := Value{Name: name, Kind: KindNumber, Low: x.Min, Unit: unit, Round: r}
	if !x.Min.Equal(x.Max) {
		most := x.Max
		out.high = &most
	}
	return v.add(out)
}

// Figure adds a number that a rule of its own rounds, as printed.
func (v Values) Figure(name, shown, unit string) Values {
	if shown == "" {
		return v
	}
	return v.add(Value{Name: name, Kind: KindNumber, Text: shown, Unit: unit})
}

// Name adds a name.
func (v Values) Name(name, text string) Values {
	if text == "" {
		return v
	}
	return v.add(Value{Name: name, Kind: KindName, Text: text})
}

// Is adds a value that is made already.
func (v Values) Is(name string, x Value) Values {
	x.Name = name
	return v.add(x)
}

// Flag adds a term without values where it holds.
func (v Values) Flag(holds bool, key string) Values {
	if !holds {
		return v
	}
	return v.Term(key, key, nil)
}

// Names adds a list of names.
func (v Values) Names(name string, texts []string) Values {
	list := make(Values, 0, len(texts))
	for _, t := range texts {
		list = list.Name("", t)
	}
	return v.Those(name, list)
}

// Quote adds words as they stand in the maker's file, a paper or a table.
func (v Values) Quote(name, text string) Values {
	if text == "" {
		return v
	}
	return v.add(Value{Name: name, Kind: KindQuote, Text: text})
}

// Quotes adds a list of quotations.
func (v Values) Quotes(name string, texts []string) Values {
	list := make(Values, 0, len(texts))
	for _, t := range texts {
		list = list.Quote("", t)
	}
	return v.Those(name, list)
}

// Day adds a date.
func (v Values) Day(name string, d exact.Date) Values {
	if d.IsZero() {
		return v
	}
	return v.add(Value{Name: name, Kind: KindDate, n: int32(d)})
}

// At adds a place in a file.
func (v Values) At(name string, pos exact.Pos) Values {
	if pos.IsZero() {
		return v
	}
	return v.add(Value{Name: name, Kind: KindPlace, pos: &pos})
}

// Count adds how many there are of something.
func (v Values) Count(name string, n int) Values {
	return v.add(Value{Name: name, Kind: KindCount, n: int32(n)})
}

// Term adds a key of the vocabulary with the values that its words name.
func (v Values) Term(name, key string, of Values) Values {
	if key == "" {
		return v
	}
	return v.add(Value{Name: name, Kind: KindTerm, Text: key, List: of})
}

// Those adds a list of values.
func (v Values) Those(name string, list Values) Values {
	if len(list) == 0 {
		return v
	}
	return v.add(Value{Name: name, Kind: KindList, List: list})
}

// Source adds what a finding rests on; see Value.Source. Several of one name are a
// list.
func (v Values) Source(name string, list Values) Values {
	if len(list) == 0 {
		return v
	}
	return v.add(Value{Name: name, Kind: KindList, List: list, Source: true})
}

// Set returns the values with those of the same names put in their place.
func (v Values) Set(others Values) Values {
	out := append(Values(nil), v...)
	for i := range out {
		if x, ok := others.Get(out[i].Name); ok {
			out[i] = x
		}
	}
	return out
}

// Get returns the value of a name.
func (v Values) Get(name string) (Value, bool) {
	for _, x := range v {
		if x.Name == name {
			return x, true
		}
	}
	return Value{}, false
}

// Named is a name with the id that the maker's files use for it; the id alone where
// there is no name.
func Named(id, name string) Value {
	if name == "" {
		name = id
	}
	return Value{Kind: KindName, Text: name, ID: id}
}

// Key tells values apart: equal keys say the same. Sources do not count.
func (v Values) Key() string { return string(v.appendKey(nil)) }

func (v Values) appendKey(b []byte) []byte {
	for i := range v {
		if !v[i].Source {
			b = v[i].appendKey(b)
		}
	}
	return b
}

func (x *Value) appendKey(b []byte) []byte {
	b = append(append(append(b, 1), x.Name...), 2)
	switch x.Kind {
	case KindNumber:
		if x.Text == "" {
			b = append(append(append(b, x.Low.Exact()...), 2), x.High().Exact()...)
		}
		b = append(append(b, x.Text...), x.Unit...)
	case KindDate:
		b = append(b, x.Date().String()...)
	case KindPlace:
		b = x.Pos().Append(b)
	case KindCount:
		b = strconv.AppendInt(b, int64(x.n), 10)
	default:
		b = append(append(append(b, x.ID...), 2), x.Text...)
	}
	for i := range x.List {
		b = x.List[i].appendKey(b)
	}
	return b
}

// Same says whether two values say the same: whether their keys are equal, without
// making them.
func (x *Value) Same(y *Value) bool {
	if x.Source || y.Source {
		return x.Source == y.Source
	}
	return x.same(y)
}

func (x *Value) same(y *Value) bool {
	if x.Name != y.Name || len(x.List) != len(y.List) {
		return false
	}
	switch x.Kind {
	case KindNumber:
		if y.Kind != KindNumber || x.Text != y.Text || x.Unit != y.Unit ||
			x.Text == "" && (!x.Low.Equal(y.Low) || !x.High().Equal(y.High())) {
			return false
		}
	case KindDate:
		if y.Kind != KindDate || x.n != y.n {
			return false
		}
	case KindPlace:
		a, b := x.Pos(), y.Pos()
		if y.Kind != KindPlace || a.File != b.File || a.Line != b.Line || a.Col != b.Col {
			return false
		}
	case KindCount:
		if y.Kind != KindCount || x.n != y.n {
			return false
		}
	default: // a name, a quotation and a term of one text say the same
		if y.Kind == KindNumber || y.Kind == KindDate || y.Kind == KindPlace || y.Kind == KindCount ||
			x.ID != y.ID || x.Text != y.Text {
			return false
		}
	}
	for i := range x.List {
		if !x.List[i].same(&y.List[i]) {
			return false
		}
	}
	return true
}

// Has says whether a value says the same as one of the list.
func (v Values) Has(x *Value) bool {
	for i := range v {
		if v[i].Same(x) {
			return true
		}
	}
	return false
}

// joinSources adds to the sources of v those of w that v does not have.
func (v Values) joinSources(w Values) Values {
	out, own := v, false
	for i := range out {
		if !out[i].Source {
			continue
		}
		at := slices.IndexFunc(w, func(x Value) bool { return x.Name == v[i].Name })
		if at < 0 {
			continue
		}
		list := slices.Clip(out[i].List)
		for j := range w[at].List {
			if x := &w[at].List[j]; !list.Has(x) {
				list = append(list, *x)
			}
		}
		if len(list) == len(out[i].List) {
			continue // it has them all
		}
		if !own {
			out, own = slices.Clone(v), true
		}
		out[i].List = list
	}
	return out
}
