package deepcopy

import (
	"reflect"
	"testing"
)

type inner struct {
	Width *float64
	Names []string
}

type outer struct {
	Min, Max int
	Inner    *inner
	Rows     []inner
	Cells    [2]inner
	Notes    map[string][]int
	Any      any
	None     *inner
	Empty    []string
	hidden   int
}

func value() outer {
	w := 8.43
	return outer{
		Min: 1, Max: 3, Inner: &inner{Width: &w, Names: []string{"a", "b"}},
		Rows: []inner{{Names: []string{"c"}}, {Width: &w}}, Cells: [2]inner{{Names: []string{"d"}}, {}},
		Notes: map[string][]int{"x": {1, 2}}, Any: []string{"e"}, Empty: []string{},
	}
}

func TestCopy(t *testing.T) {
	for name, copied := range map[string]func(dst *outer, src outer) error{
		"a value":   func(dst *outer, src outer) error { return Copy(dst, src) },
		"a pointer": func(dst *outer, src outer) error { return Copy(dst, &src) },
	} {
		t.Run(name, func(t *testing.T) {
			src, dst := value(), outer{None: &inner{}}
			if err := copied(&dst, src); err != nil {
				t.Fatal(err)
			}
			if !reflect.DeepEqual(dst, value()) {
				t.Fatalf("the copy is %+v", dst)
			}
			*dst.Inner.Width = 1
			dst.Inner.Names[0], dst.Rows[0].Names[0], dst.Cells[0].Names[0] = "z", "z", "z"
			dst.Notes["x"][0], dst.Notes["y"], dst.Any.([]string)[0] = 9, nil, "z"
			if !reflect.DeepEqual(src, value()) {
				t.Fatalf("a change of the copy changes what it was made of: %+v", src)
			}
		})
	}
}

func TestCopyHidden(t *testing.T) {
	src, dst := outer{hidden: 1}, outer{hidden: 2}
	if err := Copy(&dst, src); err != nil || dst.hidden != 2 {
		t.Fatalf("%v, %d", err, dst.hidden)
	}
}

func TestCopyRefused(t *testing.T) {
	var dst outer
	for name, err := range map[string]error{
		"no pointer":    Copy(dst, value()),
		"a nil pointer": Copy((*outer)(nil), value()),
		"of nothing":    Copy(&dst, nil),
		"of a nil":      Copy(&dst, (*outer)(nil)),
		"another type":  Copy(&dst, inner{}),
		"a function":    Copy(&struct{ F func() }{}, struct{ F func() }{func() {}}),
		"a channel":     Copy(&struct{ C chan int }{}, struct{ C chan int }{make(chan int)}),
	} {
		if err == nil {
			t.Errorf("%s is not refused", name)
		}
	}
	if err := Copy(&struct{ F func() }{}, struct{ F func() }{}); err != nil {
		t.Error(err)
	}
}
