package transcribe

import (
	"regexp"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
)

// named is a known name found in running text.
type named struct {
	start, end int
	text       string
	allergen   bool
	prop       property
}

// namesIn finds allergens and properties in a text, the longest name at each place.
func (s *reading) namesIn(t string) []named {
	ws := wordsOf(t)
	var out []named
	for i := 0; i < len(ws); {
		n := 0
		for k := min(7, len(ws)-i); k >= 1 && n == 0; k-- {
			text := t[ws[i].start:ws[i+k-1].end]
			if strings.ContainsAny(text, ",;:()") && k > 1 && strings.ContainsAny(text, ",;:") {
				continue
			}
			start := ws[i].start
			if _, ok := s.declaration.declared.named(text); ok && len(text) > 2 {
				out = append(out, named{start: start, end: ws[i+k-1].end, text: text, allergen: true})
				n = k
			} else if p, ok := s.properties.exactProperty(text); ok && len(text) > 1 {
				out = append(out, named{start: start, end: ws[i+k-1].end, text: text, prop: p})
				n = k
			}
		}
		i += max(n, 1)
	}
	return out
}

// prose reads the figures that running text gives behind known names.
func (s *reading) prose(row *cells.Row) {
	for _, c := range row.Cells {
		t := figure.Normal(oneLine(c.Text))
		if s.dosed(t) && !s.isText() {
			continue
		}
		s.clauses(row, c, t)
	}
	s.others(row)
	s.certificate.hearsay(row)
	s.composition.added(row)
}

// mayDeclare says whether figures behind names of allergens in running text are a
// declaration.
func (s *reading) mayDeclare(row *cells.Row) bool {
	if (s.is("ifra-certificate") || s.is("certificate-of-analysis")) && s.allergensIn(row) >= 2 {
		return true
	}
	return s.isText() && s.topic != "composition" || s.topic == "allergens" || s.hasKind("allergen-declaration")
}

// allergensIn counts the allergens that a row of text gives with a share.
func (s *reading) allergensIn(row *cells.Row) int {
	t := figure.Normal(printed(row.Text()))
	n := 0
	names := s.namesIn(t)
	for i, k := range names {
		end := len(t)
		if i+1 < len(names) {
			end = names[i+1].start
		}
		if figs := s.figuresBehind(t[k.end:end], 1); k.allergen && len(figs) == 1 && figs[0].Unit.Divisor != 0 {
			n++
		}
	}
	return n
}

// clauses reads "limonene 94.6 %, linalool 0.3 %" and "α-/β-pinene: 0.5 / 0.03 %".
func (s *reading) clauses(row *cells.Row, c cells.Cell, t string) {
	names := s.namesIn(t)
	lastUnit := lexicon.Unit{}
	for i := 0; i < len(names); i++ {
		group := []named{names[i]}
		for i+1 < len(names) && names[i+1].allergen == group[0].allergen && strings.TrimSpace(t[group[len(group)-1].end:names[i+1].start]) == "/" {
			i++
			group = append(group, names[i])
		}
		end := len(t)
		if i+1 < len(names) {
			end = names[i+1].start
		}
		figs := s.figuresBehind(t[group[len(group)-1].end:end], len(group))
		if len(figs) != len(group) {
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

// fromTo begins a range that in a sentence may be a change.
var fromTo = regexp.MustCompile(`(?i)^\s*(from|von|de|da|desde|van)\s`)

// clause files one name with its figure.
func (s *reading) clause(row *cells.Row, c cells.Cell, t string, n named, f figure.Figure) {
	if f.Open == "" && s.isText() && fromTo.MatchString(f.Printed) { // "went up from 1.2 % to 1.45 %"
		f.Open = "from-to"
	}
	at := s.place(row.Place, c)
	if !n.allergen {
		if s.topic == "composition" || s.topic == "allergens" && f.Unit.Divisor == 1 {
			return
		}
		unit := ""
		name := printedName(t, n)
		if f.Unit.Name == "" {
			if u := s.properties.unitOf(name, unit); u.Name != "" {
				f.Unit = u
			}
		}
		s.properties.put(Property{Name: name}, f, s.clauseKind(n), at, row.Place)
		return
	}
	if !s.mayDeclare(row) {
		return
	}
	cas, _, _, _ := numbers(row.Text())
	if len(s.namesIn(figure.Normal(row.Text()))) > 1 {
		var mine []string
		for _, x := range cas { // a number beside several names counts where it is that name's own
			if a, ok := s.declaration.declared.named(n.text); ok && s.declaration.declared.byCAS[x].Key == a.Key {
				mine = append(mine, x)
			}
		}
		cas = mine
	}
	s.declaration.declare(s.declaration.allergen(printedName(t, n), cas, f, at), row.Place)
}

// clauseKind tells what a figure of running text is: results of a lot, otherwise
// typical values.
func (s *reading) clauseKind(n named) string {
	if s.is("mail") && n.prop.impurity {
		return "result"
	}
	return s.properties.valueKind()
}

// printedName is a name with its Greek letter or prefix as printed.
func printedName(t string, n named) string { return t[n.start:n.end] }

// others reads "others of the 26: not detected (< 0.01 %)".
func (s *reading) others(row *cells.Row) {
	if !s.mayDeclare(row) {
		return
	}
	for _, c := range row.Cells {
		t := figure.Normal(oneLine(c.Text))
		e, ok := s.words.Prefix("others", lexicon.Fold(t))
		if !ok {
			continue
		}
		_ = e
		i := strings.LastIndex(t, ":")
		if i < 0 {
			continue
		}
		f, ok := s.fig.Parse(strings.TrimSpace(t[i+1:]), lexicon.Unit{})
		if !ok || f.Status == figure.NotStated {
			continue
		}
		a := Allergen{Name: strings.TrimSpace(t[:i]), CAS: []string{}, Printed: f.Printed, Place: s.place(row.Place, c), LowIn: true, HighIn: true}
		sh := s.share(f, a.Name, a.Place)
		a.Low, a.High, a.LowIn, a.HighIn, a.Ask = sh.low, sh.high, sh.lowIn, sh.highIn, sh.how.Ask
		s.declaration.allergenStatus(&a, f, sh)
		s.declaration.declare(a, row.Place)
	}
}

// quoted keeps the figures of an older mail, to be compared with the newer ones.
func (s *reading) quoted(row *cells.Row) {
	t := figure.Normal(printed(row.Text()))
	names := s.namesIn(t)
	for i, n := range names {
		end := len(t)
		if i+1 < len(names) {
			end = names[i+1].start
		}
		figs := s.figuresBehind(t[n.end:end], 1)
		if len(figs) == 1 && n.allergen {
			s.older = append(s.older, s.quietAllergen(n, figs[0], s.rowPlace(row)))
		}
	}
}

func (s *reading) quietAllergen(n named, f figure.Figure, at Place) Allergen {
	what, _, _ := s.declaration.declared.find(n.text, nil)
	a := Allergen{Name: n.text, Key: what.Key, Printed: f.Printed, Place: at, member: what.Member}
	if p, ok := figure.Percent(f.High, f.Unit); ok {
		a.High = &p
	}
	return a
}

// compareOlder asks where an older mail gives another figure.
func (s *reading) compareOlder() {
	if s.out.Allergens == nil {
		return
	}
	for _, o := range s.older {
		for _, a := range s.out.Allergens.Rows {
			if a.Key == o.Key && a.member == o.member && a.Key != "" && deref(a.High) != deref(o.High) {
				s.ask("older-value", a.Place, "name", a.Name, "new", a.Printed, "old", o.Printed)
			}
		}
	}
}
