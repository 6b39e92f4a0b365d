package dossier

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"

	"gallipot/ingredients"
)

func itoa(i int) string { return strconv.Itoa(i) }

// Only narrows an assessment to some variants; "" among them, or none, stands
// for all.
func (a *Assessment) Only(variants []string) *Assessment {
	if len(variants) == 0 || slices.Contains(variants, "") {
		return a
	}
	b := *a
	b.Results = nil
	for _, r := range a.Results {
		if slices.Contains(variants, r.Input.Variant.ID) {
			b.Results = append(b.Results, r)
		}
	}
	b.Findings = merge(&b)
	return &b
}

// Stops counts the findings of kind stop.
func (a *Assessment) Stops() int {
	n := 0
	for _, f := range a.Findings {
		if f.Severity == ingredients.Stop {
			n++
		}
	}
	return n
}

// WritePack makes the PDF and the spreadsheet of a product in a folder and
// returns the names of the files. The spreadsheet, the workshop's files behind
// the figures and the PDF belong together: the PDF carries the others inside.
//
// Errors: when one of the two cannot be written or replaced; then neither is, so
// that an older pack stays whole. Nothing half-written stays behind. Warnings name
// text that the PDF's font could not show.
func WritePack(dir string, a *Assessment) (files, warnings []string, err error) {
	if err := makeFolder(dir); err != nil {
		return nil, nil, err
	}
	pdf, sheet, warnings, err := MakePack(a)
	if err != nil {
		return nil, warnings, err
	}
	base := filepath.Join(dir, a.Product.ID+"-pack")
	if err := WriteFiles(NewFile{base + ".pdf", pdf}, NewFile{base + ".xlsx", sheet}); err != nil {
		return nil, warnings, err
	}
	return []string{base + ".xlsx", base + ".pdf"}, warnings, nil
}

// MakePack makes the two files that [WritePack] writes.
//
// Errors: when one of the two cannot be made.
func MakePack(a *Assessment) (pdf, sheet []byte, warnings []string, err error) {
	doc := Pack(a)
	var book bytes.Buffer
	pdf, warnings, err = renderPDF(doc, func() ([]Attachment, error) {
		if err := WriteXLSX(&book, doc); err != nil {
			return nil, err
		}
		return append([]Attachment{{Name: a.Product.ID + "-pack.xlsx", Description: "the same figures as a spreadsheet", Relationship: "Alternative",
			MIME: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", Data: book.Bytes()}}, a.inputs()...), nil
	})
	if err != nil {
		return nil, nil, warnings, fmt.Errorf("the pack of %s: %w", a.Product.ID, err)
	}
	return pdf, book.Bytes(), warnings, nil
}

// inputs are the files behind the figures, as typed.
func (a *Assessment) inputs() []Attachment {
	var list []Attachment
	add := func(as string, s *ingredients.Source) {
		if s != nil {
			list = append(list, Attachment{Name: as, MIME: "application/yaml", Description: s.Name, Relationship: "Source", Data: s.Bytes})
		}
	}
	add("workshop.yaml", a.Workshop.Sources["workshop.yaml"])
	add("product-"+a.Product.ID+".yaml", a.Product.Source)
	for _, id := range usedSheets(a) {
		add("sheet-"+id+".yaml", a.Workshop.SheetSource(id))
	}
	return list
}

// WriteTree writes files into a folder that must be new or empty.
//
// Errors: when the folder holds anything, so that nothing of the maker's is
// overwritten, or when a file cannot be written; then what was written before is
// removed again.
func WriteTree(dir string, tree fs.FS) error {
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return &ingredients.ValueError{What: dir + " is a file, wanted a folder", Fix: "name a folder that is new or empty"}
	}
	entries, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if len(entries) > 0 {
		return &ingredients.ValueError{What: dir + " is not empty, and nothing is overwritten", Fix: "name a folder that is new or empty"}
	}
	var made []string
	err = fs.WalkDir(tree, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		target := filepath.Join(dir, filepath.FromSlash(name))
		fresh := !exists(target)
		if d.IsDir() {
			err = makeFolder(target)
		} else {
			var data []byte
			if data, err = fs.ReadFile(tree, name); err == nil {
				err = WriteFiles(NewFile{target, data})
			}
		}
		if fresh && err == nil {
			made = append(made, target)
		}
		return err
	})
	if err != nil {
		undo(made)
	}
	return err
}

// EvidenceHash returns the SHA-256 of a paper in the workshop, and false where
// there is no such file.
func (w *Workshop) EvidenceHash(name string) (string, bool) {
	if name == "" || w.Dir == "" {
		return "", false
	}
	root, err := os.OpenRoot(w.Dir)
	if err != nil {
		return "", false
	}
	defer root.Close()
	f, err := openPlain(root, name)
	if err != nil {
		return "", false
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", false
	}
	return hex.EncodeToString(h.Sum(nil)), true
}

// documentName words a kind of paper.
func documentName(kind string) string {
	if name, ok := ingredients.DocumentKinds[kind]; ok {
		return name
	}
	return kind
}
