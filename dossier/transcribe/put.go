package transcribe

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
)

// put files a figure under impurities or physical data.
func (s *propertist) put(base Property, f figure.Figure, kind string, at Place, where cells.Place) {
	base.Place, base.Printed, base.Kind, base.Rules = at, f.Printed, kind, f.Rules
	base.Unit = f.Unit.Name
	if f.Unit.Name == "" && f.Unit.Printed != "" {
		base.Unit = f.Unit.Printed
	}
	if f.Open != "" {
		base.Ask = f.Open
		s.ask(f.Open, at, "name", base.Name, "text", f.Printed)
	}
	s.doubt(where, &base.How)
	if s.analysed(base, f, kind, at, where) {
		return
	}
	p, known := s.propertyOf(base.Name, false)
	impurity := known && p.impurity || !known && (s.topic == "impurities" || f.Unit.Divisor > 10 || strings.HasPrefix(f.Unit.Name, "cfu"))
	switch f.Status {
	case figure.NotDetected:
		base.Op = "n.d."
	case figure.Trace:
		base.Op, base.Status = "trace", "trace"
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
	if base.Ask != "" {
		base.Status = "ask"
	}
	base.Property, base.Substance = "", ""
	if impurity {
		base.Substance = base.Name
		if known {
			base.Substance = p.key
		}
		s.out.Impurities = append(s.out.Impurities, base)
		return
	}
	base.Property = base.Name
	if known {
		base.Property = fullName(p, base.Name)
	}
	s.out.Physical = append(s.out.Physical, base)
}

// analysed files the content of a declarable allergen that a certificate of
// analysis gives as a result.
func (s *propertist) analysed(base Property, f figure.Figure, kind string, at Place, where cells.Place) bool {
	if !s.is("certificate-of-analysis") || kind != "result" || f.Unit.Divisor == 0 || base.Lot != "" {
		return false
	}
	name := plainName(base.Name)
	var cas []string
	if base.CAS != "" {
		cas = []string{base.CAS}
	}
	if _, known, _ := s.declaration.declared.find(name, cas); !known {
		return false
	}
	s.declaration.declare(s.declaration.allergen(name, cas, f, at), where)
	return true
}

// bounds writes a figure as an impurity has it (one value with a sign) or as a
// property (two bounds).
func bounds(p *Property, f figure.Figure, impurity bool) {
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

// file2 files what a property says in words.
func (s *propertist) file2(base Property) {
	p, known := s.propertyOf(base.Name, false)
	if known && p.impurity || !known && s.topic == "impurities" {
		base.Substance = base.Name
		if known {
			base.Substance = p.key
		}
		s.out.Impurities = append(s.out.Impurities, base)
		return
	}
	base.Property = base.Name
	if known {
		base.Property = fullName(p, base.Name)
	}
	s.out.Physical = append(s.out.Physical, base)
}

// valueKind tells what a bare value is: by the heading above it, by the paper.
func (s *propertist) valueKind() string {
	switch {
	case s.typical != "":
		return s.typical
	case s.is("certificate-of-analysis"):
		return "result"
	}
	return "typical"
}

// unitOf is the unit of a property: from its own cell, otherwise from its name.
func (s *propertist) unitOf(name, own string) lexicon.Unit {
	if own != "" {
		if u, ok := s.fig.UnitIn(own); ok {
			return u
		}
		if lexicon.Fold(own) == "c" {
			u, _ := s.fig.UnitIn("°C")
			return u
		}
		if strings.ContainsAny(own, "0123456789") {
			return lexicon.Unit{}
		}
		return lexicon.Unit{Name: own, Printed: own}
	}
	for _, b := range bracketed.FindAllString(name, -1) {
		inside := strings.Trim(b, " ()[]")
		if u, ok := s.fig.UnitIn(inside); ok && !temperature.MatchString(inside) && !strings.ContainsAny(strings.Replace(inside, u.Printed, "", 1), "0123456789") {
			return u
		}
	}
	if i := strings.LastIndex(name, ","); i > 0 {
		if u, ok := s.fig.UnitIn(name[i+1:]); ok && !strings.ContainsAny(strings.Replace(name[i+1:], u.Printed, "", 1), "0123456789") {
			return u
		}
	}
	return lexicon.Unit{}
}

// harmless says whether what stands behind a figure of a property is a word about
// it and holds no other figure.
func harmless(rest string) bool {
	rest = strings.TrimSpace(rest)
	rest = conditions.ReplaceAllString(rest, "")
	return !strings.ContainsAny(rest, "0123456789") && len(strings.Fields(rest)) <= 5
}
