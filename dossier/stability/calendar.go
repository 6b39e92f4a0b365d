package stability

import (
	"fmt"
	"io"
	"strings"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/calendar/ics"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// WriteCalendar prints the readings that are due as an iCalendar file, a whole
// day each. The same products on the same day give the same bytes.
func WriteCalendar(w io.Writer, products []*workshop.Product, tables *table.Tables, day exact.Date) error {
	var events []ics.Event
	for _, p := range products {
		events = append(events, Readings(p, tables, day)...)
	}
	return ics.Write(w, "stability readings", events, day)
}

// Readings are the readings of a product that are still to be taken, the earliest first.
func Readings(p *workshop.Product, tables *table.Tables, day exact.Date) (list []ics.Event) {
	p = assess.AsOf(p, day)
	for _, d := range due(p, tables, day) {
		what := []string{"Read: " + words.JoinNames(watched(p))}
		if d.Test.Pack != "" {
			what = append(what, "Pack: "+d.Test.Pack)
		}
		if d.Test.Batch != "" {
			what = append(what, "Batch: "+d.Test.Batch)
		}
		list = append(list, ics.Event{ID: fmt.Sprintf("%s-%d-week-%s", p.ID, d.index, d.Week.Exact()), Day: d.Date,
			Summary: fmt.Sprintf("%s: week %s of %s", p.Name, d.Week.Exact(),
				d.Test.Name()), Detail: strings.Join(what, "\n")})
	}
	return list
}

// watched is what a reading looks at: what the specification names.
func watched(p *workshop.Product) []string {
	var names []string
	if p.Specification.PH != nil {
		names = append(names, "pH")
	}
	for _, x := range p.Specification.Properties {
		names = append(names, x.Name)
	}
	if len(names) == 0 {
		names = []string{"appearance", "odour", "pH"}
	}
	return names
}
