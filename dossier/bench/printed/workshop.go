package printed

import (
	"bytes"
	"net/url"
	"strings"

	"gallipot/dossier/assess"
	"gallipot/dossier/batch"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/document"
	"gallipot/dossier/letters"
	"gallipot/dossier/sections"
	"gallipot/dossier/stability"
)

// assessed computes all products that can be.
func assessed(v *frame.Visit) []*assess.Assessment {
	var as []*assess.Assessment
	for _, p := range v.Workshop().Computable(v.Workshop().Products) {
		as = append(as, v.Shot.Assess(p))
	}
	return as
}

type choice struct {
	Href, Text string
	Here       bool
}

// showLetters lists what there is to ask others for, or shows the letter asked for.
func showLetters(v *frame.Visit) error {
	day := v.Shot.Options.Date
	files, err := letters.LettersOf(v.Workshop(), assessed(v), day).Documents(v.Workshop().Maker.Name, day)
	if err != nil {
		return err
	}
	wanted, asPDF := strings.CutSuffix(v.R.PathValue("name"), ".pdf")
	var list []choice
	var doc *document.Document
	for _, f := range files {
		list = append(list, choice{"/letters/" + url.PathEscape(f.Name), strings.ReplaceAll(f.Name, "-", " "),
			f.Name == wanted})
		if f.Name == wanted {
			doc = f.Doc
		}
	}
	data := map[string]any{"Choices": list, "Empty": "No letter has to be written: nothing is asked of anybody."}
	switch {
	case wanted != "" && doc == nil:
		return frame.NoPage("letter " + wanted)
	case asPDF:
		return sendPDF(v, doc, wanted+".pdf")
	case doc != nil:
		body, err := inside(v, doc)
		if err != nil {
			return err
		}
		data["Body"], data["PDF"] = body, "/letters/"+url.PathEscape(wanted)+".pdf"
	}
	return v.Show(frame.Page{Title: "Letters", Place: "today", Crumb: &frame.Link{Href: "/today", Text: "Today"},
		Template: "printed", Data: data})
}

// trace follows a lot or a batch.
func trace(v *frame.Visit) error {
	name := v.Field("of")
	data := map[string]any{"Ask": "Lot or batch code", "Q": name, "Action": "/trace"}
	page := frame.Page{Title: "Trace a lot", Place: "batches", Crumb: &frame.Link{Href: "/batches",
		Text: "Batches"}, Template: "printed", Data: data}
	if name == "" {
		return v.Show(page)
	}
	t, found := batch.TraceBatch(v.Workshop(), name)
	if !found {
		if t, found = batch.TraceLot(v.Workshop(), name); !found {
			data["Empty"] = "No lot and no batch on record has the code " + name + "."
			return v.Show(page)
		}
	}
	doc := t.Document(v.Workshop(), v.Shot.Options.Date)
	if v.Field("pdf") != "" {
		return sendPDF(v, doc, "trace.pdf")
	}
	body, err := inside(v, doc)
	if err != nil {
		return err
	}
	data["Body"], data["PDF"] = body, "/trace?pdf=1&of="+url.QueryEscape(name)
	return v.Show(page)
}

// lookUp shows what the tables of the law say of a substance.
func lookUp(v *frame.Visit) error {
	name := v.Field("of")
	tables, day := v.Shot.Options.Law, v.Shot.Options.Date
	data := map[string]any{"Ask": "Substance: INCI name, CAS or CI number", "Q": name, "Action": "/law"}
	page := frame.Page{Title: "Law", Place: "today", Crumb: &frame.Link{Href: "/today", Text: "Today"},
		Template: "printed", Data: data}
	doc := sections.LawTables(tables, day)
	if name != "" {
		found := false
		if doc, found = sections.LawOf(tables, name, day); !found {
			data["Empty"] = "The tables know no substance called " + name + "."
			return v.Show(page)
		}
	}
	body, err := inside(v, doc)
	if err != nil {
		return err
	}
	data["Body"] = body
	return v.Show(page)
}

// tests shows the storage tests of all products, with the readings that are due.
func tests(v *frame.Visit) error {
	body, err := inside(v, stability.Document(assessed(v), v.Shot.Options.Date))
	if err != nil {
		return err
	}
	return v.Show(frame.Page{Title: "Storage tests", Place: "today",
		Crumb: &frame.Link{Href: "/today", Text: "Today"}, Template: "printed",
		Data: map[string]any{"Body": body, "Calendar": "/readings.ics"}})
}

func readings(v *frame.Visit) error {
	var b bytes.Buffer
	if err := stability.WriteCalendar(&b, v.Workshop().Products, v.Shot.Options.Law,
		v.Shot.Options.Date); err != nil {
		return err
	}
	return v.File("readings.ics", "text/calendar; charset=utf-8", b.Bytes())
}
