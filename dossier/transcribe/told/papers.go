package told

import (
	"fmt"
	"slices"

	"gallipot/dossier/transcribe/filing"
	"gallipot/dossier/transcribe/phrases"
	"gallipot/dossier/transcribe/reading"
)

// Pairs prints what the papers of one material say against each other: what a newer
// version of a document changed, and where two documents contradict each other.
func (p Printer) Pairs(filings []*filing.Filing) {
	for i, a := range filings {
		for _, b := range filings[i+1:] {
			if a.Sheet == "" || a.Sheet != b.Sheet || a.Reading.SHA256 == b.Reading.SHA256 {
				continue
			}
			if older, newer, ok := filing.Older(a, b); ok {
				if !between(filings, older, newer) {
					p.Versions(older.Reading, newer.Reading)
				}
				continue
			}
			if outdated(filings, a) || outdated(filings, b) {
				continue
			}
			for _, q := range filing.Contradictions(a.Reading, b.Reading) {
				fmt.Fprintf(p.Out, "\nask: %s\n", p.Shown(q.Text))
			}
		}
	}
}

// between says whether a version stands between two others.
func between(filings []*filing.Filing, older, newer *filing.Filing) bool {
	return slices.ContainsFunc(filings, func(f *filing.Filing) bool {
		a, _, after := filing.Older(older, f)
		b, _, before := filing.Older(f, newer)
		return after && before && a == older && b == f
	})
}

// outdated says whether a newer version of a paper is among the papers.
func outdated(filings []*filing.Filing, of *filing.Filing) bool {
	return slices.ContainsFunc(filings, func(f *filing.Filing) bool {
		older, _, ok := filing.Older(of, f)
		return ok && older == of
	})
}

// Versions prints what a newer version of a document says differently.
func (p Printer) Versions(older, newer *reading.Reading) {
	list := filing.Differences(older, newer)
	fmt.Fprint(p.Out, "\n", phrases.Told().Say("newer-version", "newer", p.Shown(newer.File), "older",
		p.Shown(older.File)))
	if len(list) == 0 {
		fmt.Fprintln(p.Out, phrases.Told().Say("same-text"))
		return
	}
	fmt.Fprintln(p.Out, phrases.Told().Say("what-differs"))
	var rows [][]string
	for _, d := range list {
		rows = append(rows, []string{p.Shown(d.Field), "older: " + p.side(d.Old), "newer: " + p.side(d.New),
			p.place(d.Place)})
	}
	columns(p.Out, rows)
}

func (p Printer) side(s string) string {
	if s == "" {
		return "-"
	}
	return p.Shown(s)
}

// Line is one paper of a folder: what it says beside its sheet, or why it was not
// read.
type Line struct {
	File   string
	Filing *filing.Filing // nil where it was not read
	Why    string
}

// Table prints a line for each paper of a folder.
func (p Printer) Table(lines []Line) {
	rows := [][]string{{"paper", "kind", "sheet", "fills", "differs", "questions"}}
	for _, l := range lines {
		if l.Filing == nil {
			rows = append(rows, []string{p.Shown(l.File), phrases.Told().Say("unread", "why", l.Why)})
			continue
		}
		f, n := l.Filing, map[filing.State]int{}
		for _, v := range f.Values {
			n[v.State]++
		}
		where := f.Sheet
		switch {
		case f.Filed != "":
			where += " " + phrases.Told().Say("filed-mark")
		case f.New:
			where += " " + phrases.Told().Say("new-mark")
		case where == "":
			where = "open"
		}
		rows = append(rows, []string{p.Shown(l.File), f.Reading.Document.Kind, where,
			fmt.Sprint(n[filing.Fills]),
			fmt.Sprint(n[filing.Differs]), fmt.Sprint(len(f.Reading.Asks))})
	}
	fmt.Fprintln(p.Out)
	columns(p.Out, rows)
}
