package dossier

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"regexp"
	"slices"
	"sort"
	"time"

	"github.com/xuri/excelize/v2"
)

const contentTypes = "[Content_Types].xml"

var defaultTypeRE = regexp.MustCompile(`<Default [^>]*>(?:</Default>)?`)

// packedWorkbook packs a workbook in one fixed order, since the library's may
// change from run to run, and puts the cached results beside the formulas, which
// the library would store as texts or not at all.
func packedWorkbook(f *excelize.File, results map[string]map[string]cachedResult) ([]byte, error) {
	parts := workbookParts{}
	f.SetZipWriter(func(io.Writer) excelize.ZipWriter { return parts })
	if err := f.Write(io.Discard); err != nil {
		return nil, err
	}
	names := slices.SortedFunc(maps.Keys(parts), func(a, b string) int {
		switch {
		case a == b:
			return 0
		case a == contentTypes || b != contentTypes && a < b:
			return -1
		}
		return 1
	})
	files := make([]packedPart, len(names))
	inParallel(len(names), func(i int) { files[i] = packPart(names[i], parts[names[i]].Bytes(), results[names[i]]) })
	var out bytes.Buffer
	zw := zip.NewWriter(&out)
	for i, name := range names {
		if files[i].err != nil {
			return nil, files[i].err
		}
		zw.RegisterCompressor(zip.Deflate, func(w io.Writer) (io.WriteCloser, error) { return &deflatedPart{w, files[i].packed}, nil })
		w, err := zw.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)})
		if err != nil {
			return nil, err
		}
		if _, err := w.Write(files[i].data); err != nil {
			return nil, err
		}
	}
	if err := zw.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// workbookParts takes the files of a workbook from the library as they are.
type workbookParts map[string]*bytes.Buffer

func (p workbookParts) Create(name string) (io.Writer, error) {
	p[name] = &bytes.Buffer{}
	return p[name], nil
}

func (p workbookParts) AddFS(fs.FS) error { return errors.New("a workbook takes no folder") }

func (p workbookParts) Close() error { return nil }

// packedPart is one file of a workbook, as it is and compressed.
type packedPart struct {
	data, packed []byte
	err          error
}

// packPart sets a part in order and compresses it.
func packPart(name string, data []byte, results map[string]cachedResult) packedPart {
	if name == contentTypes {
		data = sortedDefaults(data)
	}
	if results != nil {
		data = withResults(data, results)
	}
	var b bytes.Buffer
	w, err := flate.NewWriter(&b, flate.DefaultCompression)
	if err != nil {
		return packedPart{err: err}
	}
	_, err = w.Write(data)
	err = errors.Join(err, w.Close())
	return packedPart{data, b.Bytes(), err}
}

// deflatedPart hands out what is compressed already.
type deflatedPart struct {
	w      io.Writer
	packed []byte
}

func (p *deflatedPart) Write(b []byte) (int, error) { return len(b), nil }

func (p *deflatedPart) Close() error {
	_, err := p.w.Write(p.packed)
	return err
}

// sortedDefaults puts the default types into order.
func sortedDefaults(data []byte) []byte {
	list := defaultTypeRE.FindAll(data, -1)
	sort.Slice(list, func(i, j int) bool { return bytes.Compare(list[i], list[j]) < 0 })
	sorted := bytes.Join(list, nil)
	first := true
	return defaultTypeRE.ReplaceAllFunc(data, func([]byte) []byte {
		if first {
			first = false
			return sorted
		}
		return nil
	})
}

// cachedResult is what stands beside a formula: a number or words.
type cachedResult struct{ number, words string }

// withResults puts the cached results beside the formulas, each with its type.
func withResults(data []byte, results map[string]cachedResult) []byte {
	out := make([]byte, 0, len(data)+16*len(results))
	for {
		head, cell, rest, ok := nextFormula(data)
		if !ok {
			return append(out, data...)
		}
		out, data = append(out, head...), rest
		tag, body, _ := bytes.Cut(cell, []byte(">"))
		place, _, _ := bytes.Cut(tag[len(`<c r="`):], []byte(`"`))
		result, known := results[string(place)]
		if !known {
			out = append(out, cell...)
			continue
		}
		kind, value := "", result.number
		if value == "" {
			kind, value = ` t="str"`, xmlText(sheetText(result.words))
		}
		formula, _, _ := bytes.Cut(body, []byte("</f>"))
		out = fmt.Appendf(out, "%s%s>%s</f><v>%s</v></c>", bytes.Replace(tag, []byte(` t="str"`), nil, 1), kind, formula, value)
	}
}

// nextFormula cuts data at the next cell with a formula.
func nextFormula(data []byte) (head, cell, rest []byte, ok bool) {
	at := bytes.Index(data, []byte("><f>"))
	if at < 0 {
		return nil, nil, nil, false
	}
	from, length := bytes.LastIndex(data[:at], []byte(`<c r="`)), bytes.Index(data[at:], []byte("</c>"))
	if from < 0 || length < 0 {
		return nil, nil, nil, false
	}
	to := at + length + len("</c>")
	return data[:from], data[from:to], data[to:], true
}
