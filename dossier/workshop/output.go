package workshop

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"os"

	"gallipot/dossier/store"
	"gallipot/ingredients"
)

// EvidenceHash returns the SHA-256 of a paper in the workshop, and false where
// there is no such file, or none that is on hand.
func (w *Workshop) EvidenceHash(name string) (string, bool) {
	h := sha256.New()
	if !w.readPaper(name, func(f *os.File, _ int64) error { _, err := io.Copy(h, f); return err }) {
		return "", false
	}
	return hex.EncodeToString(h.Sum(nil)), true
}

// EvidenceFile returns a paper in the workshop, and false where [Workshop.EvidenceHash]
// does.
func (w *Workshop) EvidenceFile(name string) (data []byte, ok bool) {
	ok = w.readPaper(name, func(f *os.File, size int64) (err error) {
		data, err = io.ReadAll(io.LimitReader(f, size))
		return err
	})
	return data, ok
}

// readPaper opens a paper inside the workshop and reads it; one that is empty or too large
// counts as missing, see checkPaper.
func (w *Workshop) readPaper(name string, read func(f *os.File, size int64) error) bool {
	if name == "" || w.Dir == "" {
		return false
	}
	root, err := os.OpenRoot(w.Dir)
	if err != nil {
		return false
	}
	defer root.Close()
	f, err := store.OpenPlain(root, name)
	if err != nil {
		return false
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil || info.Size() == 0 || info.Size() > mostPaper {
		return false
	}
	return read(f, info.Size()) == nil
}

// DocumentName words a kind of paper.
func DocumentName(kind string) string {
	if name, ok := ingredients.DocumentKinds[kind]; ok {
		return name
	}
	return kind
}
