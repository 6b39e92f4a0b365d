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
	if name == "" || w.Dir == "" {
		return "", false
	}
	root, err := os.OpenRoot(w.Dir)
	if err != nil {
		return "", false
	}
	defer root.Close()
	f, err := store.OpenPlain(root, name)
	if err != nil {
		return "", false
	}
	defer f.Close()
	if info, err := f.Stat(); err != nil || info.Size() == 0 || info.Size() > mostPaper {
		return "", false // counts as missing, see checkPaper
	}
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", false
	}
	return hex.EncodeToString(h.Sum(nil)), true
}

// DocumentName words a kind of paper.
func DocumentName(kind string) string {
	if name, ok := ingredients.DocumentKinds[kind]; ok {
		return name
	}
	return kind
}
