package calendar

import (
	"io"

	"gallipot/dossier/document"
	"gallipot/dossier/store"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// Document is the list by date: what has passed, and what is to come until a day. What
// comes later is counted.
func Document(w *workshop.Workshop, list []Entry, day, until exact.Date) *document.Document {
	d := &document.Document{Title: "What is due", Language: "en-GB", Author: w.Maker.Name, Date: day,
		NoContents: true,
		Caution:    "as far as files tell; what is not written down is not in it"}
	past, coming := table("due-past", "Nothing is overdue."), table("due-coming", "Nothing is to come.")
	later := 0
	for _, e := range list {
		t := coming
		switch {
		case e.Past:
			t = past
		case until.Before(e.Day):
			later++
			continue
		}
		t.Add(document.DateCell(e.Day), document.TextCell(e.Kind), document.TextCell(e.About),
			document.TextCell(e.What), document.TextCell(e.Detail))
	}
	if later > 0 {
		coming.Note(words.Count(later, "more entry", "more entries") + " after " + until.String() + ".")
	}
	d.AddSection("past", "Overdue").Add(past)
	d.AddSection("coming", "To come").Add(coming)
	return d
}

func table(id, empty string) *document.Table {
	return &document.Table{ID: id, SheetName: "Due", Empty: empty,
		Columns: []document.Column{{Head: "Day", Kind: document.KindText, Fixed: true}, {Head: "Kind"},
			{Head: "About", Weight: 1.4}, {Head: "What", Weight: 2.4}, {Head: "Detail", Weight: 1.6}}}
}

// WriteJSON prints the list.
func WriteJSON(w io.Writer, list []Entry) error {
	if list == nil {
		list = []Entry{}
	}
	return store.WriteIndented(w, list)
}
