package main

import "fmt"

// The instructions that are named here, of section 5.4 of the core specification and of the
// exception-handling proposal.
const (
	opUnreachable, opEnd                            = 0x00, 0x0b
	opBlock, opLoop, opIf                           = 0x02, 0x03, 0x04
	opTry, opCatch, opThrow, opRethrow, opThrowRef  = 0x06, 0x07, 0x08, 0x09, 0x0a
	opBr, opBrIf, opBrTable                         = 0x0c, 0x0d, 0x0e
	opCall, opCallIndirect                          = 0x10, 0x11
	opReturnCall, opReturnCallIndirect              = 0x12, 0x13
	opDelegate, opTryTable, opSelectTyped           = 0x18, 0x1f, 0x1c
	opLocalGet, opTableSet                          = 0x20, 0x26
	opLoad, opStoreLast, opMemorySize, opMemoryGrow = 0x28, 0x3e, 0x3f, 0x40
	opI32Const, opI64Const, opF32Const, opF64Const  = 0x41, 0x42, 0x43, 0x44
	opRefNull, opRefFunc, prefixMore, prefixVector  = 0xd0, 0xd2, 0xfc, 0xfd
	firstPlain, lastPlain                           = 0x45, 0xc4
)

// calls walks the code of a function and tells what it calls by number, and with which types
// it calls through a table. A function that is taken as a value counts as called.
func calls(body []byte, call, indirect func(uint32)) {
	r := &reader{data: body}
	for range r.u32() { // locals
		r.u32()
		r.byte()
	}
	for len(r.data) > 0 {
		r.operands(r.byte(), call, indirect)
	}
}

// operands reads what follows an instruction.
func (r *reader) operands(op byte, call, indirect func(uint32)) {
	switch {
	case op == opCall, op == opReturnCall, op == opRefFunc:
		call(r.u32())
	case op == opCallIndirect, op == opReturnCallIndirect:
		indirect(r.u32())
		r.u32() // the table
	case op == opBlock, op == opLoop, op == opIf, op == opTry:
		r.signed() // the type of the block
	case op == opTryTable:
		r.signed()
		for range r.u32() {
			if kind := r.byte(); kind < 2 { // of one tag
				r.u32()
			}
			r.u32()
		}
	case op == opBr, op == opBrIf, op == opCatch, op == opThrow, op == opRethrow, op == opDelegate,
		op >= opLocalGet && op <= opTableSet:
		r.u32()
	case op == opBrTable:
		for range r.u32() {
			r.u32()
		}
		r.u32()
	case op == opSelectTyped:
		r.take(r.u32())
	case op >= opLoad && op <= opStoreLast:
		r.memory()
	case op == opMemorySize, op == opMemoryGrow, op == opRefNull:
		r.byte()
	case op == opI32Const, op == opI64Const:
		r.signed()
	case op == opF32Const:
		r.take(4)
	case op == opF64Const:
		r.take(8)
	case op == prefixMore:
		r.more()
	case op == prefixVector:
		r.vector()
	case op == 0x00, op == 0x01, op == 0x05, op == opThrowRef, op == opEnd, op == 0x0f, op == 0x19,
		op == 0x1a, op == 0x1b, op == 0xd1, op >= firstPlain && op <= lastPlain:
		// nothing follows
	default:
		panic(fmt.Errorf("instruction %#x", op))
	}
}

// memory reads where in memory.
func (r *reader) memory() {
	if align := r.u32(); align >= 0x40 {
		panic(fmt.Errorf("a second memory"))
	}
	r.u32()
}

// more reads what follows an instruction of the second table.
func (r *reader) more() {
	switch op := r.u32(); {
	case op <= 7: // numbers cut to whole ones
	case op == 8, op == 10, op == 12, op == 14: // memory.init, memory.copy, table.init, table.copy
		r.u32()
		r.u32()
	case op <= 17:
		r.u32()
	default:
		panic(fmt.Errorf("instruction 0xfc %d", op))
	}
}

// vector reads what follows an instruction on vectors.
func (r *reader) vector() {
	switch op := r.u32(); {
	case op <= 11, op == 92, op == 93:
		r.memory()
	case op == 12, op == 13:
		r.take(16)
	case op >= 21 && op <= 34:
		r.byte()
	case op >= 84 && op <= 91:
		r.memory()
		r.byte()
	case op <= 0x113:
	default:
		panic(fmt.Errorf("instruction 0xfd %d", op))
	}
}
