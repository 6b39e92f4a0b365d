package pack

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/calc/exposure"
	"gallipot/calc/law/tox"
	"gallipot/dossier/answer"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/profile"
	"gallipot/dossier/sections"
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

// volume names the document of the profiles that do not stand in the pack; "" where all do.
func (p *profiles) volume(v *show.View) string {
	if len(p.rest) == 0 {
		return ""
	}
	return fmt.Sprintf("profiles of %s in the same form, %s-profiles.pdf.",
		words.Count(len(p.rest), "further substance", "further substances"), v.A.Product.ID)
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

// profilePages are the whole profiles of the pack.
func profilePages(v *show.View, p profiles, c *cited) *document.Section {
	s := &document.Section{ID: "profiles", Title: "Profiles"}
	s.Intro = "Whole profiles of the lowest margins, of preservatives and UV filters, and of what the assessor asked for."
	if volume := p.volume(v); volume != "" {
		s.Intro += " " + words.UpperFirst(volume)
	}
	if len(p.in) == 0 {
		return s.Add(document.Para("No substance is above the threshold."))
	}
	s.Subsections = profileSections(v, p.in, c.source)
	return s
}

// profileSections are the pages of profiles, numbered, each with the code of its row in
// Part B.
func profileSections(v *show.View, list []*profile.Profile, cite func(string) string) []*document.Section {
	type form struct { // of a substance
		inci string
		nano bool
	}
	code := map[form]string{}
	rows := sections.WorstMargins(show.Show(v.A.WithoutAnswer(), ""))
	slices.SortStableFunc(rows, byMargin)
	for i, m := range rows {
		code[form{m.INCI, m.Nano}] = answer.Code("S", i+1)
	}
	all := map[form]*exposure.Aggregate{}
	for _, a := range aggregates(v) {
		all[form{a.Value.INCI, a.Value.Nano}] = &a.Value
	}
	out := make([]*document.Section, len(list))
	for i, x := range list {
		of := form{x.INCI(), x.Margin.Nano}
		out[i] = x.Section(profile.Page{Title: fmt.Sprintf("Profile %d of %d: %s", i+1, len(list), x.INCI()),
			Code: code[of], All: all[of], Cite: cite})
	}
	return out
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
	d.Dense, d.NoContents = true, true
	s := d.AddSection("volume", "Profiles that do not stand in the pack")
	s.Intro = fmt.Sprintf("%s above the threshold, in the order of the margins; those of the lowest margins, preservatives and UV filters stand in the pack.", words.UpperFirst(words.Count(len(p.rest), "substance", "substances")))
	c := newCited(v)
	s.Subsections = profileSections(v, p.rest, c.source)
	s.Add(stripOf(s.Subsections))
	d.AddSection("volume-sources", "Published sources").Add(c.published())
	d.NumberSections()
	c.cite(d)
	return d
}

// stripColumns is how many columns the contents of the volume have.
const stripColumns = 3

// stripOf are the contents of the volume: each profile with its page.
func stripOf(list []*document.Section) *document.ContentsStrip {
	strip := &document.ContentsStrip{}
	for part := range slices.Chunk(list, (len(list)+stripColumns-1)/stripColumns) {
		c := document.ContentsColumn{Head: "Profile"}
		for _, x := range part {
			_, name, _ := strings.Cut(x.Title, ": ")
			c.Items = append(c.Items, document.ContentsItem{Label: name, Anchor: x.ID})
		}
		strip.Columns = append(strip.Columns, c)
	}
	return strip
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
