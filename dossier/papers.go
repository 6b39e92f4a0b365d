package dossier

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"path"
	"path/filepath"
	"strings"

	"gallipot/dossier/assess"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/pack"
	"gallipot/dossier/store"
)

// PaperPlace says where the documents that a pack cites go.
type PaperPlace string

// The places.
const (
	NoPapers     PaperPlace = ""
	PapersInside PaperPlace = "inside" // attached to the PDF
	PapersFolder PaperPlace = "folder" // a folder beside it, with an index
)

// Papers are the documents that a pack cites, as they are on hand.
type Papers struct {
	list    []filedPaper
	Bytes   int      // of all of them
	Missing []string // cited and not there
}

// filedPaper is one of them under the name it goes out by.
type filedPaper struct {
	pack.Paper
	name string
	data []byte
}

// Count is how many documents are on hand.
func (p *Papers) Count() int { return len(p.list) }

// PapersOf reads the documents that the pack of a product cites.
func PapersOf(a *assess.Assessment) *Papers {
	p := &Papers{}
	for _, x := range pack.Papers(a) {
		data, there := a.Workshop.EvidenceFile(x.File)
		if !there {
			p.Missing = append(p.Missing, fmt.Sprintf("[E%d] %s", x.Number, x.File))
			continue
		}
		p.list = append(p.list, filedPaper{x, fmt.Sprintf("E%02d-%s", x.Number, path.Base(x.File)), data})
		p.Bytes += len(data)
	}
	return p
}

// attachments are the documents as the PDF carries them.
func (p *Papers) attachments() (list []pdf.Attachment) {
	for _, x := range p.list {
		list = append(list, pdf.Attachment{Name: x.name, MIME: typeOf(x.File),
			Description: fmt.Sprintf("[E%d] %s", x.Number, x.What), Relationship: "Supplement", Data: x.data})
	}
	return list
}

// typeOf is the type of a file by its ending. What a system knows beside differs from
// one to the other, and the same inputs give the same bytes.
func typeOf(file string) string {
	return map[string]string{".pdf": "application/pdf", ".txt": "text/plain", ".csv": "text/csv",
		".jpg": "image/jpeg", ".jpeg": "image/jpeg", ".png": "image/png",
		".docx": "application/vnd.openxmlformats-officedocument.wordprocessingml.document",
		".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"}[strings.ToLower(path.Ext(file))]
}

// files are the documents with an index, for a folder.
func (p *Papers) files(dir string) (list []store.NewFile) {
	var index strings.Builder
	index.WriteString("number\tfile\twhat\tsha256\n")
	for _, x := range p.list {
		sum := sha256.Sum256(x.data)
		fmt.Fprintf(&index, "[E%d]\t%s\t%s\t%s\n", x.Number, x.name, x.What, hex.EncodeToString(sum[:]))
		list = append(list, store.NewFile{Path: filepath.Join(dir, x.name), Data: x.data})
	}
	for _, m := range p.Missing {
		fmt.Fprintf(&index, "%s\tmissing\t\t\n", strings.Replace(m, "] ", "]\t", 1))
	}
	return append(list, store.NewFile{Path: filepath.Join(dir, "index.tsv"), Data: []byte(index.String())})
}
