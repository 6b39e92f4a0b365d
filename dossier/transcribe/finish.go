package transcribe

import (
	"strconv"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/transcribe/phrases"
	"gallipot/dossier/transcribe/reading"
)

// finish closes the reading: groups, sums, what is missing, what the file hides.
func (s *walk) finish() {
	s.composition.NamesAbove()
	s.composition.MainIngredient()
	s.composition.UnknownNames()
	s.declaration.Groups()
	s.declaration.ListName()
	s.certificate.Close()
	s.compareOlder()
	s.composition.Sums()
	s.properties.HoldToLimits()
	s.cautions()
	if s.Footnotes {
		s.Warn("footnote", reading.Place{})
	}
	s.missing()
	switch d := &s.Out.Document; {
	case d.Kind == "":
		s.kindByContent()
	case d.Kind == "statement" && len(s.Out.Composition) > max(1, len(s.Out.Impurities)):
		// "Composition and regulatory statement"
		d.Kind = "composition"
	}
	s.passedOver()
	s.undecided()
	if a := s.Out.Allergens; a != nil {
		a.DetectLimit, a.ZeroMeans = s.Limit, s.Zero
		if len(a.Rows) == 0 && a.Calculated && !s.HasKind("allergen-declaration") {
			s.Out.Allergens = nil
		}
	}
}

// undecided says of each row whose figure is not decided that it is asked about, also to
// those who look at its status alone.
func (s *walk) undecided() {
	for i := range s.Out.Composition {
		if c := &s.Out.Composition[i]; c.Ask != "" && c.Status == "" {
			c.Status = "ask"
		}
	}
	if s.Out.Allergens == nil {
		return
	}
	for i := range s.Out.Allergens.Rows {
		switch a := &s.Out.Allergens.Rows[i]; a.Status {
		case "value", "range", "below", "printed-zero":
			if a.Ask != "" {
				a.Status = "ask"
			}
		}
	}
}

// cautions turns what the file hides, and pages that cannot be trusted, into
// questions.
func (s *walk) cautions() {
	for _, p := range s.File.Pages {
		n := strconv.Itoa(p.Number)
		switch p.Trust {
		case paper.Picture:
			s.Ask("picture-page", reading.Place{Page: p.Number}, "page", n)
		case paper.Invisible:
			s.Ask("invisible-page", reading.Place{Page: p.Number}, "page", n)
		case paper.Unmapped:
			s.Ask("unmapped-page", reading.Place{Page: p.Number}, "page", n)
		case paper.FewLetters:
			s.Ask("picture-page", reading.Place{Page: p.Number}, "page", n)
		}
	}
	for _, c := range s.File.Cautions {
		at := reading.Place{Page: c.Page}
		switch c.Code {
		case "hidden-text", "unknown-sign":
			s.Ask(c.Code, at, "text", c.Text)
		case "tracked", "deleted-text":
			s.Warn(c.Code, at)
		case "attachment":
			s.Ask(c.Code, at, "text", c.Text)
		case "no-stored-value", "cell-error":
			s.Ask(c.Code, reading.Place{Cell: c.Place}, "place", c.Place)
		case "pages-left", "lines-left", "letters-left", "page-broken", "off-page":
			s.Ask("limits-left", at, "text", phrases.Files().Say(c.Code, "value", c.Text))
		}
	}
}

// missing asks for the facts without which a paper cannot be filed.
func (s *walk) missing() {
	if t, by := s.Out.Document.TradeName, s.Out.Document.Supplier; t != nil && by != nil &&
		len(t.Rules) > 0 &&
		lexicon.Fold(t.Value) == lexicon.Fold(by.Value) {
		s.Out.Document.TradeName = nil // found by its place alone, and it is the supplier's name
	}
	d := s.Out.Document
	if len(s.Texts) == 0 {
		return
	}
	if d.TradeName == nil {
		s.Ask("name-missing", reading.Place{})
	}
	if d.Supplier == nil {
		s.Ask("supplier-missing", reading.Place{})
	}
	if d.Issued == nil {
		s.Ask("date-missing", reading.Place{})
	}
	if s.Is("mail") && s.Out.IFRA != nil {
		s.Ask("certificate-missing", reading.Place{})
	}
}

// kindByContent says what a paper without a title is from what it holds.
func (s *walk) kindByContent() {
	d := &s.Out.Document
	switch {
	case s.Out.IFRA != nil && len(s.Out.IFRA.Rows) >= 5:
		d.Kind = "ifra-certificate"
	case s.Out.Allergens != nil && len(s.Out.Allergens.Rows) >= 5:
		d.Kind = "allergen-declaration"
	case len(s.Out.Composition) > 0:
		d.Kind = "composition"
	case len(s.Out.Physical)+len(s.Out.Impurities) > 0:
		d.Kind = "technical-data-sheet"
	default:
		d.Kind = "unknown"
	}
}
