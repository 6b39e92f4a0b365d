package transcribe

import (
	"strings"

	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
)

// finish closes the reading: groups, sums, what is missing, what the file hides.
func (s *reading) finish() {
	s.namesAbove()
	s.mainIngredient()
	s.groups()
	s.listName()
	s.certificate()
	s.compareOlder()
	s.sums()
	s.cautions()
	s.missing()
	if s.out.Document.Kind == "" {
		s.kindByContent()
	}
	s.passedOver()
	if a := s.out.Allergens; a != nil {
		a.DetectLimit, a.ZeroMeans = s.detect, s.zero
		if len(a.Rows) == 0 && a.Calculated && !s.hasKind("allergen-declaration") {
			s.out.Allergens = nil
		}
	}
}

// mainIngredient adds the substance that the head of the paper names by INCI name
// and CAS number, without a content.
func (s *reading) mainIngredient() {
	if len(s.out.Composition) > 1 || s.is("ifra-certificate") || s.is("allergen-declaration") {
		return
	}
	c := Constituent{CAS: []string{}, EC: []string{}, LowIn: true, HighIn: true, Status: "not-stated"}
	for _, l := range s.allLabels() {
		switch l.key {
		case "inci":
			if c.Name == "" && l.sign && len(strings.Fields(l.value)) <= 10 && l.value != "" {
				c.Name, c.INCI, c.Printed, c.Place = l.value, l.value, l.value, l.place
			}
		case "cas", "ec", "casec":
			if len(c.CAS) == 0 || len(c.EC) == 0 {
				cas, ec, _, _ := numbers(l.value)
				if len(c.CAS) == 0 {
					c.CAS = append(c.CAS, cas...)
				}
				if len(c.EC) == 0 {
					c.EC = append(c.EC, ec...)
				}
			}
		}
	}
	if c.Name == "" {
		return
	}
	for _, k := range s.out.Composition {
		if k.Name == c.Name || len(k.CAS) > 0 {
			return
		}
	}
	s.otherEC(&c)
	s.out.Composition = append([]Constituent{c}, s.out.Composition...)
}

// sums asks where contents cannot add up.
func (s *reading) sums() {
	var lows, highs, typicals []string
	open, bounded, single := false, 0, true
	for _, c := range s.out.Composition {
		if c.Ask != "" {
			open = true
			continue
		}
		if c.Low == nil && c.High == nil {
			open = true
			continue
		}
		bounded++
		lows, highs = append(lows, deref(c.Low)), append(highs, deref(c.High))
		if c.High == nil {
			open = true
		}
		if c.Typical != "" {
			typicals = append(typicals, c.Typical)
		}
		single = single && c.Low != nil && c.High != nil && *c.Low == *c.High
	}
	hundred := figure.Sum("100")
	low, high := figure.Sum(lows...), figure.Sum(highs...)
	switch {
	case hundred.Less(low):
		s.ask("sum-over", Place{}, "sum", low.Exact())
	case bounded >= 3 && !open && high.Less(hundred):
		s.ask("sum-below", Place{}, "sum", high.Exact())
	}
	if t := figure.Sum(typicals...); len(typicals) >= 3 && t.Cmp(hundred) != 0 {
		more := ""
		if len(typicals) < bounded {
			more = " without the rows that give a bound alone"
		}
		s.ask("sum-typical", Place{}, "sum", t.Exact(), "open", more)
	}
	if s.is("sds") && bounded > 0 {
		s.warn("bands-open", Place{})
	}
}

// cautions turns what the file hides, and pages that cannot be trusted, into
// questions.
func (s *reading) cautions() {
	for _, p := range s.file.Pages {
		n := itoa(p.Number)
		switch p.Trust {
		case paper.Picture:
			s.ask("picture-page", Place{Page: p.Number}, "page", n)
		case paper.Invisible:
			s.ask("invisible-page", Place{Page: p.Number}, "page", n)
		case paper.Unmapped:
			s.ask("unmapped-page", Place{Page: p.Number}, "page", n)
		case paper.FewLetters:
			s.ask("picture-page", Place{Page: p.Number}, "page", n)
		}
	}
	for _, c := range s.file.Cautions {
		at := Place{Page: c.Page}
		switch c.Code {
		case "hidden-text", "unknown-sign":
			s.ask(c.Code, at, "text", c.Text)
		case "tracked", "deleted-text":
			s.warn(c.Code, at)
		case "attachment":
			s.ask(c.Code, at, "text", c.Text)
		case "no-stored-value", "cell-error":
			s.ask(c.Code, Place{Cell: c.Place}, "place", c.Place)
		case "pages-left", "lines-left", "letters-left", "page-broken", "off-page":
			what, _ := paper.Wording(c.Code)
			s.ask("limits-left", at, "text", strings.ReplaceAll(what, "{value}", c.Text))
		}
	}
}

// missing asks for the facts without which a paper cannot be filed.
func (s *reading) missing() {
	if t, by := s.out.Document.TradeName, s.out.Document.Supplier; t != nil && by != nil && len(t.Rules) > 0 &&
		lexicon.Fold(t.Value) == lexicon.Fold(by.Value) {
		s.out.Document.TradeName = nil // found by its place alone, and it is the supplier's name
	}
	d := s.out.Document
	if len(s.text) == 0 {
		return
	}
	if d.TradeName == nil {
		s.ask("name-missing", Place{})
	}
	if d.Supplier == nil {
		s.ask("supplier-missing", Place{})
	}
	if d.Issued == nil {
		s.ask("date-missing", Place{})
	}
	if s.is("mail") && s.out.IFRA != nil {
		s.ask("certificate-missing", Place{})
	}
}

// kindByContent says what a paper without a title is from what it holds.
func (s *reading) kindByContent() {
	d := &s.out.Document
	switch {
	case s.out.IFRA != nil && len(s.out.IFRA.Rows) >= 5:
		d.Kind = "ifra-certificate"
	case s.out.Allergens != nil && len(s.out.Allergens.Rows) >= 5:
		d.Kind = "allergen-declaration"
	case len(s.out.Composition) > 0:
		d.Kind = "composition"
	case len(s.out.Physical)+len(s.out.Impurities) > 0:
		d.Kind = "technical-data-sheet"
	default:
		d.Kind = "unknown"
	}
}
