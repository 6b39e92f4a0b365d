package paper

import (
	"context"
	"encoding/binary"
	"errors"
	"math"
	"unicode/utf16"

	"github.com/tetratelabs/wazero/api"
)

// handle is a thing inside the sandbox: a document, a page, a drawn thing.
type handle = uint64

// sandbox is the PDF module running for one document: its functions are called by their
// names as in its C interface, and nothing of it outlives the document. Each call costs as
// much as reading a word, so that what can be asked for a page at once is.
type sandbox struct {
	ctx     context.Context
	stop    context.CancelFunc // ends whatever runs inside
	mod     api.Module
	scratch handle // room inside for what a call returns beside its result

	functions map[string]api.Function
	stack     [16]uint64
	count     func(name string) // counts calls in tests; nil else
}

// The results that the C interface has as numbers.
const (
	errPassword = 4 // FPDF_GetLastError

	objText, objPath, objImage, objForm = 1, 2, 3, 5 // FPDFPageObj_GetType
	renderInvisible                     = 3          // FPDFTextObj_GetTextRenderMode
	segmentLine                         = 0          // FPDFPathSegment_GetType
)

var errSandbox = errors.New("the reader gave up")

// newSandbox takes over a module that has just been started.
func newSandbox(ctx context.Context, stop context.CancelFunc, mod api.Module) (*sandbox, error) {
	s := &sandbox{ctx: ctx, stop: stop, mod: mod, functions: map[string]api.Function{}}
	if _, ok := s.call("FPDF_InitLibrary"); !ok {
		return nil, errSandbox
	}
	var ok bool
	if s.scratch, ok = s.room(64); !ok {
		return nil, errSandbox
	}
	return s, nil
}

// call calls a function; ok is false where there is none, and where it was ended.
func (s *sandbox) call(name string, args ...uint64) (result uint64, ok bool) {
	f := s.functions[name]
	if f == nil {
		if f = s.mod.ExportedFunction(name); f == nil {
			return 0, false
		}
		s.functions[name] = f
	}
	if s.count != nil {
		s.count(name)
	}
	copy(s.stack[:], args)
	if err := f.CallWithStack(s.ctx, s.stack[:]); err != nil {
		return 0, false
	}
	return s.stack[0], true
}

// number calls a function whose result is a whole number; 0 where it was ended.
func (s *sandbox) number(name string, args ...uint64) int {
	n, _ := s.call(name, args...)
	return int(int32(n))
}

// float calls a function whose result is a number with a fraction.
func (s *sandbox) float(name string, args ...uint64) float64 {
	x, ok := s.call(name, args...)
	if !ok {
		return 0
	}
	return float64(api.DecodeF32(x))
}

// room takes memory inside the sandbox.
func (s *sandbox) room(bytes int) (handle, bool) {
	at, ok := s.call("malloc", uint64(bytes))
	return at, ok && at != 0
}

// floats reads numbers that a call left in the scratch room.
func (s *sandbox) floats(n int) ([6]float32, bool) {
	var out [6]float32
	data, ok := s.mod.Memory().Read(uint32(s.scratch), uint32(4*n))
	for i := 0; ok && i < n; i++ {
		out[i] = math.Float32frombits(binary.LittleEndian.Uint32(data[4*i:]))
	}
	return out, ok
}

// rect calls a function that leaves a rectangle as left, top, right, bottom.
func (s *sandbox) rect(name string, args ...uint64) (r [6]float32, ok bool) {
	if done, ended := s.call(name, append(args, s.scratch)...); !ended || done == 0 {
		return r, false
	}
	return s.floats(4)
}

// open opens a document.
//
// Errors: a [*Trouble].
func (s *sandbox) open(data []byte) (handle, error) {
	at, ok := s.room(len(data))
	if !ok || !s.mod.Memory().Write(uint32(at), data) {
		return 0, trouble("broken", "")
	}
	doc, ok := s.call("FPDF_LoadMemDocument64", at, uint64(len(data)), 0)
	switch {
	case ok && doc != 0:
		return doc, nil
	case ok && s.number("FPDF_GetLastError") == errPassword:
		return 0, trouble("password", "")
	}
	return 0, trouble("broken", "")
}

// text is the text of a page of so many letters, one rune a letter; false where the module
// leaves letters out, so that places and runes do not agree.
func (s *sandbox) text(page handle, count int) ([]rune, bool) {
	at, ok := s.room(2 * (count + 1))
	if !ok {
		return nil, false
	}
	defer s.call("free", at)
	if n := s.number("FPDFText_GetText", page, 0, uint64(count), at); n != count+1 {
		return nil, false
	}
	data, ok := s.mod.Memory().Read(uint32(at), uint32(2*count))
	if !ok {
		return nil, false
	}
	out := make([]rune, count)
	for i := range out {
		out[i] = rune(binary.LittleEndian.Uint16(data[2*i:]))
		if utf16.IsSurrogate(out[i]) {
			return nil, false
		}
	}
	return out, true
}

// drawn draws a page of so many dots, as red, green, blue and opacity one after another.
func (s *sandbox) drawn(page handle, width, height int) ([]byte, bool) {
	w, h := uint64(width), uint64(height)
	bitmap, ok := s.call("FPDFBitmap_Create", w, h, 0)
	if !ok || bitmap == 0 {
		return nil, false
	}
	const white, notes = 0xffffffff, 1
	s.call("FPDFBitmap_FillRect", bitmap, 0, 0, w, h, white)
	s.call("FPDF_RenderPageBitmap", bitmap, page, 0, 0, w, h, 0, notes)
	at, ok := s.call("FPDFBitmap_GetBuffer", bitmap)
	stride := s.number("FPDFBitmap_GetStride", bitmap)
	if !ok || at == 0 || stride < 4*width {
		return nil, false
	}
	data, ok := s.mod.Memory().Read(uint32(at), uint32(stride*height))
	if !ok {
		return nil, false
	}
	out := make([]byte, 0, 4*width*height)
	for y := range height {
		for row := data[y*stride:][:4*width]; len(row) > 0; row = row[4:] {
			out = append(out, row[2], row[1], row[0], 0xff)
		}
	}
	return out, true
}

// close ends the sandbox and lets its memory go.
func (s *sandbox) close() {
	s.stop()
	_ = s.mod.Close(context.Background()) // nothing of it is kept
}
