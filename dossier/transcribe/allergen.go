package transcribe

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
)

// declarer reads the declaration of allergens.
type declarer struct {
	*desk
	rows     *composer
	declared *declared
}

// allergen makes a row of the declaration from a printed name and its figure.
func (s *declarer) allergen(name string, cas []string, f figure.Figure, at Place) Allergen {
	a := Allergen{Name: name, CAS: cas, Printed: f.Printed, Place: at, LowIn: true, HighIn: true}
	if a.CAS == nil {
		a.CAS = []string{}
	}
	what, known, clash := s.declared.find(name, cas)
	if known {
		a.Key, a.member, a.Banned = what.Key, what.Member, s.declared.banned[what.Key]
	} else {
		s.ask("unknown-allergen", at, "name", name)
	}
	sh := s.share(f, name, at)
	a.Low, a.High, a.LowIn, a.HighIn = sh.low, sh.high, sh.lowIn, sh.highIn
	a.Rules, a.Ask = sh.how.Rules, sh.how.Ask
	if a.Name == "" && known {
		a.Rules = append(a.Rules, "by-number")
	}
	s.allergenStatus(&a, f, sh)
	if clash {
		a.Ask = "name-number"
		s.ask("name-number", at, "name", name, "text", strings.Join(cas, ", "))
	}
	if a.Ask != "" && a.Ask != "trace" {
		a.Status = "ask"
	}
	if known && s.declared.banned[a.Key] && a.High != nil && (a.Status == "value" || a.Status == "range" || a.Status == "trace") {
		s.ask("banned", at, "name", name, "text", f.Printed)
	}
	return a
}

// allergenStatus sets status and bounds that rest on what a word means.
func (s *declarer) allergenStatus(a *Allergen, f figure.Figure, sh shared) {
	zero := "0"
	switch f.Status {
	case figure.NotDetected, figure.Absent:
		a.Status, a.LowIn, a.HighIn = "not-detected", true, sh.highIn
		a.Low = &zero
		if a.High == nil && s.detect != "" {
			limit := s.detect
			a.High, a.HighIn = &limit, true
		}
		if a.High == nil {
			if s.detectSaid {
				a.Ask = "not-detected"
			}
			s.ask("not-detected", a.Place, "name", a.Name)
		}
	case figure.Trace:
		a.Status, a.Low, a.LowIn = "trace", &zero, true
		if a.High == nil {
			s.ask("trace", a.Place, "name", a.Name)
		}
	case figure.Zero:
		a.Status, a.Low, a.LowIn, a.HighIn = "printed-zero", &zero, true, false
		if a.Ask != "" {
			return
		}
		if s.zero != "" {
			limit := s.zero
			a.High = &limit
			return
		}
		half, ok := figure.Percent(halfDigit(f.High), f.Unit)
		if !ok {
			a.Ask = "zero"
			return
		}
		a.High = &half
		a.Rules = append(a.Rules, "zero-half-digit")
		if !strings.Contains(f.High, ".") {
			a.Ask = "zero"
		}
		if a.Ask != "" {
			s.ask("zero", a.Place, "name", a.Name)
		}
	case figure.NotStated:
		a.Status, a.Low, a.High = "not-stated", nil, nil
	case figure.Below:
		a.Status = "below"
	case figure.Range, figure.Above:
		a.Status = "range"
	case figure.Value:
		a.Status = "value"
		if f.About {
			a.Ask = "no-figure"
			s.ask("no-figure", a.Place, "name", a.Name, "text", f.Printed)
		}
	default:
		a.Status, a.Ask = "ask", "no-figure"
		s.ask("no-figure", a.Place, "name", a.Name, "text", f.Printed)
	}
}

// halfDigit is half a unit of the last digit of a printed nought: 0.00 → 0.005.
func halfDigit(zero string) string {
	_, after, ok := strings.Cut(zero, ".")
	if !ok {
		return "0.5"
	}
	return "0." + strings.Repeat("0", len(after)) + "5"
}

func (s *declarer) declare(a Allergen, where cells.Place) {
	s.doubt(where, &a.How)
	if a.Ask == "page-not-trusted" {
		a.Status = "ask"
	}
	if s.out.Allergens == nil {
		s.out.Allergens = &Allergens{Rows: []Allergen{}}
	}
	s.out.Allergens.Rows = append(s.out.Allergens.Rows, a)
}
