package sheet

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"slices"
	"sort"
	"time"

	"github.com/xuri/excelize/v2"

	"gallipot/dossier/parallel"
	"gallipot/dossier/store"
	"gallipot/ingredients/pattern"
)

const contentTypes = "[Content_Types].xml"

var defaultTypeRE = pattern.New(`<Default [^>]*>(?:</Default>)?`)

// The files of a workbook that hold its list of sheets and names, and the words of
// all cells.
const (
	workbookFile = "xl/workbook.xml"
	textsFile    = "xl/sharedStrings.xml"
)

// packed packs the workbook in one fixed order, since the library's may change
// from run to run, with the rows of its sheets and their words put into it.
func (x *XLSXWriter) packed() ([]byte, error) {
	if err := x.announceTexts(); err != nil {
		return nil, err
	}
	parts := workbookParts{}
	x.f.SetZipWriter(func(io.Writer) excelize.ZipWriter { return parts })
	if err := x.f.Write(io.Discard); err != nil {
		return nil, err
	}
	parts[textsFile] = x.texts.file()
	workbook, err := x.withNames(parts[workbookFile])
	if err != nil {
		return nil, err
	}
	parts[workbookFile] = workbook
	rows := map[string]*sheetRows{}
	for _, s := range append([]*xlsxSheet{x.first}, x.sheets...) {
		rows[fmt.Sprintf("xl/worksheets/sheet%d.xml", s.number)] = &s.rows
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
	parallel.Each(len(names), func(i int) { files[i] = packPart(names[i], parts[names[i]], rows[names[i]]) })
	var out bytes.Buffer
	zw := zip.NewWriter(&out)
	for i, name := range names {
		if files[i].err != nil {
			return nil, files[i].err
		}
		zw.RegisterCompressor(zip.Deflate,
			func(w io.Writer) (io.WriteCloser, error) { return &deflatedPart{w, files[i].packed}, nil })
		w, err := zw.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate,
			Modified: time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)})
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

// announceTexts makes the library list the file with the words of the cells among
// the files of the workbook, which it does when it is given the first.
func (x *XLSXWriter) announceTexts() error {
	if err := x.f.SetCellStr(contentsSheet, "A1", contentsSheet); err != nil {
		return err
	}
	return x.f.SetCellDefault(contentsSheet, "A1", "")
}

// workbookParts takes the files of a workbook from the library as they are.
type workbookParts map[string][]byte

func (p workbookParts) Create(name string) (io.Writer, error) { return workbookPart{p, name}, nil }

func (p workbookParts) AddFS(fs.FS) error { return errors.New("a workbook takes no folder") }

func (p workbookParts) Close() error { return nil }

// workbookPart is one of them while it is written.
type workbookPart struct {
	parts workbookParts
	name  string
}

func (p workbookPart) Write(b []byte) (int, error) {
	p.parts[p.name] = append(p.parts[p.name], b...)
	return len(b), nil
}

// packedPart is one file of a workbook, as it is and compressed.
type packedPart struct {
	data, packed []byte
	err          error
}

// packPart completes a part and compresses it.
func packPart(name string, data []byte, rows *sheetRows) packedPart {
	if name == contentTypes {
		data = sortedDefaults(data)
	}
	if rows != nil {
		var err error
		if data, err = rows.into(data); err != nil {
			return packedPart{err: fmt.Errorf("%s: %w", name, err)}
		}
	}
	return packedPart{data: data, packed: store.Deflated(data)}
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
