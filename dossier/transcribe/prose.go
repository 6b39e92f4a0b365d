package transcribe

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/properties"
	"gallipot/dossier/transcribe/reading"
	"gallipot/ingredients/pattern"
)

// named is a known name found in running text.
type named struct {
	start, end int
	text       string
	allergen   bool
	prop       properties.Property
}

// namesIn finds allergens and properties in a text, the longest name at each place.
func (s *walk) namesIn(t string) []named {
	ws := pieces.Words(t)
	var out []named
	for i := 0; i < len(ws); {
		n := 0
		if partOfName(t, ws[i].Start, out) {
			i++
			continue
		}
		for k := min(7, len(ws)-i); k >= 1 && n == 0 && s.starts.may(ws[i].Folded); k-- {
			text := t[ws[i].Start:ws[i+k-1].End]
			if strings.ContainsAny(text, ",;:()") && k > 1 && strings.ContainsAny(text, ",;:") {
				continue
			}
			start := ws[i].Start
			if _, ok := s.declaration.Known.ByName(text); ok && len(text) > 2 {
				out = append(out, named{start: start, end: ws[i+k-1].End, text: text, allergen: true})
				n = k
			} else if p, ok := s.properties.ExactProperty(text); ok && len(text) > 1 {
				out = append(out, named{start: start, end: ws[i+k-1].End, text: text, prop: p})
				n = k
			}
		}
		i += max(n, 1)
	}
	return out
}

// partOfName says whether a word hangs on a word before it that is no name that was found:
// the water of "n-octanol/water".
func partOfName(t string, start int, found []named) bool {
	return start > 1 && t[start-1] == '/' && t[start-2] != ' ' &&
		(len(found) == 0 || found[len(found)-1].end != start-1)
}

// prose reads the figures that running text gives behind known names.
func (s *walk) prose(row *cells.Row) {
	for _, c := range row.Cells {
		t := figure.Normal(pieces.OneLine(c.Text))
		if s.Dosed(t) && !s.IsText() {
			continue
		}
		s.clauses(row, c, t)
	}
	s.others(row)
	s.certificate.Hearsay(row)
	s.composition.Added(row)
}

// mayDeclare says whether figures behind names of allergens in running text are a
// declaration.
func (s *walk) mayDeclare(row *cells.Row) bool {
	if (s.Is("ifra-certificate") || s.Is("certificate-of-analysis")) && s.allergensIn(row) >= 2 {
		return true
	}
	return s.IsText() && s.Topic != "composition" || s.Topic == "allergens" ||
		s.HasKind("allergen-declaration")
}

// allergensIn counts the allergens that a row of text gives with a share.
func (s *walk) allergensIn(row *cells.Row) int {
	t := figure.Normal(pieces.Printed(row.Text()))
	n := 0
	names := s.namesIn(t)
	for i, k := range names {
		end := len(t)
		if i+1 < len(names) {
			end = names[i+1].start
		}
		if figs := s.FiguresBehind(t[k.end:end], 1); k.allergen && len(figs) == 1 &&
			figs[0].Unit.Divisor != 0 {
			n++
		}
	}
	return n
}

// clauses reads "limonene 94.6 %, linalool 0.3 %" and "α-/β-pinene: 0.5 / 0.03 %".
func (s *walk) clauses(row *cells.Row, c cells.Cell, t string) {
	for _, l := range s.LabelsOf[row] {
		if l.Sign && l.Value != "" && (l.Key == "code" || l.Key == "batch" || l.Key == "version") {
			return // "Product code: PB-66" is no lead
		}
	}
	names := outOfConditions(t, s.namesIn(t))
	lastUnit := lexicon.Unit{}
	for i := 0; i < len(names); i++ {
		group := []named{names[i]}
		for i+1 < len(names) && names[i+1].allergen == group[0].allergen &&
			strings.TrimSpace(t[group[len(group)-1].end:names[i+1].start]) == "/" {
			i++
			group = append(group, names[i])
		}
		end := len(t)
		if i+1 < len(names) {
			end = names[i+1].start
		}
		behind := pieces.Sentences(t[group[len(group)-1].end:end])[0] // what the next sentence says is of others
		if len(group) == 1 && !group[0].allergen {
			behind = properties.WithoutCondition(behind)
		}
		figs := s.FiguresBehind(behind, len(group))
		if len(figs) > 0 && !group[0].allergen && figureBefore.MatchString(t[:group[0].start]) &&
			goesOnWith().MatchString(behind) {
			figs = nil // "holds 4 - 7 % water and up to 1.2 % sodium sulfate"
		}
		if len(figs) != len(group) {
			s.absentIn(row, c, t, names, i)
			continue
		}
		inBrackets := strings.Count(t[:group[0].start], "(") > strings.Count(t[:group[0].start], ")")
		for k, n := range group {
			f := figs[k]
			if f.Unit.Name == "" && inBrackets && lastUnit.Divisor != 0 {
				f.Unit = lastUnit
			}
			if f.Unit.Divisor != 0 {
				lastUnit = f.Unit
			}
			s.clause(row, c, t, n, f)
		}
	}
}

// figureBefore is a share that stands right before a name, and goesOnWith what joins the next
// figure to it: the figures of such a sentence stand before their names.
var (
	figureBefore = pattern.New(`\d\s*(?:%|ppm|mg/kg|g/kg)\s+$`)
	goesOnWith   = lexicon.Pattern(`(?i)^\s*(?:[,;]|<<and>>\s)`)
)

// outOfConditions leaves out names that stand in the condition of a measurement: the water of
// "pH (1 % in water) is 5.5".
func outOfConditions(t string, names []named) []named {
	out := names[:0:0]
	within := -1
	for _, n := range names {
		if n.start < within {
			continue
		}
		if !n.allergen {
			if k := properties.InCondition(t[n.end:]); k > 0 {
				within = n.end + k
			}
		}
		out = append(out, n)
	}
	return out
}

// fromTo begins a range that in a sentence may be a change.
var fromTo = lexicon.Pattern(`(?i)^\s*<<from>>\s`)

// clause files one name with its figure.
func (s *walk) clause(row *cells.Row, c cells.Cell, t string, n named, f figure.Figure) {
	if f.Open == "" && s.IsText() && fromTo().MatchString(f.Printed) { // "went up from 1.2 % to 1.45 %"
		f.Open = "from-to"
	}
	at := s.Place(row.Place, c)
	if !n.allergen {
		unit, name := "", printedName(t, n)
		measured := f.Unit.Divisor == 0 && s.properties.IsMeasure(name) // "pH 4.6 - 5.4" below constituents
		if s.Topic == "composition" && !measured || s.Topic == "allergens" && f.Unit.Divisor == 1 {
			return
		}
		if f.Unit.Name == "" {
			if u := s.properties.UnitOf(name, unit); u.Name != "" {
				f.Unit = u
			}
		}
		s.properties.Put(reading.Property{Name: name}, f, s.clauseKind(n), at, row.Place)
		return
	}
	if !s.mayDeclare(row) {
		return
	}
	cas, _, _, _ := pieces.Numbers(row.Text())
	if len(s.namesIn(figure.Normal(row.Text()))) > 1 {
		var mine []string
		for _, x := range cas { // a number beside several names counts where it is that name's own
			if a, ok := s.declaration.Known.ByName(n.text); ok && s.declaration.Known.ByCAS[x].Key == a.Key {
				mine = append(mine, x)
			}
		}
		cas = mine
	}
	s.declaration.Declare(s.declaration.Allergen(printedName(t, n), cas, f, at), row.Place)
}

// clauseKind tells what a figure of running text is: results of a lot, otherwise
// typical values.
func (s *walk) clauseKind(n named) string {
	if s.Is("mail") && n.prop.Impurity {
		return "result"
	}
	return s.properties.ValueKind()
}

// printedName is a name with its Greek letter or prefix as printed.
func printedName(t string, n named) string { return t[n.start:n.end] }

// others reads "others of the 26: not detected (< 0.01 %)" and "Other allergens are not
// present above 0.001 %".
func (s *walk) others(row *cells.Row) {
	if !s.mayDeclare(row) {
		return
	}
	for _, c := range row.Cells {
		for _, t := range pieces.Sentences(figure.Normal(pieces.OneLine(c.Text))) {
			t = strings.TrimSpace(t)
			if _, ok := s.Words.Prefix("others", lexicon.Fold(t)); !ok {
				continue
			}
			name, f, ok := s.othersIn(t)
			if !ok {
				continue
			}
			a := reading.Allergen{Name: name, CAS: []string{}, Printed: f.Printed,
				Place: s.Place(row.Place, c), LowIn: true, HighIn: true}
			sh := s.Share(f, a.Name, a.Place)
			a.Low, a.High, a.LowIn, a.HighIn, a.Ask = sh.Low, sh.High, sh.LowIn, sh.HighIn, sh.How.Ask
			s.declaration.AllergenStatus(&a, f, sh)
			s.declaration.Declare(a, row.Place)
		}
	}
}

// othersIn parts what is said of the others from their name: behind a colon, or as the one
// share of a sentence that says that they are not there.
func (s *walk) othersIn(t string) (name string, f figure.Figure, ok bool) {
	if i := strings.LastIndex(t, ":"); i >= 0 {
		f, ok = s.Figures.Parse(strings.TrimRight(strings.TrimSpace(t[i+1:]), "."), lexicon.Unit{})
		return strings.TrimSpace(t[:i]), f, ok && f.Status != figure.NotStated
	}
	folded := lexicon.Fold(t)
	shares := s.shares(t)
	if len(shares) != 1 || !s.Words.Holds("status", "absent", folded) && !s.Words.Holds("status",
		"not-detected", folded) {
		return "", f, false
	}
	f = shares[0]
	f.Status = figure.NotDetected
	return strings.TrimRight(t, "."), f, true
}

// quoted keeps the figures of an older mail, to be compared with the newer ones.
func (s *walk) quoted(row *cells.Row) {
	t := figure.Normal(pieces.Printed(row.Text()))
	names := s.namesIn(t)
	for i, n := range names {
		end := len(t)
		if i+1 < len(names) {
			end = names[i+1].start
		}
		figs := s.FiguresBehind(t[n.end:end], 1)
		if len(figs) == 1 && n.allergen {
			s.older = append(s.older, s.quietAllergen(n, figs[0], s.RowPlace(row)))
		}
	}
}

// quotedTable keeps the figures of a table in an older mail, to be compared with the newer
// ones.
func (s *walk) quotedTable(t *cells.Table) {
	value := s.declaration.ContentColumn(t)
	if value < 0 {
		return
	}
	unit, _ := s.ColumnUnit(t.Columns[value])
	for _, row := range t.Rows {
		name, cas := s.NameAndNumbers(t, row)
		f, ok := s.CellFigure(row.Cells[value], unit)
		if !ok || name == "" && len(cas) == 0 || f.High == "" {
			continue
		}
		n := named{text: name}
		old := s.quietAllergen(n, f, s.Place(row.Place, row.Cells[value]))
		old.CAS = cas
		s.older = append(s.older, old)
	}
}

func (s *walk) quietAllergen(n named, f figure.Figure, at reading.Place) reading.Allergen {
	what, _, _ := s.declaration.Known.Find(n.text, nil)
	a := reading.Allergen{Name: n.text, Key: what.Key, Printed: f.Printed, Place: at, Member: what.Member}
	if p, ok := figure.Percent(f.High, f.Unit); ok {
		a.High = &p
	}
	return a
}

// compareOlder asks where an older mail gives another figure.
func (s *walk) compareOlder() {
	for _, o := range s.older {
		for _, c := range s.Out.Composition {
			if sameSubstance(o, c) && reading.ValueOf(c.High) != reading.ValueOf(o.High) {
				s.Ask("older-value", c.Place, "name", c.Name, "new", c.Printed, "old", o.Printed)
			}
		}
	}
	if s.Out.Allergens == nil {
		return
	}
	for _, o := range s.older {
		for _, a := range s.Out.Allergens.Rows {
			if a.Key == o.Key && a.Member == o.Member && a.Key != "" &&
				reading.ValueOf(a.High) != reading.ValueOf(o.High) {
				s.Ask("older-value", a.Place, "name", a.Name, "new", a.Printed, "old", o.Printed)
			}
		}
	}
}

// sameSubstance says whether an older figure is of a constituent: by its number, where both
// have one, otherwise by its name.
func sameSubstance(o reading.Allergen, c reading.Constituent) bool {
	if len(o.CAS) > 0 && len(c.CAS) > 0 {
		return slices.ContainsFunc(o.CAS, func(x string) bool { return slices.Contains(c.CAS, x) })
	}
	return o.Name != "" && lexicon.Fold(o.Name) == lexicon.Fold(c.Name)
}
