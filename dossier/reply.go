package dossier

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"path"
	"path/filepath"
	"strings"

	"gallipot/calc/law/rows"
	"gallipot/dossier/answer"
	"gallipot/dossier/assess"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/pack"
	"gallipot/dossier/store"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/workshop"
)

// Reply is an assessor's answer as read, with what recording it would write.
type Reply struct {
	Product *workshop.Product
	Reading *answer.Reading
	Filed   string             // name in the workshop that the answer is filed under
	Files   []store.NewFile    // all of them or none
	Printed string             // Part B with the assessor's words, for signature; "" when refused
	Figures *assess.Assessment // as they are without the answer
}

// ReadReply reads an answer and holds it against the figures of its product. The day is
// that of the document unless one was chosen; out is the folder for Part B in print.
// Nothing is written: see Files.
//
// Errors: a *paper.Trouble or an answer.Fault where the file is no answer, or is none for
// a product of the workshop; a *edit.Refusal where the product file cannot take the record.
func ReadReply(w *workshop.Workshop, r *paper.Reader, name string, data []byte, product, out string,
	opt assess.Options) (*Reply, error) {
	sheet, err := answer.Read(r, name, data)
	if err != nil {
		return nil, err
	}
	switch {
	case product == "" && sheet.Product == "":
		return nil, answer.Fault{Code: "no-product"}
	case product != "" && sheet.Product != "" && product != sheet.Product:
		return nil, answer.Fault{Code: "other-product", Value: sheet.Product}
	}
	id := cmp.Or(product, sheet.Product)
	p := w.Product(id)
	if p == nil {
		return nil, answer.Fault{Code: "unknown-product", Value: id}
	}
	if !opt.DateChosen && sheet.Day != 0 {
		opt.Date, opt.DateChosen = sheet.Day, true
	}
	if len(opt.Markets) == 0 {
		for _, m := range sheet.Markets {
			if market := rows.Market(m); market.Valid() {
				opt.Markets = append(opt.Markets, market)
			}
		}
	}
	opt.WithoutAnswer = true
	a := Assess(w, p, opt)
	reply := &Reply{Product: p, Figures: a, Reading: sheet.Against(pack.Form(a))}
	for _, x := range p.Assessments {
		if x.Answer.SHA256 == sheet.SHA256 {
			reply.Reading.Refused = append(reply.Reading.Refused, answer.Fault{Code: "already"})
		}
	}
	if len(reply.Reading.Refused) > 0 {
		return reply, nil
	}
	return reply, reply.files(w, sheet, data, out)
}

// files makes what is written: the answer as it came under evidence, its record in the
// product file, and Part B in print.
func (r *Reply) files(w *workshop.Workshop, sheet *answer.Sheet, data []byte, out string) error {
	rec := &r.Reading.Record
	rec.Revision = r.Product.Revision
	r.Filed = freeName(w, "evidence/"+r.Product.ID+"-answer-"+cmp.Or(rec.Dated.String(), "undated"),
		strings.ToLower(filepath.Ext(sheet.Name)), sheet.SHA256)
	rec.Answer.File = r.Filed
	file, err := answer.Enter(r.Product.File(), r.Product.Source.Bytes, *rec)
	if err != nil {
		return err
	}
	printed, _, err := pdf.Render(pack.FormDocument(r.Figures, r.Reading), nil)
	if err != nil {
		return err
	}
	r.Printed = filepath.Join(out, r.Product.ID+"-part-b.pdf")
	r.Files = []store.NewFile{
		{Path: filepath.Join(w.Dir, filepath.FromSlash(r.Filed)), Data: data},
		{Path: filepath.Join(w.Dir, filepath.FromSlash(r.Product.File())), Data: file},
		{Path: r.Printed, Data: printed},
	}
	return nil
}

// freeName is a name in the workshop that is free or has the same content already.
func freeName(w *workshop.Workshop, base, ext, hash string) string {
	if have, there := w.EvidenceHash(base + ext); there && have != hash {
		return base + "-" + hash[:8] + ext
	}
	return base + ext
}

// SignReply files the signed report of the newest answer on record and enters it with its
// hash. It returns the files to write, all of them or none, and the name it is filed under.
//
// Errors: an answer.Fault where the file is no PDF or no answer waits for a signature.
func SignReply(w *workshop.Workshop, p *workshop.Product, data []byte) (files []store.NewFile,
	filed string, err error) {
	if !bytes.HasPrefix(data, []byte("%PDF-")) {
		return nil, "", answer.Fault{Code: "no-pdf"}
	}
	at := -1
	for i := range p.Assessments {
		x := &p.Assessments[i]
		if x.Answer.File != "" && len(x.Lacks()) == 0 && !x.IsSigned() &&
			(at < 0 || !x.Dated.Before(p.Assessments[at].Dated)) {
			at = i
		}
	}
	if at < 0 {
		return nil, "", answer.Fault{Code: "no-answer"}
	}
	sum := sha256.Sum256(data)
	hash := hex.EncodeToString(sum[:])
	filed = freeName(w, path.Join("evidence", p.ID+"-report-"+p.Assessments[at].Dated.String()), ".pdf", hash)
	file, err := answer.Sign(p.File(), p.Source.Bytes, at, filed, hash)
	if err != nil {
		return nil, "", err
	}
	return []store.NewFile{{Path: filepath.Join(w.Dir, filepath.FromSlash(filed)), Data: data},
		{Path: filepath.Join(w.Dir, filepath.FromSlash(p.File())), Data: file}}, filed, nil
}
