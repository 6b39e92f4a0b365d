package identity

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/dossier/transcribe/desk"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/reading"
	"gallipot/ingredients/pattern"
)

// dateFacts finds the dates of the paper by their labels.
func (s *facts) dateFacts(labels []desk.Label) {
	d := &s.Out.Document
	type found struct {
		fact *reading.Fact
		rank int
	}
	var issued []found
	for _, l := range labels {
		ds := s.dates.find(l.Value)
		if len(ds) == 0 {
			continue
		}
		at := ds[0]
		f := &reading.Fact{Printed: at.printed, Value: at.iso, Place: l.Place}
		if at.open {
			f.Ask, f.Value = "date-order", ""
			s.Ask("date-order", l.Place, "text", at.printed)
		} else if numDate.MatchString(at.printed) && !isoDate.MatchString(at.printed) &&
			!strings.Contains(at.printed, ".") {
			f.Rules = append(f.Rules, "day-first")
		}
		near := at.start <= 24
		switch {
		case !near:
		case l.Key == "revision-date", l.Key == "version" && at.start == 0 && l.Sign:
			issued = append(issued, found{f, 0})
		case l.Key == "date":
			issued = append(issued, found{f, 1})
		case l.Key == "analysis-date":
			issued = append(issued, found{f, 2})
		case l.Key == "print-date" && d.Printed == nil:
			d.Printed = f
		case l.Key == "replaces" && d.Replaces == nil:
			d.Replaces = f
		case l.Key == "made" && d.Made == nil:
			d.Made = f
		case l.Key == "best-before" && d.BestBefore == nil:
			d.BestBefore = f
		}
	}
	slices.SortStableFunc(issued, func(a, b found) int { return cmp.Compare(a.rank, b.rank) })
	if len(issued) > 0 {
		d.Issued = issued[0].fact
		for _, f := range issued {
			if f.rank == issued[0].rank && f.fact.Value > d.Issued.Value &&
				len(f.fact.Value) == len(d.Issued.Value) && issued[0].rank == 0 {
				d.Issued = f.fact
			}
		}
		return
	}
	s.dateWithoutLabel(labels)
}

// dateWithoutLabel takes the one date that stands in the head or the foot of the
// paper and belongs to no label, or to its version.
func (s *facts) dateWithoutLabel(labels []desk.Label) {
	taken := map[string]bool{}
	for _, l := range labels {
		switch l.Key {
		case "date", "revision-date":
			if l.Sign && len(s.dates.find(l.Value)) == 0 && yearIn.MatchString(l.Value) {
				return // the paper's own date is not understood: another one is not it
			}
		case "print-date", "replaces", "made", "best-before":
			for _, d := range s.dates.find(l.Value) {
				if d.start <= 24 {
					taken[d.iso] = true
				}
			}
		}
	}
	var only *reading.Fact
	n := 0
	rows := s.headFootRows()
	for _, row := range rows {
		for _, c := range row.Cells {
			for _, d := range s.dates.find(c.Text) {
				if taken[d.iso] || d.open || s.lawNumber(c.Text, d) ||
					timeBehind.MatchString(c.Text[d.end:]) {
					continue
				}
				if only == nil || only.Value != d.iso {
					n++
				}
				if only == nil || len(d.iso) > len(only.Value) {
					only = &reading.Fact{Printed: d.printed, Value: d.iso, Place: s.Place(row.Place, c),
						How: reading.How{Rules: []string{"date-unlabelled"}}}
				}
			}
		}
	}
	if n == 1 {
		s.Out.Document.Issued = only
	}
}

// yearIn is a year, as a date has one.
var yearIn = pattern.New(`\b20\d{2}\b`)

// timeBehind is the time of day behind a date: that of printing.
var timeBehind = pattern.New(`^,? \d{1,2}:\d{2}`)

// lawNumber says whether a "date" is part of the number of a law: 1272/2008.
func (s *facts) lawNumber(t string, d date) bool {
	_, _, amended := s.Words.Find("amendment", lexicon.Fold(t))
	before := t[:d.start]
	return strings.HasSuffix(before, "/") || strings.HasSuffix(before, ".") || d.start > 0 &&
		before[len(before)-1] >= '0' && before[len(before)-1] <= '9' ||
		strings.HasSuffix(strings.TrimRight(before, " "), "(") && amended
}
