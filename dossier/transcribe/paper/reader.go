package paper

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"
	"unicode"
	"unicode/utf8"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/ingredients/pattern"
)

// Reader reads papers; several goroutines may use one. The reader of PDF starts
// with the first PDF. Close it at the end.
type Reader struct {
	Limits   Limits
	CacheDir string // where the compiled reader of PDF is kept; empty: nowhere

	once   sync.Once
	engine *engine
	err    error
}

// NewReader makes a reader with the usual limits that keeps its compiled form
// where the system keeps caches.
func NewReader() *Reader {
	dir, _ := os.UserCacheDir() // without one nothing is kept
	return &Reader{Limits: defaultLimits(), CacheDir: dir}
}

// Close ends the reader of PDF, where it was started.
func (r *Reader) Close() {
	if r.engine != nil {
		r.engine.close()
	}
}

func (r *Reader) pdf() (*engine, error) {
	r.once.Do(func() { r.engine, r.err = startEngine(r.CacheDir, r.Limits) })
	return r.engine, r.err
}

// Read reads a file; its name serves the error and, for text without other marks,
// tells a table from a text. Errors are a [*Trouble].
func (r *Reader) Read(name string, data []byte) (*File, error) {
	if len(data) == 0 {
		return nil, trouble("empty", "")
	}
	if len(data) > r.Limits.Bytes {
		return nil, trouble("too-large", r.Limits.Bytes)
	}
	sum := sha256.Sum256(data)
	f := &File{Name: name, SHA256: hex.EncodeToString(sum[:])}
	form, err := formOf(name, data)
	if err != nil {
		return nil, err
	}
	f.Form = form
	if form == PDF {
		e, err := r.pdf() // its start does not count against the file
		if err != nil {
			return nil, err
		}
		if err := e.read(f, data, r.Limits); err != nil {
			return nil, err
		}
	} else if err := r.inTime(f, data); err != nil {
		return nil, err
	}
	f.cautionsOfText()
	return f, nil
}

// inTime reads a file other than PDF and gives up when the time is over.
func (r *Reader) inTime(f *File, data []byte) error {
	done := make(chan error, 1)
	into := &File{Name: f.Name, Form: f.Form, SHA256: f.SHA256}
	go func() {
		defer func() {
			if p := recover(); p != nil {
				done <- trouble("broken", "")
			}
		}()
		switch f.Form {
		case Workbook:
			done <- readWorkbook(into, data, r.Limits)
		case Document:
			done <- readWord(into, data, r.Limits)
		case Web:
			done <- readWeb(into, data, r.Limits)
		case Table:
			done <- readTable(into, data, r.Limits)
		default:
			done <- readText(into, data, r.Limits)
		}
	}()
	limit := r.Limits.Seconds + r.Limits.PerPage*float64(len(data)>>18)
	select {
	case err := <-done:
		*f = *into
		return err
	case <-time.After(time.Duration(limit * float64(time.Second))):
		return trouble("time", fmt.Sprintf("%.1f", limit))
	}
}

var mailHead = lexicon.Pattern(`(?im)^(?:<<mail head>>|<<mail subject>>): ?\S`)
var webHead = pattern.New(`(?i)<(!doctype html|html|head|body|table|tr|p|div)\b`)

// mailHeads counts the lines of a text that are heads of a mail, with a capital.
func mailHeads(text string) int {
	n := 0
	for _, line := range mailHead().FindAllString(text, -1) {
		if first, _ := utf8.DecodeRuneInString(line); unicode.IsUpper(first) {
			n++
		}
	}
	return n
}

// formOf tells what a file is from its first bytes.
func formOf(name string, data []byte) (Form, error) {
	head := data[:min(len(data), 4096)]
	ext := strings.ToLower(filepath.Ext(name))
	switch {
	case bytes.Contains(head[:min(len(head), 1024)], []byte("%PDF-")):
		return PDF, nil
	case bytes.HasPrefix(head, []byte("PK\x03\x04")):
		return packedForm(data)
	case bytes.HasPrefix(head, []byte{0xd0, 0xcf, 0x11, 0xe0}):
		return "", trouble("old-office", "")
	case bytes.HasPrefix(head, []byte(`{\rtf`)):
		return "", trouble("unknown-form", "rich text")
	case ext == ".pdf":
		return "", trouble("broken", "it is no PDF")
	case ext == ".xlsx" || ext == ".docx":
		return "", trouble("broken", "it is no "+strings.ToUpper(ext[1:]))
	}
	text, ok := decode(head)
	if !ok {
		return "", trouble("unknown-form", filepath.Ext(name))
	}
	start := strings.TrimSpace(text)
	switch {
	case ext == ".eml" || mailHeads(firstLines(start, 12)) >= 2:
		return Mail, nil
	case ext == ".htm" || ext == ".html" || strings.HasPrefix(start, "<") && webHead.MatchString(start):
		return Web, nil
	case ext == ".csv" || ext == ".tsv" || ext == ".tab":
		return Table, nil
	case ext != ".md" && looksSeparated(data):
		return Table, nil
	}
	return Text, nil
}

func firstLines(s string, n int) string {
	parts := strings.SplitN(s, "\n", n+1)
	return strings.Join(parts[:min(n, len(parts))], "\n")
}

func packedForm(data []byte) (Form, error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return "", trouble("broken", "its packing is damaged")
	}
	for _, f := range z.File {
		switch f.Name {
		case "xl/workbook.xml":
			return Workbook, nil
		case "word/document.xml":
			return Document, nil
		}
	}
	return "", trouble("unknown-form", "packed")
}

// symbolSigns are the private-use characters of the common symbol font that stand
// before figures; measured on real papers.
var symbolSigns = strings.NewReplacer(
	"\uf0a3", "≤", "\uf0b3", "≥", "\uf0b1", "±", "\uf0b0", "°", "\uf06d", "µ", "\uf061", "α",
	"\uf062", "β", "\uf067", "γ")

func private(r rune) bool { return r >= 0xe000 && r <= 0xf8ff }

// cautionsOfText maps the signs of symbol fonts that are known and tells the
// others.
func (f *File) cautionsOfText() {
	for p := range f.Pages {
		page := &f.Pages[p]
		if page.Trust != "" {
			f.caution(string(page.Trust), page.Number, page.Name, "")
		}
		for l := range page.Lines {
			line := &page.Lines[l]
			for c := range line.Cells {
				cell := &line.Cells[c]
				if !strings.ContainsFunc(cell.Text, private) {
					continue
				}
				cell.Text = symbolSigns.Replace(cell.Text)
				for w := range cell.Words {
					cell.Words[w].Text = symbolSigns.Replace(cell.Words[w].Text)
				}
				if strings.ContainsFunc(cell.Text, private) && strings.ContainsAny(cell.Text, "0123456789") {
					f.caution("unknown-sign", page.Number, fmt.Sprintf("line %d", line.Number), cell.Text)
				}
			}
		}
	}
}
