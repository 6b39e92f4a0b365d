package declaration

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/composition"
	"gallipot/dossier/transcribe/desk"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/reading"
)

// Reader reads the declaration of allergens.
type Reader struct {
	*desk.Desk
	Rows  *composition.Reader
	Known *Known
}

// Allergen makes a row of the declaration from a printed name and its figure.
func (s *Reader) Allergen(name string, cas []string, f figure.Figure, at reading.Place) reading.Allergen {
	a := reading.Allergen{Name: name, CAS: cas, Printed: f.Printed, Place: at, LowIn: true, HighIn: true}
	if a.CAS == nil {
		a.CAS = []string{}
	}
	what, known, clash := s.Known.Find(name, cas)
	if known {
		a.Key, a.Member, a.Banned = what.Key, what.Member, s.Known.banned[what.Key]
	} else {
		s.Ask("unknown-allergen", at, "name", name)
	}
	sh := s.Share(f, name, at)
	a.Low, a.High, a.LowIn, a.HighIn = sh.Low, sh.High, sh.LowIn, sh.HighIn
	a.Rules, a.Ask = sh.How.Rules, sh.How.Ask
	if a.Name == "" && known {
		a.Rules = append(a.Rules, "by-number")
	}
	s.AllergenStatus(&a, f, sh)
	if clash {
		a.Ask = "name-number"
		s.Ask("name-number", at, "name", name, "text", strings.Join(cas, ", "))
	}
	if a.Ask != "" && a.Ask != "trace" && a.Ask != "not-detected" {
		a.Status = "ask"
	}
	if known && s.Known.banned[a.Key] && a.High != nil &&
		(a.Status == "value" || a.Status == "range" || a.Status == "trace") {
		s.Ask("banned", at, "name", name, "text", f.Printed)
	}
	return a
}

// AllergenStatus sets status and bounds that rest on what a word means.
func (s *Reader) AllergenStatus(a *reading.Allergen, f figure.Figure, sh desk.Share) {
	zero := "0"
	switch f.Status {
	case figure.NotDetected, figure.Absent:
		a.Status, a.LowIn, a.HighIn = "not-detected", true, sh.HighIn
		a.Low = &zero
		if a.High == nil && s.Limit != "" {
			limit := s.Limit
			a.High, a.HighIn = &limit, true
		}
		if a.High == nil { // below what is not said: it is not known to be nought
			a.Ask = "not-detected"
			s.Ask("not-detected", a.Place, "name", a.Name)
		}
	case figure.Trace:
		a.Status, a.Low, a.LowIn = "trace", &zero, true
		if a.High == nil && s.TraceLimit != "" {
			limit := s.TraceLimit
			a.High, a.HighIn = &limit, false
		}
		if a.High == nil {
			s.Ask("trace", a.Place, "name", a.Name)
		}
	case figure.Zero:
		a.Status, a.Low, a.LowIn, a.HighIn = "printed-zero", &zero, true, false
		if a.Ask != "" {
			return
		}
		if s.Zero != "" {
			limit := s.Zero
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
			s.Ask("zero", a.Place, "name", a.Name)
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
			s.Ask("no-figure", a.Place, "name", a.Name, "text", f.Printed)
		}
	default:
		a.Status, a.Ask = "ask", "no-figure"
		s.Ask("no-figure", a.Place, "name", a.Name, "text", f.Printed)
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

// Declare adds a row to the declaration.
func (s *Reader) Declare(a reading.Allergen, where cells.Place) {
	s.Doubt(where, &a.How)
	if a.Ask == "page-not-trusted" {
		a.Status = "ask"
	}
	if s.Out.Allergens == nil {
		s.Out.Allergens = &reading.Allergens{Rows: []reading.Allergen{}}
	}
	s.Out.Allergens.Rows = append(s.Out.Allergens.Rows, a)
}
