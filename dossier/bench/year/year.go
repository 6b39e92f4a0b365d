// Package year holds the pages of the year after a product is made: what came in and what is
// left of it, and everything that is due.
package year

import (
	"bytes"
	"embed"
	"strings"

	"gallipot/dossier"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/calendar"
	"gallipot/ingredients/exact"
)

//go:embed *.html
var templates embed.FS

// Pages returns the table of these pages.
func Pages() frame.Set {
	return frame.Set{Templates: templates, Routes: []frame.Route{
		{Pattern: "GET /dates", Do: dates},
		{Pattern: "GET /dates.ics", Do: datesFile},
		{Pattern: "GET /stock", Do: showStock},
		{Pattern: "POST /stock", Do: receive},
		{Pattern: "POST /stock/move", Do: move},
		{Pattern: "POST /stock/decide", Do: decideLot},
		{Pattern: "POST /stock/decisions", Do: takeBack},
	}}
}

// due is what is due in the workshop, the earliest first.
func due(v *frame.Visit) []calendar.Entry {
	w := v.Workshop()
	return calendar.Of(w, dossier.AssessAll(w, w.Computable(w.Products), v.Shot.Options), v.Shot.Options.Date)
}

// month is a month that holds something.
type month struct {
	Name string
	Rows []dateRow
}

type dateRow struct {
	Day, Kind, About, What, Detail string
}

// dates lists what has passed and what is to come in a year, by month.
func dates(v *frame.Visit) error {
	day, names := v.Shot.Options.Date, v.Names()
	last := day.AddYears(1)
	var passed []dateRow
	var months []month
	later := 0
	for _, e := range due(v) {
		row := dateRow{Day: frame.ShortDay(e.Day), Kind: e.Kind, About: names.Name(e.About),
			What: names.Short(e.What), Detail: names.Short(e.Detail)}
		switch {
		case e.Past:
			passed = append(passed, row)
		case last.Before(e.Day):
			later++
		default:
			if name := monthOf(e.Day); len(months) == 0 || months[len(months)-1].Name != name {
				months = append(months, month{Name: name})
			}
			m := &months[len(months)-1]
			m.Rows = append(m.Rows, row)
		}
	}
	return v.Show(frame.Page{Title: "Dates", Place: "dates",
		Acts: []frame.Act{{Link: frame.Link{Href: "/dates/list", Text: "As printed"}},
			{Link: frame.Link{Href: "/dates.ics", Text: "Save for a calendar"}}},
		Facts:    frame.Escape("what has a day: papers, certificates, assessments, coming law, readings, lots, deadlines, keeping times"),
		Template: "dates", Data: map[string]any{"Passed": passed, "Months": months, "Later": later,
			"Last": frame.Day(last)}})
}

func monthOf(d exact.Date) string {
	_, name, _ := strings.Cut(frame.Day(d), " ")
	return name
}

func datesFile(v *frame.Visit) error {
	var b bytes.Buffer
	if err := calendar.WriteICS(&b, due(v), v.Shot.Options.Date); err != nil {
		return err
	}
	return v.File("dates.ics", "text/calendar; charset=utf-8", b.Bytes())
}
