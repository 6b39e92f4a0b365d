package properties

import (
	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
)

// GuessRoles gives the columns of an analysis whose heads are not understood their roles by
// what stands in them: names of properties, limits, figures alone. It says whether it
// could; where two columns would do it leaves all as they are.
func (s *Reader) GuessRoles(t *cells.Table) bool {
	name, spec, result := -1, -1, -1
	for i := range t.Columns {
		var known, limits, single, filled int
		for _, row := range t.Rows {
			text := pieces.OneLine(row.Cells[i].Text)
			if text == "" {
				continue
			}
			filled++
			if _, ok := s.PropertyOf(text, false); ok {
				known++
				continue
			}
			f, ok := s.Figures.Parse(text, lexicon.Unit{})
			if !ok {
				f, _, ok = s.Figures.ParseAt(text, lexicon.Unit{})
			}
			switch {
			case !ok:
			case isLimit(f):
				limits++
			case f.Low+f.High != "":
				single++
			}
		}
		switch {
		case known >= 3 && known*2 >= filled:
			if name >= 0 {
				return false
			}
			name = i
		case limits >= 2 && limits > single:
			if spec >= 0 {
				return false
			}
			spec = i
		case single >= 2 && single > limits:
			if result >= 0 {
				return false
			}
			result = i
		}
	}
	if name < 0 || spec < 0 || result < 0 {
		return false
	}
	for i := range t.Columns {
		switch i {
		case name:
			t.Columns[i].Role = "property"
		case spec:
			t.Columns[i].Role = "spec"
		case result:
			t.Columns[i].Role = "result"
		default:
			if r := t.Columns[i].Role; r != "method" && r != "unit" {
				t.Columns[i].Role = ""
			}
		}
	}
	return true
}
