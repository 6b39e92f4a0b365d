package transcribe

import (
	"strconv"
	"strings"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
)

// finish closes the reading: groups, sums, what is missing, what the file hides.
func (s *reading) finish() {
	s.composition.namesAbove()
	s.composition.mainIngredient()
	s.declaration.groups()
	s.declaration.listName()
	s.certificate.certificate()
	s.compareOlder()
	s.composition.sums()
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

// cautions turns what the file hides, and pages that cannot be trusted, into
// questions.
func (s *reading) cautions() {
	for _, p := range s.file.Pages {
		n := strconv.Itoa(p.Number)
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
