package product

import (
	"bytes"
	"errors"
	"io"
	"net/http"
	"net/url"
	"path/filepath"
	"strings"

	"gallipot/dossier"
	"gallipot/dossier/answer"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit/history"
	"gallipot/dossier/store"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
)

// fact is a line of what was understood of an answer.
type fact struct{ What, Text string }

// takeAnswer takes the assessor's answer in and shows it; a PDF is the signed report of an
// answer that is on record.
func (d drawn) takeAnswer(v *frame.Visit) error {
	p, _, _, err := computed(v)
	if err != nil {
		return err
	}
	file, head, err := v.R.FormFile("paper")
	if err != nil {
		return frame.Wrong("No file was chosen.", "Choose the answer, or drop it on the field.")
	}
	defer file.Close()
	data, err := io.ReadAll(file)
	if err != nil {
		return err
	}
	if bytes.HasPrefix(data, []byte("%PDF-")) {
		return signReport(v, p, data)
	}
	name := filepath.Base(strings.ReplaceAll(head.Filename, `\`, "/"))
	if _, err := d.reply(v, p, name, data); err != nil {
		return err
	}
	kept, err := v.Store.AddPaper(name, data)
	if err != nil {
		return err
	}
	kept.For = p.ID
	if err := v.Store.NotePaper(kept); err != nil {
		return err
	}
	return v.Go("/answer/" + url.PathEscape(p.ID) + "/" + kept.Key)
}

// reply reads an answer against the figures of its product.
func (d drawn) reply(v *frame.Visit, p *workshop.Product, name string, data []byte) (*dossier.Reply, error) {
	reply, err := dossier.ReadReply(v.Workshop(), d.files, name, data, p.ID, filepath.Join(v.Live.Dir(), "out"),
		v.Shot.Options)
	return reply, notRead(err)
}

// notRead puts why an answer is none into a sentence.
func notRead(err error) error {
	var fault answer.Fault
	var trouble *paper.Trouble
	switch {
	case errors.As(err, &fault):
		return &frame.Trouble{Status: http.StatusUnprocessableEntity, What: frame.Sentence(fault.Error()),
			Fix: frame.Sentence(fault.Fix())}
	case errors.As(err, &trouble):
		return &frame.Trouble{Status: http.StatusUnprocessableEntity, What: frame.Sentence(trouble.Error()),
			Fix: frame.Sentence(trouble.Fix())}
	}
	return err
}

// waiting returns the answer that a request is about, read anew.
func (d drawn) waiting(v *frame.Visit) (*workshop.Product, history.Paper, *dossier.Reply, error) {
	p, _, _, err := computed(v)
	if err != nil {
		return nil, history.Paper{}, nil, err
	}
	kept, ok, err := v.Store.Paper(v.R.PathValue("key"))
	if err != nil {
		return nil, kept, nil, err
	}
	if !ok || kept.For != p.ID {
		return nil, kept, nil, frame.NoPage("answer")
	}
	data, err := v.Store.PaperData(kept.Key)
	if err != nil {
		return nil, kept, nil, err
	}
	reply, err := d.reply(v, p, kept.Name, data)
	return p, kept, reply, err
}

// showAnswer shows what was understood of an answer. Nothing is recorded.
func (d drawn) showAnswer(v *frame.Visit) error {
	p, kept, reply, err := d.waiting(v)
	if err != nil {
		return err
	}
	r := reply.Reading
	page := frame.Page{Template: "productanswer", Data: map[string]any{"ID": p.ID, "Key": kept.Key,
		"Name": kept.Name, "ReadOnly": v.Site.ReadOnly,
		"Facts": understood(v, &r.Record), "Refused": faults(r.Refused), "Notes": faults(r.Notes),
		"Lacks":       r.Record.Lacks(),
		"Fingerprint": r.Record.Fingerprint, "Now": reply.Figures.Fingerprint}}
	return v.Show(frame.ProductPage(v, p, v.Shot.Assess(p), "pack", page))
}

func faults(list []answer.Fault) (out []fact) {
	for _, f := range list {
		out = append(out, fact{frame.Sentence(f.Error()), frame.Sentence(f.Fix())})
	}
	return out
}

// understood is what the assessor says, in their words.
func understood(v *frame.Visit, rec *workshop.Recorded) []fact {
	var list []fact
	add := func(what, text string) {
		if text != "" {
			list = append(list, fact{what, text})
		}
	}
	add("Assessor", rec.Assessor)
	add("Qualification", rec.Qualification)
	if !rec.Dated.IsZero() {
		add("Dated", frame.Day(rec.Dated))
	}
	add("Conclusion", rec.Conclusion)
	add("Conditions", rec.Conditions)
	add("Warnings", rec.Warnings)
	add("More warnings", rec.MoreWarnings)
	add("Next review", rec.NextReview)
	for _, x := range rec.Variants {
		add("Variant", dossier.SayValid(x))
	}
	for _, x := range rec.Markets {
		add("Market", dossier.SayValid(x))
	}
	for i := range rec.Values {
		add("Value replaced", dossier.SayJudged(&rec.Values[i]))
	}
	names := v.Names()
	for _, x := range rec.Accepted {
		add("Accepted", names.Short(words.Joined(": ", x.About, x.Says, x.Because)))
	}
	for _, x := range rec.Replies {
		add("Reply", words.Joined(" ", x.Question, x.Answer, x.Words))
	}
	for _, x := range rec.Statements {
		add("In words, "+x.Code, x.Text)
	}
	return list
}

// recordAnswer writes the record, the answer and Part B for signature as one step.
func (d drawn) recordAnswer(v *frame.Visit) error {
	p, kept, reply, err := d.waiting(v)
	if err != nil {
		return err
	}
	if v.Field("do") == "drop" {
		if err := v.Store.DropPaper(kept.Key); err != nil {
			return err
		}
		return v.Go("/product/" + url.PathEscape(p.ID) + "/pack")
	}
	if len(reply.Reading.Refused) > 0 {
		return frame.Wrong("This answer is refused, and nothing is recorded.",
			"Send the faults to the assessor; the page names them.")
	}
	return saveAll(v, p, "answer of "+reply.Reading.Record.Assessor, reply.Files)
}

// signReport files the signed report of the newest answer on record.
func signReport(v *frame.Visit, p *workshop.Product, data []byte) error {
	files, _, err := dossier.SignReply(v.Workshop(), p, data)
	if err != nil {
		return notRead(err)
	}
	return saveAll(v, p, "signed report", files)
}

// saveAll writes files inside the workshop as one step.
func saveAll(v *frame.Visit, p *workshop.Product, what string, files []store.NewFile) error {
	var changes []history.Change
	for _, f := range files {
		name, err := filepath.Rel(v.Live.Dir(), f.Path)
		if err != nil {
			return err
		}
		c := history.Change{Name: filepath.ToSlash(name), Data: f.Data}
		if c.Name == p.Source.Name {
			c.Base = history.Hash(p.Source.Bytes)
		} else if _, c.Base, err = v.Store.Read(c.Name); err != nil {
			return err
		}
		changes = append(changes, c)
	}
	back := "/product/" + url.PathEscape(p.ID) + "/pack"
	return v.SaveFiles(history.Label{Thing: p.Name, New: what, Place: back}, back, changes...)
}
