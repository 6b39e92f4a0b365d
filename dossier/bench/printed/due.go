package printed

import (
	"bytes"
	"errors"

	"gallipot/dossier/assess"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/calendar"
	"gallipot/dossier/cost"
	"gallipot/dossier/document"
	"gallipot/dossier/stock"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// due lists what is due, a year ahead.
func due(v *frame.Visit) error {
	day := v.Shot.Options.Date
	list := calendar.Of(v.Workshop(), assessed(v), day)
	doc := calendar.Document(v.Workshop(), list, day, day.AddYears(1))
	if v.Field("pdf") != "" {
		return sendPDF(v, doc, "due.pdf")
	}
	body, err := inside(v, doc)
	if err != nil {
		return err
	}
	return v.Show(frame.Page{Title: "What is due", Place: "today", Crumb: &frame.Link{Href: "/today", Text: "Today"}, Template: "printed",
		Data: map[string]any{"Body": body, "PDF": "/due?pdf=1", "Calendar": "/due.ics", "CalendarText": "All of it for my calendar"}})
}

// dueCalendar hands out what is due as a calendar.
func dueCalendar(v *frame.Visit) error {
	var b bytes.Buffer
	day := v.Shot.Options.Date
	if err := calendar.WriteICS(&b, calendar.Of(v.Workshop(), assessed(v), day), day); err != nil {
		return err
	}
	return v.File("due.ics", "text/calendar; charset=utf-8", b.Bytes())
}

// inStock shows what is left of each lot, or what to order.
func inStock(v *frame.Visit) error {
	books := stock.Of(v.Workshop(), v.Shot.Options.Date)
	order := v.Field("order") != ""
	doc, pdf := books.Document(""), "/stock?pdf=1"
	if order {
		doc, pdf = books.OrderDocument(), "/stock?order=1&pdf=1"
	}
	if v.Field("pdf") != "" {
		return sendPDF(v, doc, "stock.pdf")
	}
	body, err := inside(v, doc)
	if err != nil {
		return err
	}
	return v.Show(frame.Page{Title: "Stock", Place: "materials", Crumb: &frame.Link{Href: "/materials", Text: "Materials"}, Template: "printed",
		Data: map[string]any{"Body": body, "PDF": pdf, "About": "Stock", "Choices": []choice{{"/stock", "What is left", !order}, {"/stock?order=1", "What to order", order}}}})
}

// costs is what a pack of each variant costs, or why that is not known.
func costs(v *frame.Visit, a *assess.Assessment) (*document.Document, error) {
	packs, err := cost.Of(v.Workshop(), a, stock.Of(v.Workshop(), v.Shot.Options.Date))
	var unknown *exact.ValueError
	if !errors.As(err, &unknown) {
		return cost.Document(v.Workshop(), packs, v.Shot.Options.Date), err
	}
	d := &document.Document{Title: "Cost of a pack", Language: "en-GB", Date: v.Shot.Options.Date, NoContents: true}
	d.AddSection("cost", "A pack").Add(document.Para(words.UpperFirst(unknown.What)+"."), document.Para(words.UpperFirst(unknown.Fix)+"."))
	return d, nil
}
