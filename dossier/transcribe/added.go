package transcribe

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
)

// added reads what a sentence says was added: "Added antioxidant: Tocopherol
// (mixed), 0.05 %", "BHT added at 0.02 %".
func (s *composer) added(row *cells.Row) {
	if s.is("ifra-certificate") || s.is("sds") || s.topic == "composition" && !s.isText() {
		return
	}
	for _, c := range row.Cells {
		for _, sentence := range sentences(figure.Normal(oneLine(c.Text))) {
			for _, clause := range clausesOf(sentence) {
				if s.addedIn(row, c, clause) {
					break
				}
			}
			s.addedIn(row, c, sentence)
		}
	}
}

func (s *composer) addedIn(row *cells.Row, c cells.Cell, t string) bool {
	folded := lexicon.Fold(t)
	_, _, ok := s.words.Find("added", folded)
	if !ok || s.dosed(t) {
		return false
	}
	name, value := "", ""
	ws := wordsOf(t)
	for i, w := range ws {
		for k := min(3, len(ws)-i); k >= 1; k-- {
			parts := make([]string, k)
			for j := range k {
				parts[j] = ws[i+j].folded
			}
			if _, ok := s.words.Exact("added", strings.Join(parts, " ")); !ok {
				continue
			}
			behind := t[ws[i+k-1].end:]
			trimmed := strings.TrimLeft(behind, " ")
			if strings.HasPrefix(trimmed, ":") {
				name, value = splitFigure(strings.TrimLeft(trimmed, ": "))
			} else if i > 0 && i <= 6 {
				name, value = strings.TrimSpace(t[:w.start]), behind
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
		if figureStart(t, i) && (t[i-1] == ' ') {
			return strings.Trim(t[:i], " ,:("), t[i:]
		}
	}
	return "", ""
}

func (s *composer) addOne(row *cells.Row, c cells.Cell, name, value string) bool {
	name = strings.Trim(name, " ,:")
	if j := strings.LastIndexAny(name, ";("); j >= 0 && !strings.Contains(name[j:], ")") {
		name = strings.TrimSpace(name[j+1:])
	}
	if name == "" || len(strings.Fields(name)) > 4 || strings.ContainsAny(name, "0123456789%:") {
		return false
	}
	value = strings.TrimLeft(value, " ,:=")
	if m := fillers.FindString(value); m != "" {
		value = value[len(m):]
	}
	f, rest, ok := s.fig.ParseAt(value, lexicon.Unit{})
	if !ok || f.Unit.Divisor == 0 || strings.ContainsAny(strings.TrimLeft(rest, " .,;)"), "%") {
		return false
	}
	for _, old := range s.out.Composition {
		if old.Name == name {
			return true
		}
	}
	k := Constituent{Name: name, CAS: []string{}, EC: []string{}, Place: s.place(row.Place, c), LowIn: true, HighIn: true}
	s.setContent(&k, f)
	k.Printed = f.Printed
	s.doubt(row.Place, &k.How)
	if s.names != nil {
		k.INCI = s.names.INCI(name, nil, nil)
	}
	s.out.Composition = append(s.out.Composition, k)
	return true
}
