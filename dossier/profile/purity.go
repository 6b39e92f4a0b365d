package profile

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/calc/law/tox"
	"gallipot/dossier/words"
	"gallipot/ingredients"
)

// purityOf is the endpoint of purity, impurities and by-products.
const purityOf = "id-purity"

// purity holds the impurities that an assessor expects in the substance against what is
// stated of each raw material that brings it: what one supplier states of one lot says
// nothing of another's.
//
// Source: expected-impurities.csv.
func (g *gatherer) purity(p *Profile, e *tox.Endpoint) Line {
	l := Line{Endpoint: e, Source: "A.4", InPack: true}
	var texts, sources []string
	of := map[string][]string{} // names of raw materials by what is known of them
	states := map[State]bool{}
	for _, s := range g.parts[p.INCI()] {
		one := g.purityIn(p, e, s)
		states[one.State] = true
		texts = words.AddOnce(texts, one.Text)
		of[one.Text] = append(of[one.Text], cmp.Or(s.Name, s.ID))
		if one.Source != "" {
			sources = words.AddOnce(sources, one.Source)
		}
	}
	if len(sources) > 0 {
		l.Source, l.InPack = strings.Join(sources, "; "), false
	}
	switch {
	case len(states) == 1:
		for state := range states {
			l.State = state
		}
	case len(states) > 1:
		l.State = Partly
		if !states[NotSupplied] && !states[Partly] {
			l.State = Value
		}
	}
	for i, text := range texts {
		if len(texts) > 1 {
			texts[i] = strings.Join(of[text], ", ") + ": " + text
		}
	}
	l.Text = words.OrWord(strings.Join(texts, "; "), unjudged)
	return l
}

const unjudged = "the substance fits no kind of the table of impurities: unjudged"

// purityIn is what is known of the impurities of the substance in one raw material.
func (g *gatherer) purityIn(p *Profile, e *tox.Endpoint, s *ingredients.Sheet) Line {
	list := g.sheets[ingredients.NameKey(p.INCI())]
	if i := slices.IndexFunc(list,
		func(x entry) bool { return x.sheet == s && x.said(e).State != NotSupplied }); i >= 0 {
		return list[i].said(e)
	}
	var stated, open []string
	for _, x := range g.tables.Expected(p.INCI()) {
		e := expectedIn(s, x)
		switch said := e.said(); {
		case said != "":
			stated = words.AddOnce(stated, x.Name+" "+said)
		case x.Banned:
			open = words.AddOnce(open, x.Name+" (prohibited as such)")
		default:
			open = words.AddOnce(open, x.Name)
		}
	}
	var l Line
	switch {
	case len(stated) > 0 && len(open) > 0:
		l.State = Partly
	case len(stated) > 0:
		l.State = Value
	}
	if len(stated) > 0 {
		l.Text = "stated: " + strings.Join(stated, ", ")
	}
	if len(open) > 0 {
		l.Text = words.Joined("; ", l.Text, "expected and not stated: "+strings.Join(open, ", "))
	}
	l.Text = words.OrWord(l.Text, unjudged)
	return l
}
