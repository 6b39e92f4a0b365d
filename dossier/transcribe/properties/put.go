package properties

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
	"gallipot/ingredients/pattern"
)

// Put files a figure under impurities or physical data.
func (s *Reader) Put(base reading.Property, f figure.Figure, kind string, at reading.Place,
	where cells.Place) {
	if f.Unit.Name == "" && base.Spec != "" && f.Low+f.High != "" && pieces.Printed(f.Unit.Printed) == "" {
		if u, ok := s.unitOfLimit(base.Spec); ok {
			f.Unit, f.Rules = u, append(f.Rules, "unit-of-the-limit")
		}
	}
	if g, ok := s.Figures.Parse(f.Note, lexicon.Unit{}); ok && f.Unit.Name == "°F" && g.Unit.Name == "°C" &&
		g.Status == f.Status { // "167 °F (75 °C)"
		g.Printed, g.Rules = f.Printed, f.Rules
		f = g
	}
	base.Place, base.Printed, base.Kind, base.Rules = at, f.Printed, kind, f.Rules
	base.Unit = f.Unit.Name
	if f.Unit.Name == "" && f.Unit.Printed != "" {
		base.Unit = f.Unit.Printed
	}
	if f.Open != "" {
		base.Ask = f.Open
		s.Ask(f.Open, at, "name", base.Name, "text", f.Printed)
	}
	s.Doubt(where, &base.How)
	if s.analysed(base, f, kind, at, where) {
		return
	}
	p, known := s.PropertyOf(base.Name, false)
	if known && p.key == "ash" && f.Unit.Divisor >= 1000 && lexicon.Fold(base.Name) == "as" {
		p = Property{"Arsenic", true} // its sign, and no ash by the thousandth of a thousandth
	}
	if _, _, study := s.Words.Find("study", lexicon.Fold(base.Name)); study && !known {
		return // a dose of toxicology, and no content
	}
	impurity := known && p.Impurity || !known && (s.Topic == "impurities" || f.Unit.Divisor > 10 ||
		strings.HasPrefix(f.Unit.Name, "cfu"))
	switch f.Status {
	case figure.NotDetected:
		base.Op = "n.d."
	case figure.Trace:
		base.Op, base.Status = "trace", "trace"
		if f.High != "" { // "traces (< 1 ppm)"
			f.Status, base.Status = figure.Below, ""
			bounds(&base, f, impurity)
		}
	case figure.Absent:
		base.Op = "absent"
	case figure.NotApplicable, figure.Ask:
		base.Kind, base.Unit = "not applicable", ""
	case figure.NoData, figure.NotStated:
		return // nothing is stated
	case figure.Complies:
		base.Op, base.Kind = "statement", "statement"
	case figure.Rest, figure.ToPH, figure.NotPermitted, figure.NoRestriction:
		base.Op, base.Kind = "statement", "statement"
	default:
		bounds(&base, f, impurity)
	}
	if base.Ask == "bounds-crossed" || base.Ask == "not-read" { // what is printed stays
		base.Value, base.Low, base.High = "", "", ""
	}
	if base.Ask != "" {
		base.Status = "ask"
	}
	base.Property, base.Substance = "", ""
	if impurity {
		base.Substance = base.Name
		if known {
			base.Substance = p.key
		}
		s.Out.Impurities = append(s.Out.Impurities, base)
		return
	}
	base.Property = base.Name
	if known {
		base.Property = fullName(p, base.Name)
	}
	s.Out.Physical = append(s.Out.Physical, base)
}

// isMaterial says whether a name is that of the material itself, as its trade name or its
// label name has it.
func (s *Reader) isMaterial(name string) bool {
	folded := lexicon.Fold(name)
	if t := s.Out.Document.TradeName; t != nil && lexicon.Holds(lexicon.Fold(t.Value), folded) {
		return true
	}
	for _, l := range s.Labels {
		if l.Key == "inci" && lexicon.Fold(pieces.PlainName(l.Value)) == folded {
			return true
		}
	}
	return false
}

// unitOfLimit is the unit that stands beside what is wanted of a result.
func (s *Reader) unitOfLimit(wanted string) (lexicon.Unit, bool) {
	f, ok := s.Figures.Parse(wanted, lexicon.Unit{})
	return f.Unit, ok && f.Unit.Name != ""
}

// analysed files the content of a declarable allergen that a certificate of
// analysis gives as a result.
func (s *Reader) analysed(base reading.Property, f figure.Figure, kind string, at reading.Place,
	where cells.Place) bool {
	if !s.Is("certificate-of-analysis") || kind != "result" || f.Unit.Divisor == 0 || base.Lot != "" {
		return false
	}
	name := pieces.PlainName(base.Name)
	if s.isMaterial(name) { // its own assay
		return false
	}
	var cas []string
	if base.CAS != "" {
		cas = []string{base.CAS}
	}
	if _, known, _ := s.Declaration.Known.Find(name, cas); !known {
		return false
	}
	s.Declaration.Declare(s.Declaration.Allergen(name, cas, f, at), where)
	bounds(&base, f, true)
	s.askHeld(base)
	return true
}

// bounds writes a figure as an impurity has it (one value with a sign) or as a
// property (two bounds).
func bounds(p *reading.Property, f figure.Figure, impurity bool) {
	switch f.Status {
	case figure.Below:
		p.Op = "<"
		if f.HighIn {
			p.Op = "<="
		}
		if impurity {
			p.Value = f.High
		} else {
			p.High = f.High
		}
	case figure.Above:
		p.Op = ">"
		if f.LowIn {
			p.Op = ">="
		}
		if impurity {
			p.Value = f.Low
		} else {
			p.Low = f.Low
		}
	case figure.Range:
		p.Op, p.Low, p.High = "range", f.Low, f.High
	default:
		p.Op = "="
		if impurity {
			p.Value = f.High
		} else {
			p.Low, p.High = f.Low, f.High
		}
	}
}

// PutWords files what a property says in words.
func (s *Reader) PutWords(base reading.Property) {
	p, known := s.PropertyOf(base.Name, false)
	if known && p.Impurity || !known && s.Topic == "impurities" {
		base.Substance = base.Name
		if known {
			base.Substance = p.key
		}
		s.Out.Impurities = append(s.Out.Impurities, base)
		return
	}
	base.Property = base.Name
	if known {
		base.Property = fullName(p, base.Name)
	}
	s.Out.Physical = append(s.Out.Physical, base)
}

// ValueKind tells what a bare value is: by the heading above it, by the paper.
func (s *Reader) ValueKind() string {
	switch {
	case s.Typical != "":
		return s.Typical
	case s.Is("certificate-of-analysis"):
		return "result"
	}
	return "typical"
}

// UnitOf is the unit of a property: from its own cell, otherwise from its name.
func (s *Reader) UnitOf(name, own string) lexicon.Unit {
	if strings.Trim(own, "-–—./ ") != "" {
		if u, ok := s.Figures.UnitIn(own); ok {
			return u
		}
		if lexicon.Fold(own) == "c" {
			u, _ := s.Figures.UnitIn("°C")
			return u
		}
		if strings.ContainsAny(own, "0123456789") {
			return lexicon.Unit{}
		}
		return lexicon.Unit{Name: own, Printed: own}
	}
	for _, b := range pieces.InBrackets(name) {
		inside := strings.Trim(b, " ()[]")
		if u, ok := s.Figures.UnitIn(inside); ok && !temperature.MatchString(inside) &&
			!strings.ContainsAny(strings.Replace(inside, u.Printed, "", 1), "0123456789") {
			return u
		}
	}
	if i := strings.LastIndex(name, ","); i > 0 {
		if u, ok := s.Figures.UnitIn(name[i+1:]); ok &&
			!strings.ContainsAny(strings.Replace(name[i+1:], u.Printed, "", 1), "0123456789") {
			return u
		}
	}
	return lexicon.Unit{}
}

// harmless says whether what stands behind a figure of a property is a word about
// it and holds no other figure.
func harmless(rest string) bool {
	rest = strings.TrimSpace(rest)
	rest = conditions().ReplaceAllString(otherUnit.ReplaceAllString(rest, ""), "")
	return !strings.ContainsAny(rest, "0123456789") && len(strings.Fields(rest)) <= 5
}

// otherUnit is the same figure once more in another unit: "81 °C (178 °F)".
var otherUnit = pattern.New(`\(\s*[<>≤≥]?\s*\d+(?:[.,]\d+)?\s*(?:°\s?[CF]|K|bar|mbar|[hk]?Pa|psi|mm ?Hg|Torr)\s*\)`)
