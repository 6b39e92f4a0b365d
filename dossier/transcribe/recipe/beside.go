package recipe

import (
	"strings"

	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/recipe/raw"
	"gallipot/dossier/transcribe/recipe/running"
	"gallipot/dossier/transcribe/recipe/terms"
)

// texts places each row.
func (d *doc) texts(p *formulation.Product, rows []raw.Row) {
	for _, r := range rows {
		d.text(p, r)
	}
}

// text places a row of text that is no line: as a step or a note. What it says of
// batch, pH and temperature is kept; a figure in it is never an amount.
func (d *doc) text(p *formulation.Product, r raw.Row) {
	t := raw.OneLine(raw.Clean(r.Text()))
	if t == "" {
		return
	}
	if d.isMail && (d.mailHead(t) || mailSubject().MatchString(t)) {
		p.Notes = append(p.Notes, t)
		return
	}
	if strings.ContainsAny(t, "0123456789½¼¾") {
		p.Sentences = append(p.Sentences, t)
	}
	key, value := d.label(r)
	switch key {
	case "batch":
		if p.Batch == "" {
			p.Batch = value
			if m := batchSize().FindString(value); m != "" {
				p.Batch = m
			}
		}
	case "version":
		if p.Version == "" {
			p.Version = value
		}
	case "ph":
		d.facts(p, "pH "+value)
	}
	d.facts(p, t)
	if len(strings.Fields(t)) > 2 && (d.StartsStep(running.BareText(t)) || len(strings.Fields(t)) > 5 ||
		strings.HasSuffix(t, ".")) {
		p.Steps = append(p.Steps, t)
	} else {
		p.Notes = append(p.Notes, t)
	}
	if key == "batch" || key == "date" || key == "version" || key == "maker" || key == "ph" {
		return
	}
	if terms.PHIn(t) != "" && strings.HasPrefix(strings.ToLower(t), "ph") {
		return
	}
	if l, ok := d.running.Line(t); ok && !running.Prose(t) && len(strings.Fields(t)) <= 8 && key == "" {
		p.Say("left-line", "where", r.Place(0), "text", t, "name", l.Name)
		return
	}
	for _, a := range d.Amounts(strings.NewReplacer("(", " ", ")", " ").Replace(dose.Plain(t))) {
		if formulation.IsMass(a.Amount.Unit) || a.Amount.Unit == "drops" || a.Amount.Unit == "tsp" ||
			a.Amount.Unit == "tbsp" {
			p.Say("amount-in-text", "where", r.Place(0), "text", t)
			break
		}
	}
}

// facts keeps what a sentence says of batch, pH and temperatures.
func (d *doc) facts(p *formulation.Product, t string) {
	if v := terms.PHIn(t); v != "" {
		p.SetPH(v)
	}
	if p.Batch == "" && d.Holds("formula word", "batch", lexicon.Fold(t)) {
		if m := batchSize().FindStringSubmatch(t); m != nil {
			p.Batch = m[1] + " " + strings.ToLower(m[2])
		}
	}
	for _, m := range heatLine().FindAllStringSubmatch(t, -1) {
		for _, w := range strings.FieldsFunc(m[1], func(c rune) bool {
			return c == ' ' || c == ',' ||
				c == '+' || c == '&'
		}) {
			for i := range p.Phases {
				if p.Phases[i].ID == w && p.Phases[i].HeatC == "" {
					p.Phases[i].HeatC = m[2]
				}
			}
		}
	}
	if len(p.Phases) == 1 && p.Phases[0].HeatC == "" && allHeat().MatchString(t) && d.StartsStep(t) &&
		terms.Heats(t) == 1 {
		p.Phases[0].HeatC = terms.HeatOf(t)
	}
}
