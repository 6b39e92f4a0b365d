package properties

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
)

// IsMeasure says whether a text names what is measured of a material and no substance: "pH
// (1 % in water)", "Viscosity at 20 °C". Water and the like are both, and are none.
func (s *Reader) IsMeasure(name string) bool {
	if p, ok := s.PropertyOf(name, true); ok {
		return s.Words.Is("measure", "leading", lexicon.Fold(p.key)) || s.Words.Is("measure", "whole",
			lexicon.Fold(p.key))
	}
	for _, subject := range []string{"property", "impurity"} {
		if e, ok := s.Words.Prefix(subject, lexicon.Fold(name)); ok &&
			s.Words.Is("measure", "leading", lexicon.Fold(e.Key)) {
			return true
		}
	}
	return false
}

// warmth is the temperature of a measurement behind its name: " at 20 °C", "@ 25C",
// " 20 °C:".
var warmth = lexicon.Pattern(`(?i)^,?\s*(?:(?:<<at>>)\s+|@\s*)\d{2,3}(?:\s?/\s?\d{1,2})?\s?(?:(?:°|º|deg\.?)\s?)?C\b|` +
	`^,?\s*\d{2,3}(?:\s?/\s?\d{1,2})?\s?[°º]\s?C\s*[:=]`)

// InCondition says how many bytes of what follows a name are the bracket that tells at which
// strength or warmth it is measured, with the value behind it; 0 for none.
func InCondition(t string) int {
	m := bracketAtStart.FindString(t)
	if strings.ContainsAny(m, "%°") && len(WithoutCondition(t)) < len(t) {
		return len(m)
	}
	return 0
}

// WithoutCondition takes the condition of a measurement off the start of what follows its
// name: "(10 % solution) is 4.5 to 5.5", " at 20 °C: 1.02". A bracket that is the value stays.
func WithoutCondition(t string) string {
	if m := bracketAtStart.FindString(t); strings.ContainsAny(m, "%°") && strings.ContainsAny(t[len(m):], "0123456789") &&
		!strings.ContainsAny(strings.TrimSpace(t[len(m):])[:1], ",;.") {
		t = t[len(m):]
	}
	if m := warmth().FindString(t); m != "" && strings.ContainsAny(t[len(m):], "0123456789") {
		t = t[len(m):]
	}
	return t
}

// MeasureRow reads a row of a table of constituents that names a measure. The unit over
// the column is that of contents, not its own.
func (s *Reader) MeasureRow(t *cells.Table, row cells.Row, name string) {
	for _, role := range []string{"content", "typical", "result", "spec", "high", "low"} {
		i := t.Index(role)
		if i < 0 || strings.TrimSpace(row.Cells[i].Text) == "" {
			continue
		}
		base := reading.Property{Name: name}
		s.addProperty(t, row, base, &row.Cells[i], s.ValueKind(), s.UnitOf(name, ""))
		return
	}
	s.Pass(row.Place, pieces.Printed(row.Text()))
}
