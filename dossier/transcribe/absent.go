package transcribe

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/ingredients/pattern"
)

var (
	// joinsNames stands between names of one list.
	joinsNames = lexicon.Pattern(`(?i)^\s*(?:,|/|;|,?\s*<<and>>)\s*$`)
	// beforeStatus stands between the names and what is said of them.
	beforeStatus = lexicon.Pattern(`(?i)^\s*(?:(?:<<copula>>)\s+)?(?:(?:<<each>>)\s+)?`)
	bracketNext  = pattern.New(`^\s*\(([^)]*)\)`)
)

// absentIn reads "eugenol and coumarin are not detected (limit of detection 0.001 %)" and "lead
// and cadmium each below 0.05 mg/kg" for the name at i: what is said may stand behind later
// names of the same list. A content that is no upper bound is of the last name alone, and asked
// about for the others.
func (s *walk) absentIn(row *cells.Row, c cells.Cell, t string, names []named, i int) {
	allergen := names[i].allergen
	if allergen && !s.mayDeclare(row) || !allergen && !names[i].prop.Impurity {
		return
	}
	last := i
	for last+1 < len(names) && names[last+1].allergen == allergen && (allergen || names[last+1].prop.Impurity) &&
		joinsNames().MatchString(t[names[last].end:names[last+1].start]) {
		last++
	}
	rest := pieces.Sentences(t[names[last].end:])[0]
	rest = rest[len(beforeStatus().FindString(rest)):]
	if figs := s.FiguresBehind(" "+rest, 1); last > i && len(figs) == 1 && figs[0].Unit.Divisor != 0 {
		switch figs[0].Status {
		case figure.Below:
			s.clause(row, c, t, names[i], figs[0])
			return
		case figure.Value:
			s.Ask("figure-of-several", s.Place(row.Place, c), "name", names[i].text, "text", figs[0].Printed)
			return
		}
	}
	e, ok := s.Words.Prefix("status", lexicon.Fold(rest))
	if !ok || e.Key != "not-detected" && (!allergen || e.Key != "absent" && e.Key != "trace") {
		return
	}
	ws := pieces.Words(rest)
	n := len(strings.Fields(e.Word))
	if n > len(ws) {
		return
	}
	f := figure.Figure{Status: figure.NotDetected, Printed: strings.TrimSpace(rest[:ws[n-1].End]), LowIn: true}
	if e.Key == "trace" {
		f.Status = figure.Trace
	}
	if m := bracketNext.FindStringSubmatch(rest[ws[n-1].End:]); m != nil {
		if shares := s.shares(m[1]); len(shares) == 1 {
			f.Low, f.High, f.HighIn, f.Unit = "0", shares[0].High, shares[0].HighIn, shares[0].Unit
		}
		f.Printed += " (" + m[1] + ")"
	}
	s.clause(row, c, t, names[i], f)
}
