package profile

import (
	"strings"

	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/dossier/document"
	"gallipot/dossier/sections"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
)

// Page is what a page of a profile has besides the profile.
type Page struct {
	Title string
	Code  string              // of the row of Part B where the figures can be replaced; "" leaves no room to answer
	All   *exposure.Aggregate // all products together; nil: not computed for it
	Cite  func(source string) string
}

// groups are the parts of a profile in the order of its page.
//
// Source: endpoints.csv; local effects before systemic ones, as Annex I Part A.8 has them.
var groups = []struct {
	title string
	parts []string
}{
	{"Identity, class and law", []string{"identity"}},
	{"Local effects", []string{"local"}},
	{"Kinetics", []string{"kinetics"}},
	{"Systemic effects", []string{"systemic", "genetic"}},
	{"Human and other data", []string{"human", "special"}},
}

// elsewhere are the endpoints that stand in the table of the margin or beside each value.
var elsewhere = map[string]bool{"source": true, "mos": true, "uncertainty": true, "pod-corr": true}

// Section is the page of a profile: each endpoint in a line, with its value and source or
// by name as not supplied; exposure and margin; room for the assessor's answer.
func (p *Profile) Section(x Page) *document.Section {
	id := "profile-" + anchor(p.INCI(), p.Margin.Nano)
	s := &document.Section{ID: id, Title: x.Title}
	s.Add(p.endpoints(id, x), p.exposureTable(id, x))
	c := p.chart(id, x)
	var answer document.Block
	if x.Code != "" {
		answer = &document.Fields{Together: true, Items: []document.Field{
			{Code: x.Code, Label: "For the assessor", Options: []string{"accepted as it is", "replaced"}},
			{Label: "New point of departure, absorption, target", Lines: 1},
			{Label: "Reason and source; why open endpoints are settled", Lines: 2}}}
	}
	switch {
	case c != nil && answer != nil:
		s.Add(&document.Beside{Left: []document.Block{c}, Right: []document.Block{answer}})
	case c != nil:
		s.Add(c)
	case answer != nil:
		s.Add(answer)
	}
	return s
}

// endpoints is the table of the endpoints of a substance in groups.
func (p *Profile) endpoints(id string, x Page) *document.Table {
	t := &document.Table{ID: id + "-endpoints", Title: "Endpoints of " + p.INCI(),
		Remark: "* named by word in Annex I Part A.8: an absence has to be justified",
		Columns: []document.Column{{Head: "Endpoint", Fixed: true}, {Head: "State", Kind: document.KindText},
			{Head: "Value or reason", Weight: 2.6, Kind: document.KindText}, {Head: "Source", Kind: document.KindText}}}
	alike := map[string]int{}
	for _, l := range p.Lines {
		alike[Brief(l.Endpoint.Name)]++
	}
	for _, g := range groups {
		t.Group(g.title)
		for _, part := range g.parts {
			for _, l := range p.Lines {
				if l.Endpoint.Part != part || elsewhere[l.Endpoint.Key] {
					continue
				}
				name := Brief(l.Endpoint.Name)
				if alike[name] > 1 { // genotoxicity in genes and in chromosomes
					name = strings.Replace(l.Endpoint.Name, ": ", ", ", 1)
				}
				if l.Endpoint.ByLaw {
					name += " *"
				}
				source := l.Source
				if !l.InPack && x.Cite != nil {
					source = x.Cite(source)
				}
				t.Add(document.TextCell(name), l.State.cell(),
					document.TextCell(l.Text).MarkedIf(l.Unverified, show.MemoryMark), document.TextCell(source))
			}
		}
	}
	return t
}

// cell is a state in words with its sign.
func (s State) cell() document.Cell {
	switch s {
	case Value:
		return document.VerdictCell(document.VerdictMet, "value")
	case ClassOnly:
		return document.VerdictCell(document.VerdictOpen, "class\u00a0only")
	case Partly:
		return document.VerdictCell(document.VerdictOpen, "partly")
	case Across:
		return document.TextCell("‡\u00a0read-across")
	case NotRelevant:
		return document.VerdictCell(document.VerdictNone, "not\u00a0relevant")
	}
	return document.MissingCell("□\u00a0not\u00a0supplied")
}

// exposureTable is the arithmetic of the margin: this product, and all products together.
func (p *Profile) exposureTable(id string, x Page) *document.Table {
	number := func(head, unit string) document.Column {
		return document.Column{Head: head, Unit: unit, Kind: document.KindNumber}
	}
	t := &document.Table{ID: id + "-margin", Title: "Exposure and margin of " + p.INCI(),
		Columns: []document.Column{{Head: "Of", Fixed: true}, number("Product", "mg/kg bw/d"),
			number("Content", "% w/w"), number("Absorbed", "%"), number("SED", "mg/kg bw/d"),
			number("Internal PoD", "mg/kg bw/d"), number("MoS", ""), number("Target", ""),
			{Head: "Verdict or reason", Weight: 1.4, Kind: document.KindText}}}
	m := p.Margin
	row := []document.Cell{document.TextCell("This product, " + m.Where()), figureOr(m.MgPerKg),
		document.PctCell(m.Content.Max), sections.AbsorbedCell(m.Margin), figureOr(m.SED.Max)}
	if m.None != "" {
		t.Add(append(row, document.MissingCell("–"), document.MissingCell("–"), document.MissingCell("–"),
			document.TextCell(m.Reason))...)
	} else {
		t.Add(append(row, figure(m.PoDSys), figure(m.MoS).MarkedIf(len(m.Memory) > 0, show.MemoryMark).
			MarkedIf(m.Judged != nil, show.AssessorMark), sections.StatedCell(&m.Target), Verdict(m.Verdict))...)
	}
	if a := x.All; a != nil {
		row := []document.Cell{document.TextCell("All products"), sections.StatedCell(&a.All),
			document.PctCell(a.Content.Max),
			sections.StatedCell(&formula.Stated{Value: a.AbsorbedPct, Seen: formula.SeenGiven}).
				MarkedIf(len(m.Memory) > 0, show.MemoryMark), figureOr(a.SED)}
		if a.MoS == 0 {
			t.Add(append(row, document.MissingCell("–"), document.MissingCell("–"), document.MissingCell("–"),
				document.TextCell(a.Reason))...)
		} else {
			t.Add(append(row, figure(a.PoDSys),
				figure(a.MoS).MarkedIf(a.All.FromMemory() || len(m.Memory) > 0, show.MemoryMark),
				sections.StatedCell(&a.Target), Verdict(a.Verdict))...)
		}
	}
	if m.None == "" {
		corrections := p.Line("pod-corr")
		t.Note(words.Joined(". ", SameDigits(m.Margin), divided(corrections)) + ".")
	}
	return t
}

// divided says by what a point of departure was divided; "" where by nothing.
func divided(l Line) string {
	if !strings.HasPrefix(l.Text, "divided") {
		return ""
	}
	return "The point of departure is " + l.Text
}

// figureOr prints a figure, or that there is none.
func figureOr(f float64) document.Cell {
	if f == 0 {
		return document.MissingCell("–")
	}
	return figure(f)
}

// chart draws the margins against their targets; nil where there is none.
func (p *Profile) chart(id string, x Page) document.Block {
	c := &document.HBarLog{ID: id + "-chart", Title: "Margin of " + p.INCI() + " against its target", Unit: "MoS",
		AtLeast: true}
	bar := func(label string, mos float64, unverified bool, target formula.Stated, state document.Verdict) {
		sign := ""
		if unverified {
			sign = show.Sign(show.MemoryMark)
		}
		c.Rows = append(c.Rows, document.HBar{Label: label, Value: mos, Limit: target.Value,
			Used: figure(mos), Sign: sign, Bound: sections.StatedCell(&target), State: state})
	}
	if m := p.Margin; m.None == "" {
		bar("this product", m.MoS, len(m.Memory) > 0, m.Target, show.MarginState(m.Verdict))
	}
	if a := x.All; a != nil && a.MoS > 0 {
		bar("all products", a.MoS, a.All.FromMemory() || len(p.Margin.Memory) > 0, a.Target,
			show.MarginState(a.Verdict))
	}
	if len(c.Rows) == 0 {
		return nil
	}
	return c
}

// Verdict is the verdict on a margin in a word.
func Verdict(verdict exposure.MarginVerdict) document.Cell {
	switch verdict {
	case exposure.MarginReached:
		return document.VerdictCell(document.VerdictMet, "above")
	case exposure.MarginBelow:
		return document.VerdictCell(document.VerdictFail, "below")
	}
	return show.MarginVerdict(verdict)
}

// SameDigits is the arithmetic of a margin with dose and margin to the digits of the tables.
func SameDigits(m exposure.Margin) string {
	s := strings.ReplaceAll(m.Arithmetic(), formula.FigureText(m.SED.Max), document.FormatPlain(m.SED.Max, digits))
	if i := strings.LastIndex(s, " = "); i >= 0 && m.None == "" {
		return s[:i] + " = " + document.FormatPlain(m.MoS, digits)
	}
	return s
}

// Brief is the name of an endpoint without what follows its first colon.
func Brief(name string) string {
	first, _, _ := strings.Cut(name, ": ")
	return first
}

// anchor makes an anchor of a name.
func anchor(name string, nano bool) string {
	a := strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			return r
		}
		return '-'
	}, strings.ToLower(name))
	if nano {
		a += "-nano"
	}
	return a
}
