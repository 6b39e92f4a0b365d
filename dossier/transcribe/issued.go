package transcribe

import (
	"cmp"
	"regexp"
	"slices"
	"strings"
)

// dateFacts finds the dates of the paper by their labels.
func (s *facts) dateFacts(labels []labelled) {
	d := &s.out.Document
	type found struct {
		fact *Fact
		rank int
	}
	var issued []found
	for _, l := range labels {
		ds := s.dates.find(l.value)
		if len(ds) == 0 {
			continue
		}
		at := ds[0]
		f := &Fact{Printed: at.printed, Value: at.iso, Place: l.place}
		if at.open {
			f.Ask, f.Value = "date-order", ""
			s.ask("date-order", l.place, "text", at.printed)
		} else if numDate.MatchString(at.printed) && !isoDate.MatchString(at.printed) && !strings.Contains(at.printed, ".") {
			f.Rules = append(f.Rules, "day-first")
		}
		near := at.start <= 24
		switch {
		case !near:
		case l.key == "revision-date", l.key == "version" && at.start == 0 && l.sign:
			issued = append(issued, found{f, 0})
		case l.key == "date":
			issued = append(issued, found{f, 1})
		case l.key == "analysis-date":
			issued = append(issued, found{f, 2})
		case l.key == "print-date" && d.Printed == nil:
			d.Printed = f
		case l.key == "replaces" && d.Replaces == nil:
			d.Replaces = f
		case l.key == "made" && d.Made == nil:
			d.Made = f
		case l.key == "best-before" && d.BestBefore == nil:
			d.BestBefore = f
		}
	}
	slices.SortStableFunc(issued, func(a, b found) int { return cmp.Compare(a.rank, b.rank) })
	if len(issued) > 0 {
		d.Issued = issued[0].fact
		for _, f := range issued {
			if f.rank == issued[0].rank && f.fact.Value > d.Issued.Value && len(f.fact.Value) == len(d.Issued.Value) && issued[0].rank == 0 {
				d.Issued = f.fact
			}
		}
		return
	}
	s.dateWithoutLabel(labels)
}

// dateWithoutLabel takes the one date that stands in the head or the foot of the
// paper and belongs to no label, or to its version.
func (s *facts) dateWithoutLabel(labels []labelled) {
	taken := map[string]bool{}
	for _, l := range labels {
		switch l.key {
		case "print-date", "replaces", "made", "best-before":
			for _, d := range s.dates.find(l.value) {
				if d.start <= 24 {
					taken[d.iso] = true
				}
			}
		}
	}
	var only *Fact
	n := 0
	rows := s.headFootRows()
	for _, row := range rows {
		for _, c := range row.Cells {
			for _, d := range s.dates.find(c.Text) {
				if taken[d.iso] || d.open || lawNumber(c.Text, d) || timeBehind.MatchString(c.Text[d.end:]) {
					continue
				}
				if only == nil || only.Value != d.iso {
					n++
				}
				if only == nil || len(d.iso) > len(only.Value) {
					only = &Fact{Printed: d.printed, Value: d.iso, Place: s.place(row.Place, c), How: How{Rules: []string{"date-unlabelled"}}}
				}
			}
		}
	}
	if n == 1 {
		s.out.Document.Issued = only
	}
}

// timeBehind is the time of day behind a date: that of printing.
var timeBehind = regexp.MustCompile(`^,? \d{1,2}:\d{2}`)

// lawNumber says whether a "date" is part of the number of a law: 1272/2008.
func lawNumber(t string, d date) bool {
	before := t[:d.start]
	return strings.HasSuffix(before, "/") || strings.HasSuffix(before, ".") || d.start > 0 && before[len(before)-1] >= '0' && before[len(before)-1] <= '9' || strings.HasSuffix(strings.TrimRight(before, " "), "(") && strings.Contains(t, "mendment")
}
