package main

import (
	"encoding/binary"
	"errors"
	"fmt"
	"slices"
)

// The parts of a WebAssembly file that are read here, by their numbers in the core
// specification, version 2.0 (https://www.w3.org/TR/wasm-core-2/), section 5.5, and the
// exception-handling proposal.
const (
	sectionType, sectionImport, sectionFunction, sectionGlobal = 1, 2, 3, 6
	sectionExport, sectionStart, sectionElement, sectionCode   = 7, 8, 9, 10
)

// section is one part of a file.
type section struct {
	id   byte
	data []byte
}

// module is a WebAssembly file as far as it has to be understood.
type module struct {
	sections  []section
	types     []uint32 // the type of each function, imported ones first; equal types are one
	canonical []uint32 // the first type that is the same, by its number
	imported  int
	bodies    [][]byte // code of the functions that are not imported
	exports   []export
	roots     []uint32 // functions that start, or stand in globals
	tabled    []uint32 // functions that a table holds
}

type export struct {
	name  string
	kind  byte
	index uint32
}

// withoutUncalled gives each function that no call reaches a body that stops, and takes
// functions that are not called off the exports. What is reached: called exports, what starts
// by itself, what these call, and every function of a table whose type is called through a
// table in code that is reached. left says how many functions stay.
func withoutUncalled(data []byte, called map[string]bool) (lean []byte, left string, err error) {
	defer func() { // a read beyond the end
		if r := recover(); r != nil {
			err = fmt.Errorf("the WebAssembly file is not understood: %v", r)
		}
	}()
	m := parseModule(data)
	var keep []export
	for _, e := range m.exports {
		if e.kind == 0 && !called[e.name] {
			continue
		}
		keep = append(keep, e)
		if e.kind == 0 {
			m.roots = append(m.roots, e.index)
		}
	}
	if len(m.roots) == 0 {
		return nil, "", errors.New("the module has no function that is called")
	}
	reached := m.reached()
	kept := 0
	var code []byte
	code = binary.AppendUvarint(code, uint64(len(m.bodies)))
	for i, body := range m.bodies {
		if reached[m.imported+i] {
			kept++
		} else {
			body = []byte{0, opUnreachable, opEnd} // no locals
		}
		code = binary.AppendUvarint(code, uint64(len(body)))
		code = append(code, body...)
	}
	var exports []byte
	exports = binary.AppendUvarint(exports, uint64(len(keep)))
	for _, e := range keep {
		exports = binary.AppendUvarint(exports, uint64(len(e.name)))
		exports = append(append(exports, e.name...), e.kind)
		exports = binary.AppendUvarint(exports, uint64(e.index))
	}
	lean = append(lean, data[:8]...)
	for _, s := range m.sections {
		switch s.id {
		case sectionCode:
			s.data = code
		case sectionExport:
			s.data = exports
		case 0:
			continue // names and notes of the compiler
		}
		lean = append(lean, s.id)
		lean = binary.AppendUvarint(lean, uint64(len(s.data)))
		lean = append(lean, s.data...)
	}
	return lean, fmt.Sprintf("%d functions of %d", kept, len(m.bodies)), nil
}

// reached says of each function whether something reaches it.
func (m *module) reached() []bool {
	reached := make([]bool, m.imported+len(m.bodies))
	byType := map[uint32][]uint32{}
	for _, f := range m.tabled {
		byType[m.types[f]] = append(byType[m.types[f]], f)
	}
	queue := slices.Clone(m.roots)
	for len(queue) > 0 {
		f := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		if reached[f] {
			continue
		}
		reached[f] = true
		if int(f) < m.imported {
			continue // outside; what it calls in here it calls by a name
		}
		calls(m.bodies[int(f)-m.imported], func(f uint32) { queue = append(queue, f) }, func(t uint32) {
			t = m.canonical[t]
			queue = append(queue, byType[t]...)
			delete(byType, t)
		})
	}
	return reached
}

// parseModule reads a file; it panics where that is cut off or not known.
func parseModule(data []byte) *module {
	if len(data) < 8 || string(data[:8]) != "\x00asm\x01\x00\x00\x00" {
		panic(errors.New("it does not begin as one"))
	}
	m := &module{}
	r := &reader{data: data[8:]}
	for len(r.data) > 0 {
		id := r.byte()
		s := section{id, r.take(r.u32())}
		m.sections = append(m.sections, s)
		m.read(id, &reader{data: s.data})
	}
	return m
}

func (m *module) read(id byte, r *reader) {
	switch id {
	case sectionType:
		first := map[string]uint32{}
		for i := range r.u32() {
			before := r.data
			if form := r.byte(); form != 0x60 {
				panic(fmt.Errorf("a type of form %#x", form))
			}
			r.take(r.u32())
			r.take(r.u32())
			key := string(before[:len(before)-len(r.data)])
			if _, ok := first[key]; !ok {
				first[key] = i
			}
			m.canonical = append(m.canonical, first[key])
		}
	case sectionImport:
		for range r.u32() {
			r.take(r.u32())
			r.take(r.u32())
			switch kind := r.byte(); kind {
			case 0:
				m.types = append(m.types, m.canonical[r.u32()])
				m.imported++
			case 1:
				r.byte()
				r.limits()
			case 2:
				r.limits()
			case 3:
				r.take(2)
			case 4:
				r.byte()
				r.u32()
			default:
				panic(fmt.Errorf("an import of kind %d", kind))
			}
		}
	case sectionFunction:
		for range r.u32() {
			m.types = append(m.types, m.canonical[r.u32()])
		}
	case sectionGlobal:
		for range r.u32() {
			r.take(2)
			m.roots = append(m.roots, r.constant()...)
		}
	case sectionExport:
		for range r.u32() {
			name := string(r.take(r.u32()))
			m.exports = append(m.exports, export{name, r.byte(), r.u32()})
		}
	case sectionStart:
		m.roots = append(m.roots, r.u32())
	case sectionElement:
		for range r.u32() {
			m.element(r)
		}
	case sectionCode:
		for range r.u32() {
			m.bodies = append(m.bodies, r.take(r.u32()))
		}
	}
}

// element reads what is put into a table; the forms are those of section 5.5.12.
func (m *module) element(r *reader) {
	form := r.u32()
	if form > 7 {
		panic(fmt.Errorf("elements of form %d", form))
	}
	if form&1 == 0 { // at a place of a table
		if form&2 != 0 {
			r.u32()
		}
		m.tabled = append(m.tabled, r.constant()...)
	}
	if form&3 != 0 {
		r.byte()
	}
	for range r.u32() {
		if form&4 == 0 {
			m.tabled = append(m.tabled, r.u32())
		} else {
			m.tabled = append(m.tabled, r.constant()...)
		}
	}
}

// reader reads numbers and bytes one after another; beyond the end it panics.
type reader struct{ data []byte }

func (r *reader) byte() byte { return r.take(1)[0] }

func (r *reader) take(n uint32) []byte {
	out := r.data[:n]
	r.data = r.data[n:]
	return out
}

// u32 reads an unsigned number; signed reads past one of any length.
func (r *reader) u32() uint32 {
	n, size := binary.Uvarint(r.data)
	if size <= 0 || n > 0xffffffff {
		panic(errors.New("a number is cut off"))
	}
	r.take(uint32(size))
	return uint32(n)
}

func (r *reader) signed() {
	for r.byte()&0x80 != 0 {
	}
}

func (r *reader) limits() {
	if flags := r.byte(); flags&1 != 0 {
		r.u32()
	}
	r.u32()
}

// constant reads an expression that stands for a value, and answers the functions in it.
func (r *reader) constant() (functions []uint32) {
	for {
		switch op := r.byte(); op {
		case opEnd:
			return functions
		case opRefFunc:
			functions = append(functions, r.u32())
		default:
			r.operands(op, nil, nil)
		}
	}
}
