package transcribe

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/desk"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
)

// besides reads a sentence that tells what a material may hold besides its constituents:
// "Diethylene glycol may be present as an impurity, max. 500 ppm". What it names is no
// constituent; a sentence that it cannot read to the end is asked about.
func (s *walk) besides(row *cells.Row) bool {
	filled := desk.FilledCells(row)
	if len(filled) != 1 {
		return false
	}
	t := figure.Normal(pieces.OneLine(filled[0].Text))
	folded := lexicon.Fold(t)
	_, _, told := s.Words.Find("besides", folded)
	if !told || !s.Words.Holds("verb", "verb", folded) && !s.Words.Holds("added", "added", folded) {
		return false
	}
	if s.Dosed(t) || s.Topic == "allergens" {
		return false
	}
	shares := s.shares(t)
	if len(shares) == 0 {
		return false
	}
	before := len(s.Out.Impurities)
	topic := s.Topic
	s.Topic = "impurities"
	s.clauses(row, filled[0], t)
	var names []named
	for _, n := range s.namesIn(t) {
		if n.allergen || n.prop.Impurity {
			names = append(names, n)
		}
	}
	switch {
	case len(s.Out.Impurities)-before == len(shares):
	case len(names) == 1 && len(shares) == 1 && len(s.Out.Impurities) == before:
		s.properties.Put(reading.Property{Name: names[0].text}, shares[0], "statement", s.RowPlace(row), row.Place)
	default:
		s.Ask("impurity-sentence", s.RowPlace(row), "text", pieces.Printed(t))
	}
	s.Topic = topic
	for i := before; i < len(s.Out.Impurities); i++ {
		s.Out.Impurities[i].Kind = "statement"
	}
	return true
}

// shares are the shares of a sentence; what it tells of an impurity without a sign is the
// most that there may be.
func (s *walk) shares(t string) (out []figure.Figure) {
	for _, f := range s.FiguresIn(t) {
		if f.Unit.Divisor == 0 || f.High == "" {
			continue
		}
		if f.Status == figure.Value && strings.Trim(f.High, "0.") != "" {
			f.Status, f.Low, f.HighIn = figure.Below, "0", true
		}
		out = append(out, f)
	}
	return out
}
