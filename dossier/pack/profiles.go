package pack

import (
	"fmt"
	"strings"

	"gallipot/calc/law/tox"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/profile"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
)

// profiles are those of a product: which stand whole in the pack and which in the volume.
type profiles struct {
	all, in, rest []*profile.Profile
}

func profilesOf(v *show.View) profiles {
	tables := tox.Builtin()
	p := profiles{all: profile.All(v, tables)}
	var lowest []string
	for _, m := range lowestMargins(v) {
		lowest = append(lowest, m.name)
	}
	p.in, p.rest = profile.Selected(p.all, tables, lowest, askedFor(v))
	return p
}

// askedFor are the substances that the last answer on record replaced figures of or spoke
// of.
func askedFor(v *show.View) (names []string) {
	list := v.A.Product.Assessments
	if len(list) == 0 {
		return nil
	}
	last := list[len(list)-1]
	for _, j := range last.Values {
		names = append(names, j.INCI)
	}
	for _, s := range last.Statements {
		if name, _, ok := strings.Cut(s.Text, ": "); ok && strings.HasPrefix(s.Code, "S") {
			names = append(names, name)
		}
	}
	return names
}

// endpointPages show the state of the endpoints of each substance, a line each.
func endpointPages(v *show.View, p profiles) *document.Section {
	s := &document.Section{ID: "endpoints", Title: "Endpoints on file"}
	t := &document.Table{ID: "endpoints-table", Title: "Endpoints by substance",
		Remark: "○ a result or figure   ▲ a hazard class alone   ‡ read-across   – not relevant, with the reason   □ not supplied",
		Empty:  "No substance is above the threshold.", Columns: []document.Column{{Head: "Substance", Fixed: true,
			Weight: 1.6}, {Head: "Highest", Unit: "% w/w", Kind: document.KindNumber}, {Head: "Hazard statements", Weight: 1.5}}}
	var shown []*tox.Endpoint
	for _, e := range tox.Builtin().Endpoints {
		if e.Short != "" {
			shown = append(shown, e)
			t.Columns = append(t.Columns, document.Column{Head: e.Short, Align: document.AlignCentre})
		}
	}
	for _, x := range p.all {
		row := []document.Cell{document.TextCell(x.INCI()), document.PctCell(x.Margin.Content.Max), statements(x)}
		for _, e := range shown {
			row = append(row, document.TextCell(x.Line(e.Key).State.Symbol()))
		}
		t.Add(row...)
	}
	rules := tox.Builtin()
	t.Note(legend(shown))
	t.Note(fmt.Sprintf("Substances above %s %%, or %s %% for allergens and classified substances that stay on the skin. A class is no result of a test; a missing one is no sign that there is none. Classes not of the EU list are the common ones of suppliers, which differ: †. Statements about people alone. One row a substance with all of it: spreadsheet, sheet Substances.",
		rules.Rule(tox.RuleLine).Exact(), rules.Rule(tox.RuleLineLeaveOn).Exact()))
	s.Add(t)
	if d := dosesAgainst(p); len(d.Rows) > 0 {
		s.Add(d)
	}
	return s
}

// legend says what the short heads stand for.
func legend(shown []*tox.Endpoint) string {
	var list []string
	for _, e := range shown {
		list = append(list, e.Short+" "+strings.ToLower(e.Name[:1])+e.Name[1:])
	}
	return strings.Join(list, " · ") + "."
}

// statements are the hazard statements on file for a substance.
func statements(p *profile.Profile) document.Cell {
	l := p.Line(profile.Classification)
	switch {
	case l.State == profile.NotSupplied:
		return document.MissingCell("□\u00a0not\u00a0stated")
	case p.Class == nil || !p.FromTable():
		return document.TextCell(l.Text)
	case p.Class.NotClassified:
		return document.TextCell("not classified").MarkedIf(l.Unverified, show.MemoryMark)
	}
	text := strings.Join(ofPeople(p.Class.HPhrases), ", ")
	if p.Class.Question {
		text = "? " + text
	}
	return document.TextCell(text).MarkedIf(l.Unverified, show.MemoryMark)
}

// ofPeople leaves out the statements about physics and the environment: H2 and H4 by the
// numbering of CLP.
func ofPeople(statements []string) (list []string) {
	for _, h := range statements {
		if strings.HasPrefix(h, "H3") {
			list = words.AddOnce(list, h)
		}
	}
	return list
}

// dosesAgainst compares doses per area with published ones without sensitisation.
func dosesAgainst(p profiles) *document.Table {
	t := &document.Table{ID: "sensitisation",
		Title: "Dose per area beside published doses without sensitisation", Remark: "µg/cm² a day; before any factor", SheetName: "Exposure",
		Columns: []document.Column{{Head: "Substance", Fixed: true},
			{Head: "Dose here", Kind: document.KindNumber}, {Head: "Published",
				Kind: document.KindNumber}, {Head: "Kind", Weight: 1.6}, {Head: "Ratio", Kind: document.KindNumber}}}
	for _, x := range p.all {
		d := x.Dose
		if d == nil || d.Here == 0 {
			continue
		}
		kind := "weight of evidence"
		if !d.Published.Weighted {
			kind = "one human study, no weight of evidence"
		}
		if d.Published.PureOnly {
			kind += "; pure substance alone"
		}
		t.Add(document.TextCell(x.INCI()), figure(d.Here),
			stated(d.Published.UgCM2.Value).MarkedIf(d.Published.FromMemory(),
				show.MemoryMark), document.TextCell(kind), figure(d.Published.UgCM2.Value/d.Here))
	}
	if len(t.Rows) > 0 {
		t.Note("Whether and how a factor is applied is the assessor's. A ratio does not protect persons who are sensitised already.")
	}
	return t
}

// profilePages are the whole profiles of the pack.
func profilePages(v *show.View, p profiles, c *cited) *document.Section {
	s := &document.Section{ID: "profiles", Title: "Profiles"}
	s.Intro = "Whole profiles of the lowest margins, of preservatives and UV filters, and of what the assessor asked for."
	if len(p.rest) > 0 {
		s.Intro += fmt.Sprintf(" %s further in the same form: %s-profiles.pdf.",
			words.UpperFirst(words.Itoa(len(p.rest))), v.A.Product.ID)
	}
	if len(p.in) == 0 {
		return s.Add(document.Para("No substance is above the threshold."))
	}
	for _, x := range p.in {
		s.Add(profileTable(x, c))
	}
	return s
}

// profileTable is the profile of one substance: what is on file, and by name what is not.
func profileTable(p *profile.Profile, c *cited) *document.Table {
	t := &document.Table{ID: "profile-" + anchor(p.INCI(), p.Margin.Nano), Title: "Profile: " + p.INCI(),
		Columns: []document.Column{{Head: "Endpoint", Fixed: true}, {Head: "On file", Weight: 2.6},
			{Head: "Source", Weight: 1}}}
	var none, byLaw []string
	alike := map[string]int{}
	for _, l := range p.Lines {
		alike[brief(l.Endpoint.Name)]++
	}
	for _, l := range p.Lines {
		name := brief(l.Endpoint.Name)
		if alike[name] > 1 { // genotoxicity in genes and in chromosomes
			name = strings.Replace(l.Endpoint.Name, ": ", ", ", 1)
		}
		if l.State == profile.NotSupplied {
			none = append(none, name)
			if l.Endpoint.ByLaw {
				byLaw = append(byLaw, name)
			}
			continue
		}
		source := l.Source
		if !l.InPack && c != nil {
			source = c.source(source)
		}
		t.Add(document.TextCell(l.State.Symbol()+"\u00a0"+name),
			document.TextCell(l.Text).MarkedIf(l.Unverified, show.MemoryMark), document.TextCell(source))
	}
	if len(none) > 0 {
		t.Note("□ not supplied: " + strings.Join(none, "; ") + ".")
	}
	if len(byLaw) > 0 {
		t.Note("Of these Annex I Part A.8 names by word: " + strings.Join(byLaw,
			"; ") + ". An absence has to be justified.")
	}
	return t
}

// brief is the name of an endpoint without what follows its first colon.
func brief(name string) string {
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

// Volume is the document of the profiles that do not stand whole in the pack; nil where
// there are none.
func Volume(a *assess.Assessment) *document.Document {
	v := show.Show(a, "")
	p := profilesOf(v)
	if len(p.rest) == 0 {
		return nil
	}
	d := v.Document("Toxicological profiles")
	d.Dense = true
	s := d.AddSection("volume", "Profiles that do not stand in the pack")
	s.Intro = fmt.Sprintf("%s above the threshold, in the order of the margins; those of the lowest margins, preservatives and UV filters stand in the pack.", words.UpperFirst(words.Count(len(p.rest), "substance", "substances")))
	for _, x := range p.rest {
		s.Add(profileTable(x, nil))
	}
	c := newCited(v)
	c.cite(d)
	return d
}

// withoutResults counts the substances for which no result stands in the table of
// endpoints but those of repeated dose and absorption.
func withoutResults(v *show.View) (without, all int) {
	list := profile.All(v, tox.Builtin())
	for _, p := range list {
		has := false
		for _, l := range p.Lines {
			if l.Endpoint.Short != "" && l.Endpoint.Part != "kinetics" && l.Endpoint.Key != profile.RepeatedDose {
				has = has || l.State == profile.Value || l.State == profile.Across || l.State == profile.NotRelevant
			}
		}
		if !has {
			without++
		}
	}
	return without, len(list)
}
