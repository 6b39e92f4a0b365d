package composition

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/desk"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
)

// Added reads what a sentence says was added: "Added antioxidant: Tocopherol
// (mixed), 0.05 %", "BHT added at 0.02 %".
func (s *Reader) Added(row *cells.Row) {
	if s.Is("ifra-certificate") || s.Is("sds") || s.Topic == "composition" && !s.IsText() {
		return
	}
	for _, c := range row.Cells {
		for _, sentence := range pieces.Sentences(figure.Normal(pieces.OneLine(c.Text))) {
			for _, clause := range pieces.Clauses(sentence) {
				if s.addedIn(row, c, clause) {
					break
				}
			}
			s.addedIn(row, c, sentence)
		}
	}
}

// addedIn reads one sentence or clause.
func (s *Reader) addedIn(row *cells.Row, c cells.Cell, t string) bool {
	folded := lexicon.Fold(t)
	_, _, ok := s.Words.Find("added", folded)
	if !ok || s.Dosed(t) {
		return false
	}
	name, value := "", ""
	ws := pieces.Words(t)
	for i, w := range ws {
		for k := min(3, len(ws)-i); k >= 1; k-- {
			parts := make([]string, k)
			for j := range k {
				parts[j] = ws[i+j].Folded
			}
			if _, ok := s.Words.Exact("added", strings.Join(parts, " ")); !ok {
				continue
			}
			behind := t[ws[i+k-1].End:]
			trimmed := strings.TrimLeft(behind, " ")
			if strings.HasPrefix(trimmed, ":") {
				name, value = splitFigure(strings.TrimLeft(trimmed, ": "))
			} else if i > 0 && i <= 6 {
				name, value = strings.TrimSpace(t[:w.Start]), behind
			}
			if name != "" && s.addOne(row, c, name, value) {
				return true
			}
		}
	}
	return false
}

// splitFigure parts "Tocopherol (mixed), 0.05 %" before its figure.
func splitFigure(t string) (name, value string) {
	for i := 1; i < len(t); i++ {
		if desk.FigureStart(t, i) && (t[i-1] == ' ') {
			return strings.Trim(t[:i], " ,:("), t[i:]
		}
	}
	return "", ""
}

// addOne adds a constituent that a sentence names with its content.
func (s *Reader) addOne(row *cells.Row, c cells.Cell, name, value string) bool {
	name = strings.Trim(name, " ,:")
	if j := strings.LastIndexAny(name, ";("); j >= 0 && !strings.Contains(name[j:], ")") {
		name = strings.TrimSpace(name[j+1:])
	}
	if name == "" || len(strings.Fields(name)) > 4 || strings.ContainsAny(name, "0123456789%:") {
		return false
	}
	value = strings.TrimLeft(value, " ,:=")
	if m := desk.Fillers.FindString(value); m != "" {
		value = value[len(m):]
	}
	f, rest, ok := s.Figures.ParseAt(value, lexicon.Unit{})
	if !ok || f.Unit.Divisor == 0 || strings.ContainsAny(strings.TrimLeft(rest, " .,;)"), "%") {
		return false
	}
	for _, old := range s.Out.Composition {
		if old.Name == name {
			return true
		}
	}
	k := reading.Constituent{Name: name, CAS: []string{}, EC: []string{}, Place: s.Place(row.Place, c),
		LowIn: true, HighIn: true}
	s.setContent(&k, f)
	k.Printed = f.Printed
	s.Doubt(row.Place, &k.How)
	if s.Names != nil {
		k.INCI = s.Names.INCI(name, nil, nil)
	}
	s.Out.Composition = append(s.Out.Composition, k)
	return true
}
