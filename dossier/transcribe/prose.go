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
			if _, ok := s.declared.named(text); ok && len(text) > 2 {
				out = append(out, named{start: start, end: ws[i+k-1].end, text: text, allergen: true})
				n = k
			} else if p, ok := s.exactProperty(text); ok && len(text) > 1 {
				out = append(out, named{start: start, end: ws[i+k-1].end, text: text, prop: p})
				n = k
			}
		}
		i += max(n, 1)
	}
	return out
}

var fillers = regexp.MustCompile(`^\s*(?:[\[(][^\])\d]*[\])])?\s*(?:[:=]|[\p{L}]{1,8}(?: [\p{L}]{1,6})?)?\s*[:=]?\s*`)

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
	s.hearsay(row)
	s.added(row)
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

// figuresBehind reads n figures parted by strokes right behind a name.
func (s *reading) figuresBehind(t string, n int) []figure.Figure {
	t = strings.TrimLeft(t, " ")
	if f, ok := s.fig.Parse(strings.Trim(strings.TrimLeft(t, ":= "), " ,;."), lexicon.Unit{}); ok && f.Status != figure.NotStated && n == 1 {
		return []figure.Figure{f}
	}
	at := fillers.FindStringIndex(t)
	if at == nil {
		return nil
	}
	var out []figure.Figure
	rest := t[at[1]:]
	for k := range n {
		f, after, ok := s.fig.ParseAt(rest, lexicon.Unit{})
		if !ok || f.Printed == "" {
			return nil
		}
		out, rest = append(out, f), strings.TrimLeft(after, " ")
		if k+1 < n {
			if !strings.HasPrefix(rest, "/") {
				return nil
			}
			rest = strings.TrimLeft(rest[1:], " ")
		}
	}
	last := out[len(out)-1].Unit
	for k := range out {
		if out[k].Unit.Name == "" && n > 1 {
			out[k].Unit = last
		}
	}
	return out
}

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
			if u := s.unitOf(name, unit); u.Name != "" {
				f.Unit = u
			}
		}
		s.put(Property{Name: name}, f, s.clauseKind(n), at, row.Place)
		return
	}
	if !s.mayDeclare(row) {
		return
	}
	cas, _, _, _ := numbers(row.Text())
	if len(s.namesIn(figure.Normal(row.Text()))) > 1 {
		var mine []string
		for _, x := range cas { // a number beside several names counts where it is that name's own
			if a, ok := s.declared.named(n.text); ok && s.declared.byCAS[x].Key == a.Key {
				mine = append(mine, x)
			}
		}
		cas = mine
	}
	s.declare(s.allergen(printedName(t, n), cas, f, at), row.Place)
}

// clauseKind tells what a figure of running text is: results of a lot, otherwise
// typical values.
func (s *reading) clauseKind(n named) string {
	if s.is("mail") && n.prop.impurity {
		return "result"
	}
	return s.valueKind()
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
		s.allergenStatus(&a, f, sh)
		s.declare(a, row.Place)
	}
}

var codeAfterFor = regexp.MustCompile(`\b(\d{1,2}[A-D]?)\b`)

// hearsay asks about limits of a certificate that a message tells of.
func (s *reading) hearsay(row *cells.Row) {
	if !s.isText() || s.hasKind("ifra-certificate") && !s.is("mail") {
		return
	}
	t := figure.Normal(printed(row.Text()))
	folded := lexicon.Fold(t)
	_, _, amended := s.words.Find("amendment", folded)
	for _, part := range strings.FieldsFunc(t, func(r rune) bool { return r == ';' || r == '\n' }) {
		for _, sentence := range sentences(part) {
			s.hearsayIn(row, sentence, amended)
		}
	}
}

var sentenceEnd = regexp.MustCompile(`[.?!]\s+(?:[A-Z]|$)`)

func sentences(t string) []string {
	var out []string
	from := 0
	for _, m := range sentenceEnd.FindAllStringIndex(t, -1) {
		if before := t[from:m[0]]; len(before) > 0 && len(before) <= 4 { // "Cat. 4"
			continue
		}
		out = append(out, t[from:m[0]+1])
		from = m[0] + 1
	}
	return append(out, t[from:])
}

func (s *reading) hearsayIn(row *cells.Row, t string, amended bool) {
	tell := func(code, text string) {
		if s.out.IFRA == nil {
			s.out.IFRA = &Certificate{Rows: []Limit{}}
		}
		s.out.IFRA.Rows = append(s.out.IFRA.Rows, Limit{Category: code, Printed: text, Status: "ask", Place: s.rowPlace(row), How: How{Ask: "limit-hearsay"}})
		s.ask("limit-hearsay", s.rowPlace(row), "category", code, "text", text)
	}
	trimmed := strings.TrimSpace(t)
	if c, ok := s.codesIn(trimmed, true); ok && !c.old {
		rest := strings.Trim(c.rest, " :")
		for _, code := range c.list {
			tell(code, rest)
		}
		return
	}
	if !amended {
		return
	}
	for _, f := range s.figuresIn(t) {
		if f.Unit.Divisor != 1 || f.Low == "" {
			continue
		}
		after := t[strings.Index(t, firstWord(f.Printed))+len(firstWord(f.Printed)):]
		if m := codeAfterFor.FindStringSubmatch(after); m != nil && isCategory(m[1]) {
			tell(m[1], f.Printed)
		}
	}
}

func isCategory(code string) bool {
	for _, c := range categories {
		if c == code {
			return true
		}
	}
	return false
}

// added reads what a sentence says was added: "Added antioxidant: Tocopherol
// (mixed), 0.05 %", "BHT added at 0.02 %".
func (s *reading) added(row *cells.Row) {
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

// clausesOf parts a sentence at commas that do not stand in a number.
func clausesOf(t string) []string {
	parts := regexp.MustCompile(`,\s+`).Split(t, -1)
	if len(parts) == 1 {
		return nil
	}
	return parts
}

func (s *reading) addedIn(row *cells.Row, c cells.Cell, t string) bool {
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

func (s *reading) addOne(row *cells.Row, c cells.Cell, name, value string) bool {
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
	what, _, _ := s.declared.find(n.text, nil)
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
