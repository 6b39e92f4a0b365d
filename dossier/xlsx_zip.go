package dossier

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"regexp"
	"sort"
	"time"
)

const contentTypes = "[Content_Types].xml"

var (
	defaultTypeRE = regexp.MustCompile(`<Default [^>]*>(?:</Default>)?`)
	formulaCellRE = regexp.MustCompile(`(<c r="([A-Z]+[0-9]+)"[^>]*?) t="str">(<f>[^<]*</f>)(?:<v>[^<]*</v>)?</c>`)
)

// canonicalZip packs a workbook again in one fixed order, since the library's
// order may change from run to run, and puts the cached results beside the formulas,
// which the library would store as texts or not at all.
func canonicalZip(raw []byte, results map[string]map[string]cachedResult) ([]byte, error) {
	in, err := zip.NewReader(bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		return nil, err
	}
	sort.Slice(in.File, func(i, j int) bool {
		a, b := in.File[i].Name, in.File[j].Name
		if (a == contentTypes) != (b == contentTypes) {
			return a == contentTypes
		}
		return a < b
	})
	var out bytes.Buffer
	zw := zip.NewWriter(&out)
	for _, f := range in.File {
		data, err := readZipped(f)
		if err != nil {
			return nil, err
		}
		if f.Name == contentTypes {
			data = sortedDefaults(data)
		}
		if cells := results[f.Name]; cells != nil {
			data = withResults(data, cells)
		}
		w, err := zw.CreateHeader(&zip.FileHeader{Name: f.Name, Method: zip.Deflate, Modified: time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)})
		if err != nil {
			return nil, err
		}
		if _, err := w.Write(data); err != nil {
			return nil, err
		}
	}
	if err := zw.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

func readZipped(f *zip.File) ([]byte, error) {
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	defer r.Close()
	return io.ReadAll(r)
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
	return formulaCellRE.ReplaceAllFunc(data, func(m []byte) []byte {
		sub := formulaCellRE.FindSubmatch(m)
		result, ok := results[string(sub[2])]
		if !ok {
			return m
		}
		kind, value := "", result.number
		if value == "" {
			kind, value = ` t="str"`, xmlText(sheetText(result.words))
		}
		return fmt.Appendf(nil, "%s%s>%s<v>%s</v></c>", sub[1], kind, sub[3], value)
	})
}
