package transcribe

import (
	"cmp"
	"regexp"
	"slices"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/paper"
)

func (s *reading) dateFacts(labels []labelled) {
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

func (s *reading) dateWithoutLabel(labels []labelled) {
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

var timeBehind = regexp.MustCompile(`^,? \d{1,2}:\d{2}`)

func lawNumber(t string, d date) bool {
	before := t[:d.start]
	return strings.HasSuffix(before, "/") || strings.HasSuffix(before, ".") || d.start > 0 && before[len(before)-1] >= '0' && before[len(before)-1] <= '9' || strings.HasSuffix(strings.TrimRight(before, " "), "(") && strings.Contains(t, "mendment")
}

func (s *reading) headFootRows() []*cells.Row {
	var rows []*cells.Row
	for _, it := range s.items {
		if it.Row != nil && it.Row.Quote == 0 && !it.Row.Hidden {
			rows = append(rows, it.Row)
		}
	}
	var edges []*cells.Row // heads and feet of the pages, where the file keeps them apart
	for _, r := range rows {
		if r.Sheet == "header" || r.Sheet == "footer" {
			edges = append(edges, r)
		}
	}
	for _, r := range edges {
		if s.file.Form == paper.Document && len(s.dates.find(r.Text())) > 0 {
			return edges
		}
	}
	if len(rows) <= 16 {
		return rows
	}
	return append(slices.Clone(rows[:10]), rows[len(rows)-4:]...)
}

// companyWords says whether a text names a company by its legal form.
// companyIn takes the company's name from a text that may go on with its address.
// supplierByPlace finds the supplier where no label names it: the heading of
// section 1.3, a line with a company's legal form in the head or the foot, the
// first line of the paper, the address of a mail.
// supplierHeading is the heading of section 1.3 of a safety data sheet.
// isMaterial says whether a text is the trade name or the code of the paper.
// plainTitle says whether a text could be a name: short, no title of a kind of
// paper, no figures, no label.
// titleCase writes a name that is printed in capitals with small letters.
// tradeNameByPlace finds the material's name where no label gives it: behind the
// title, beside the code, over the code, in the largest letters.
// nameBehindTitle takes what follows the title of the paper behind a colon or dash.
// nameBefore takes the words that stand before a code in brackets: "figures for
// orange oil (our art. 12)".
// nameByPosition takes the line above a line that is the code alone, or the line in
// the largest letters.
// hasSignedLabel says whether a text holds a label with its colon.
// withoutNoun drops a noun that only says what the material is, from a name in
// capitals: "WILD QUINCE FRAGRANCE".
// pageCount compares the count of pages in the foot with the file.
