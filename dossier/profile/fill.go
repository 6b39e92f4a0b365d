package profile

import (
	"fmt"
	"strings"

	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/tox"
	"gallipot/dossier/document"
	"gallipot/dossier/words"
	"gallipot/ingredients"
)

// digits is how many significant digits doses and margins have.
const digits = 3

// fills are the endpoints that the program has something to say about of its own, by the
// key of the table.
var fills = map[string]func(*gatherer, *Profile) Line{
	"id-substance": identity,
	"id-use":       use,
	"id-physchem":  physchem,
	classification: classes,
	"reg-status":   entries,
	RepeatedDose:   repeated,
	"pod-corr":     corrections,
	"skin-abs":     skin,
	"oral-abs":     oral,
	"sens-qra":     dose,
	"nano":         nano,
	"read-across":  across,
	"uncertainty":  target,
	"mos":          margin,
	"ttc":          screening,
	"source":       func(*gatherer, *Profile) Line { return Line{State: Value, Text: "with each value"} },
}

// line is what is known of an endpoint: what a sheet says comes before what the program
// knows, and that before a class alone.
func (g *gatherer) line(p *Profile, e *tox.Endpoint) Line {
	if e.Key == purityOf {
		return g.purity(p, e)
	}
	l := g.ofSheets(p, e)
	if l.State == NotSupplied && fills[e.Key] != nil {
		l = fills[e.Key](g, p)
	}
	if l.State == NotSupplied && len(e.HPhrases) > 0 {
		l = g.classOnSheet(p, e.HPhrases, l)
	}
	if l.State == NotSupplied && p.Class != nil && len(e.HPhrases) > 0 && p.Class.Has(e.HPhrases...) {
		l = Line{State: ClassOnly, Text: "class: " + strings.Join(named(p.Class, e.HPhrases), ", "),
			Source: p.Class.Source, Unverified: p.Class.FromMemory()}
		if p.Class.Question {
			l.Text += "; a question, see the note of the entry"
		}
	}
	if l.State == NotSupplied && l.Text == "" && len(e.HPhrases) > 0 {
		l = without(p, e.HPhrases)
	}
	l.Endpoint = e
	return l
}

// classOnSheet is what the classification on a sheet says of an endpoint; l where none speaks
// of it.
func (g *gatherer) classOnSheet(p *Profile, statements []string, l Line) Line {
	for _, x := range g.sheets[ingredients.NameKey(p.INCI())] {
		if x.value.Class == nil {
			continue
		}
		stated := tox.Class{HPhrases: x.value.Class.HPhrases}
		if stated.Has(statements...) {
			return Line{State: ClassOnly, Text: "class: " + strings.Join(named(&stated, statements), ", "),
				Source: x.value.Class.Source}
		}
	}
	return l
}

// named are the statements of a class that an endpoint speaks of.
func named(c *tox.Class, statements []string) (list []string) {
	for _, h := range c.HPhrases {
		one := tox.Class{HPhrases: []string{h}}
		if one.Has(statements...) {
			list = words.AddOnce(list, h)
		}
	}
	return list
}

// ofSheets is what the sheets of raw materials say of an endpoint.
func (g *gatherer) ofSheets(p *Profile, e *tox.Endpoint) (l Line) {
	for i, list := 0, g.sheets[ingredients.NameKey(p.INCI())]; i < len(list); i++ {
		switch one := list[i].said(e); {
		case one.State == NotSupplied:
		case l.State == NotSupplied:
			l = one
		default:
			l.Text, l.Source = l.Text+"; "+one.Text, words.Joined("; ", l.Source, one.Source)
		}
	}
	return l
}

// said is what one sheet says of an endpoint.
func (x *entry) said(e *tox.Endpoint) (l Line) {
	for _, y := range x.value.Endpoints {
		if y.Key != e.Key {
			continue
		}
		from := y.From
		if from == nil {
			from = x.value.ReadAcross
		}
		l = Line{State: Value, Text: words.Joined("; ", y.Result, y.Study), Source: y.Source}
		switch {
		case y.NotRelevant != "":
			l = Line{State: NotRelevant, Text: "not relevant: " + y.NotRelevant, Source: y.By, InPack: true}
		case from != nil:
			l.State, l.Text = Across, l.Text+"; read across from "+from.From+": "+from.Because
		}
	}
	return l
}

func identity(_ *gatherer, p *Profile) Line {
	return Line{State: Value, Text: "in the product: " + words.Joined(", ", p.INCI(), numbered(p.Margin.CAS))}
}

func numbered(cas string) string {
	if cas == "" {
		return "no CAS number stated"
	}
	return "CAS " + cas
}

// without says that the class on file holds none of the statements about an endpoint: no
// class is no result.
func without(p *Profile, statements []string) Line {
	if p.Class == nil {
		return Line{Text: "in no list of classes"}
	}
	list := "common class of suppliers"
	if p.Class.List == tox.EUList {
		list = "EU list"
	}
	return Line{Text: "no " + strings.Join(statements, ", ") + " in the " + list, Source: p.Class.Source,
		Unverified: p.Class.FromMemory()}
}

func use(_ *gatherer, p *Profile) Line {
	return Line{State: Value,
		Text: pct(p.Margin.Content.Max) + " at most, " + p.Margin.Where() + "; SED " +
			document.FormatPlain(p.Margin.SED.Max, digits) + " mg/kg bw/d", Source: "A.7", InPack: true}
}

func physchem(g *gatherer, p *Profile) Line {
	for _, row := range law.Tox(g.v.A.Options.Law, p.INCI(), p.Margin.CAS) {
		text := ""
		if row.MW != nil {
			text = "molar mass " + row.MW.Text + " g/mol"
		}
		if row.LogP != nil {
			text = words.Joined("; ", text, "log Pow "+row.LogP.Text)
		}
		if text != "" {
			return Line{State: Value, Text: text, Source: row.Source, Unverified: row.FromMemory()}
		}
	}
	return Line{}
}

// classes is the classification: that of the supplier's document, else that of a list,
// with the specific limits that the content in the product reaches.
func classes(g *gatherer, p *Profile) Line {
	for _, x := range g.sheets[ingredients.NameKey(p.INCI())] {
		c := x.value.Class
		if c == nil {
			continue
		}
		text := "not classified"
		if !c.NotClassified {
			text = words.Joined("; ", strings.Join(c.Classes, ", "), strings.Join(c.HPhrases, ", "))
		}
		return Line{State: Value, Text: text, Source: c.Source}
	}
	c := p.Class
	if c == nil {
		return Line{}
	}
	p.fromTable = true
	list := "common classification of suppliers, which differs between them: the safety data sheet of the lot counts"
	if c.List == tox.EUList {
		list = "EU list"
		if c.Adaptation > 0 {
			list += fmt.Sprintf(", adaptation %d", c.Adaptation)
		}
		if c.From != 0 {
			list += ", from " + c.From.String()
		}
	}
	text := "not classified"
	if !c.NotClassified {
		text = strings.Join(c.Classes, ", ") + " (" + strings.Join(c.HPhrases, ", ") + ")"
	}
	if c.Question {
		text += "; a question: note " + strings.Join(c.Letters, ", ")
		if len(c.Letters) == 0 {
			text = strings.TrimSuffix(text, ": note ") + ", see the remark of the entry"
		}
	}
	return Line{State: Value, Text: words.Joined("; ", text, list, reached(g.tables, p)), Source: c.Source,
		Unverified: c.FromMemory()}
}

// reached says which specific limits the content in the product reaches. Finished cosmetic
// products are outside CLP: it is a question about the mixture, no class of it.
func reached(tables *tox.Tables, p *Profile) string {
	limits := tables.LimitsOf(p.Class)
	var hit []string
	for _, l := range limits {
		if l.Reaches(p.Margin.Content.Max) {
			hit = words.AddOnce(hit, l.Class)
		}
	}
	switch {
	case len(limits) == 0:
		return ""
	case len(hit) == 0:
		return "no specific limit reached at " + pct(p.Margin.Content.Max)
	}
	return "specific limits reached at " + pct(p.Margin.Content.Max) + ": " + words.JoinNames(hit)
}

// entries are the entries of the annexes that count the substance.
func entries(g *gatherer, p *Profile) Line {
	var list []string
	for _, row := range g.limits {
		for _, name := range row.Check.Substances {
			if name == p.INCI() {
				list = words.AddOnce(list, "Annex "+row.Check.Row.Annex+" entry "+row.Check.Row.Entry)
			}
		}
	}
	if len(list) == 0 {
		return Line{State: Value, Text: "no entry of Annexes II to VI that applies", Source: "A.1", InPack: true}
	}
	return Line{State: Value, Text: words.JoinNames(list), Source: "A.1", InPack: true}
}

func repeated(_ *gatherer, p *Profile) Line {
	pod := p.Margin.PoD
	if pod == nil {
		return Line{}
	}
	l := Line{State: Value, Text: fmt.Sprintf("%s %s mg/kg bw/d; %s", pod.Type,
		document.PlainFloat(pod.Value), pod.Study), Source: pod.Source, Unverified: pod.FromMemory()}
	if borrowed(pod) {
		l.State = Across
	}
	if pod.Seen == formula.SeenAssessor {
		l.Text += " ◊"
	}
	return l
}

// borrowed says whether the description of a study names another substance.
func borrowed(p *exposure.PoD) bool {
	for _, word := range []string{"read-across", "surrogate", "metabolite"} {
		if strings.Contains(p.Study, word) {
			return true
		}
	}
	return false
}

func corrections(_ *gatherer, p *Profile) Line {
	pod := p.Margin.PoD
	switch {
	case pod == nil:
		return Line{}
	case pod.Divisor() == 1:
		return Line{State: Value, Text: "none", Source: "A.8.1", InPack: true}
	}
	return Line{State: Value, Text: "divided by " + document.PlainFloat(pod.Divisor()), Source: "A.8.1", InPack: true}
}

func skin(_ *gatherer, p *Profile) Line {
	a := p.Margin.Absorption
	text := document.PlainFloat(a.Pct.Value) + " %: " + a.Why
	if a.Kind == exposure.AbsorptionDefault {
		text = document.PlainFloat(a.Pct.Value) + " % by default: " + a.Why
	}
	return Line{State: Value, Text: text, Source: a.Pct.Source, Unverified: a.Pct.FromMemory()}
}

func oral(_ *gatherer, p *Profile) Line {
	pod := p.Margin.PoD
	if pod == nil || pod.Route == "dermal" {
		return Line{}
	}
	return Line{State: Value, Text: document.PlainFloat(pod.Systemic.Value) + " %: " + pod.SystemicWhy,
		Source: pod.Systemic.Source, Unverified: pod.Systemic.FromMemory()}
}

// dose compares the dose per area with a published one. Whether and how a factor is applied
// is the assessor's.
func dose(_ *gatherer, p *Profile) Line {
	if p.Dose == nil {
		return Line{}
	}
	published, here := p.Dose.Published, p.Dose.Here
	kind := "weight of evidence"
	if !published.Weighted {
		kind = "no effect in one human study, not a weight of evidence"
	}
	text := document.Grouped(document.PlainFloat(published.UgCM2.Value)) + " µg/cm² (" + kind + ")"
	if published.PureOnly {
		text += "; pure substance, its oxidised forms sensitise at far lower doses"
	}
	if here > 0 {
		text += fmt.Sprintf("; dose here %s µg/cm² a day, ratio %s before any factor",
			document.FormatPlain(here, digits), document.FormatPlain(published.UgCM2.Value/here, digits))
	}
	return Line{State: Value, Text: text, Source: published.Source, Unverified: published.FromMemory()}
}

func nano(_ *gatherer, p *Profile) Line {
	if !p.Margin.Nano {
		return Line{} // no mark is no statement
	}
	return Line{State: Value, Text: "nano", Source: "sheet of the raw material", InPack: true}
}

// across is what is borrowed from another substance: all of it, the results of single
// endpoints, or the dose behind the margin.
func across(g *gatherer, p *Profile) Line {
	var l Line
	take := func(r *ingredients.ReadAcross, source string) {
		text := words.Joined(", ", r.From, r.CAS) + ": " + r.Because
		if !strings.Contains(l.Text, text) {
			l = Line{State: Across, Text: words.Joined("; ", l.Text, text),
				Source: words.Joined("; ", l.Source, source)}
		}
	}
	for _, x := range g.sheets[ingredients.NameKey(p.INCI())] {
		if x.value.ReadAcross != nil {
			take(x.value.ReadAcross, x.value.Source)
		}
		for _, y := range x.value.Endpoints {
			if y.From != nil {
				take(y.From, y.Source)
			}
		}
	}
	if l.State == Across {
		return l
	}
	if pod := p.Margin.PoD; pod != nil && borrowed(pod) {
		return Line{State: Partly,
			Text:   "the study is of another substance; the reason why it may be borrowed is not on file",
			Source: pod.Source}
	}
	return Line{State: NotRelevant, Text: "no figure is borrowed from another substance", InPack: true}
}

func target(_ *gatherer, p *Profile) Line {
	if p.Margin.None != "" {
		return Line{}
	}
	return Line{State: Value, Text: document.PlainFloat(p.Margin.Target.Value),
		Source: p.Margin.Target.Source, Unverified: p.Margin.Target.FromMemory()}
}

func margin(_ *gatherer, p *Profile) Line {
	m := p.Margin
	switch m.None {
	case "":
		return Line{State: Value, Text: document.FormatPlain(m.MoS, digits) + ", " + string(m.Verdict),
			Source: "A.8.1", InPack: true, Unverified: len(m.Memory) > 0}
	case exposure.NoMarginNotNeeded, exposure.NoMarginNotAbsorbed:
		return Line{State: NotRelevant, Text: "absent because: " + m.Reason, Source: "A.8.2", InPack: true}
	}
	return Line{}
}

func screening(_ *gatherer, p *Profile) Line {
	s := p.Margin.TTC
	switch {
	case s == nil:
		return Line{}
	case s.Verdict == exposure.ScreenNotApplicable:
		return Line{State: NotRelevant, Text: "class " + s.Class + ": " + s.Reason, Source: "A.8.2", InPack: true}
	}
	return Line{State: Value, Text: "class " + s.Class + ": " + string(s.Verdict), Source: "A.8.2", InPack: true}
}
