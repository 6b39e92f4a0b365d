package composition

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/desk"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
)

// Added reads what sentences say the material holds: "Added antioxidant: Tocopherol
// (mixed), 0.05 %", "BHT added at 0.02 %", "contains 0.3 % potassium sorbate as
// preservative", "preserved with sodium benzoate 0.25 % and potassium sorbate 0.15 %". It
// says whether it read anything.
func (s *Reader) Added(row *cells.Row) (read bool) {
	if s.Is("ifra-certificate") || s.Is("sds") {
		return false
	}
	for _, c := range row.Cells {
		for _, sentence := range pieces.Sentences(figure.Normal(pieces.OneLine(c.Text))) {
			read = s.sentence(row, c, strings.TrimRight(strings.TrimSpace(sentence), ".")) || read
		}
	}
	return read
}

// Listed reads constituents that stand one after the other, each with its share: "Cera Alba
// (15-20 %), Ricinus Communis Seed Oil (10-15 %)". All of them are read, or none.
func (s *Reader) Listed(row *cells.Row) bool {
	if len(desk.FilledCells(row)) != 1 || s.Is("ifra-certificate") {
		return false
	}
	t := figure.Normal(pieces.OneLine(row.Text()))
	if head, rest, ok := strings.Cut(t, ":"); ok {
		if !s.listHead(head) {
			return false
		}
		t = rest
	}
	shares := s.sharesIn(t)
	if len(shares) < 2 || s.Dosed(t) {
		return false
	}
	names, from := make([]string, len(shares)), 0
	for k, f := range shares {
		names[k] = nameOf(t[from:f.start])
		if from = f.end; !s.mayAdd(names[k], true) {
			return false
		}
	}
	if strings.Trim(t[from:], " ).,;") != "" {
		return false
	}
	for k, name := range names {
		s.addOne(row, row.Cells[0], name, shares[k].Figure)
	}
	return true
}

// Held reads the constituents that an answer lists with their shares, under a question after
// what the material holds: all of them, or none.
func (s *Reader) Held(row *cells.Row, c cells.Cell, t string) bool {
	shares := s.sharesIn(t)
	names, from := make([]string, len(shares)), 0
	for k, f := range shares {
		names[k] = nameOf(t[from:f.start])
		if from = f.end; !s.mayAdd(names[k], true) {
			return false
		}
	}
	if len(shares) == 0 || strings.Trim(t[from:], " ).,;") != "" {
		return false
	}
	for k, name := range names {
		s.addOne(row, c, name, shares[k].Figure)
	}
	return true
}

// listHead says whether words before a colon announce constituents.
func (s *Reader) listHead(t string) bool {
	for _, e := range s.Words.All("head", t) {
		if e.Key == "inci" || e.Key == "name" {
			return true
		}
	}
	return s.Words.Is("section", "composition", lexicon.Fold(t))
}

// shareAt is a share in a sentence.
type shareAt struct {
	start, end int
	figure.Figure
}

// withWord stands before what a verb at the end of the sentence is done with.
var withWord = lexicon.Pattern(`(?i)\s<<with>>\s+`)

var boundWord = lexicon.Pattern(`(?i)^(?:<<bound>>|<<limit word>>)\.?\s+\d`)

// sharesIn finds the shares of a sentence; false where one of its figures is no share and
// stands where a share would.
func (s *Reader) sharesIn(t string) (out []shareAt) {
	for i := 0; i < len(t); {
		if !desk.FigureStart(t, i) && !(i == 0 || t[i-1] == ' ' || t[i-1] == '(') ||
			!desk.FigureStart(t, i) && !boundWord().MatchString(t[i:]) {
			i++
			continue
		}
		f, rest, ok := s.Figures.ParseAt(t[i:], lexicon.Unit{})
		end := len(t) - len(rest)
		if !ok || f.Unit.Divisor == 0 || f.Low+f.High == "" || inStrength(t, i, end) {
			i = max(i+1, min(end, len(t)))
			continue
		}
		start := i
		if word := s.SignIn(strings.TrimRight(t[:i], " ")); word >= 0 && f.Status == figure.Value { // "up to 1.2 %"
			if g, left, signed := s.Figures.ParseAt(t[word:], lexicon.Unit{}); signed && len(left) == len(rest) &&
				(g.About || g.Status != figure.Value && (g.LowIn && g.HighIn)) {
				start, f = word, g
			}
		}
		out = append(out, shareAt{start, end, f})
		i = max(end, i+1)
	}
	return out
}

// strength is what a measurement is made on, before or behind its share: "pH (10 % solution)".
var strength = lexicon.Pattern(`(?i)\b<<strength>>`)

// inStrength says whether the share from i to end stands in a bracket that tells the strength
// at which something is measured.
func inStrength(t string, i, end int) bool {
	open := strings.LastIndexByte(t[:i], '(')
	if open < 0 || strings.Contains(t[open:i], ")") {
		return false
	}
	inside := t[open:i]
	if to := strings.IndexByte(t[end:], ')'); to >= 0 {
		inside += " " + t[end:end+to]
	}
	return strength().MatchString(inside)
}

// saysIn finds the first words of a sentence that say that something is held or added,
// from a place on.
func (s *Reader) saysIn(t string, from int) (start, end int, ok bool) {
	ws := pieces.Words(t)
	for i, w := range ws {
		for k := min(4, len(ws)-i); k >= 1; k-- {
			parts := make([]string, k)
			for j := range k {
				parts[j] = ws[i+j].Folded
			}
			if _, is := s.Words.Exact("added", strings.Join(parts, " ")); is && w.Start >= from {
				return w.Start, ws[i+k-1].End, true
			}
		}
	}
	return 0, 0, false
}

// sentence reads one sentence. Shares stand before what they are of, where the first
// follows the verb at once and a name follows it; else behind it.
func (s *Reader) sentence(row *cells.Row, c cells.Cell, t string) bool {
	start, end, ok := s.saysIn(t, 0)
	if !ok || s.Dosed(t) {
		return false
	}
	shares := s.sharesIn(t)
	if len(shares) == 0 {
		return false
	}
	first := shares[0]
	if explained(t, shares) {
		s.Pass(row.Place, t)
		return false
	}
	names := make([]string, len(shares))
	behind := func(k int) string { // up to the next share
		to := len(t)
		if k+1 < len(shares) {
			to = shares[k+1].start
		} else if start > shares[k].end {
			to = start
		}
		return nameOf(t[shares[k].end:to])
	}
	before := func(k int) string {
		from := 0
		switch {
		case k > 0:
			from = shares[k-1].end
		case end <= first.start:
			from = end
		default: // "is preserved" at the end of the sentence: what it is preserved with
			if at := withWord().FindAllStringIndex(t[:first.start], -1); at != nil {
				from = at[len(at)-1][1]
			}
		}
		return nameOf(t[from:shares[k].start])
	}
	switch {
	case end <= first.start && before(0) == "" && behind(0) == "": // "potassium sorbate is added: 0.3 %"
		names[0] = nameOf(t[strings.LastIndex(t[:start], ", ")+1 : start])
	case before(0) == "":
		for k := range shares {
			names[k] = behind(k)
		}
	default:
		for k := range shares {
			names[k] = before(k)
		}
	}
	read := false
	for k, name := range names {
		if s.mayAdd(name, len(shares) > 1) {
			s.addOne(row, c, name, shares[k].Figure)
			read = true
		} else if read {
			s.Pass(row.Place, t)
		}
	}
	return read
}

// explained says whether a later share stands within words in brackets: they tell more of the
// first one, "500 ppm tocopherol (mixed, in oil, that is 250 ppm pure)", and list nothing.
func explained(t string, shares []shareAt) bool {
	for _, f := range shares[1:] {
		between := t[shares[0].end:f.start]
		if open := strings.LastIndexByte(between, '('); open >= 0 && !strings.Contains(between[open:], ")") &&
			strings.TrimSpace(between[open+1:]) != "" {
			return true
		}
	}
	return false
}

var (
	// asRole is what something is added as, behind its name.
	asRole = lexicon.Pattern(`(?i)(?:^|\s)(?:<<as role>>)(?:\s|$).*$`)
	// nameLead are small words before a name, nameTail those behind it.
	nameLead = lexicon.Pattern(`(?i)^(?:(?:<<and>>|<<of name>>|<<article>>)\s+|<<of name tight>>|<<article tight>>)`)
	nameTail = lexicon.Pattern(`(?i)\s(?:<<and>>|<<copula>>|<<at>>|<<article>>)$`)
)

// nameOf takes a name out of the words between two figures.
func nameOf(t string) string {
	t = strings.ReplaceAll(strings.ReplaceAll(t, "’", "'"), "‘", "'")
	t = strings.Trim(t, " ,;:=")
	t = asRole().ReplaceAllString(t, "")
	for {
		was := t
		t = strings.TrimRight(strings.TrimLeft(t, ") ,;:=]"), "( ,;:=[")
		t = nameTail().ReplaceAllString(" "+t, "")
		t = nameLead().ReplaceAllString(strings.TrimSpace(t), "")
		if t = strings.TrimSpace(t); t == was {
			break
		}
	}
	if only := nameTail().ReplaceAllString(" "+t, ""); strings.TrimSpace(only) == "" ||
		strings.TrimSpace(nameLead().ReplaceAllString(t+" ", "")) == "" {
		return ""
	}
	if j := strings.LastIndexAny(t, ";("); j >= 0 && !strings.Contains(t[j:], ")") {
		t = strings.TrimSpace(t[j+1:])
	}
	return t
}

// mayAdd says whether a name of a sentence can be a constituent: not a property, not an
// allergen that the paper declares. Water is one among several.
func (s *Reader) mayAdd(name string, among bool) bool {
	if name == "" || len(strings.Fields(name)) > 6 || strings.ContainsAny(name, "%:") ||
		strings.ContainsAny(name[:1], "0123456789") {
		return false
	}
	if _, _, says := s.saysIn(name, 0); says || s.noName(lexicon.Fold(name)) {
		return false
	}
	for _, subject := range []string{"property", "impurity"} {
		if e, ok := s.Words.Exact(subject, name); ok && !(among && e.Key == "water") {
			return false
		}
	}
	return !(s.Declares != nil && s.Declares(name) && (s.HasKind("allergen-declaration") || s.Topic == "allergens" ||
		s.IsText() && s.Topic != "composition"))
}

// noName says whether folded words are part of a sentence and no name: a verb, or the words
// of a bound, such as "maximum of".
func (s *Reader) noName(folded string) bool {
	if s.Words.Holds("verb", "verb", folded) {
		return true
	}
	if i := strings.LastIndexByte(folded, ' '); i > 0 { // "geraniol traces"
		if _, status := s.Words.Exact("status", folded[i+1:]); status {
			return true
		}
	}
	for _, e := range s.Words.Each("sign") {
		if len(e.Word) > 3 && strings.ContainsAny(e.Key, "<>") && lexicon.Holds(folded, e.Word) {
			return true
		}
	}
	return false
}

// addOne adds a constituent that a sentence names with its content.
func (s *Reader) addOne(row *cells.Row, c cells.Cell, name string, f figure.Figure) {
	if slices.ContainsFunc(s.Out.Composition, func(old reading.Constituent) bool { return old.Name == name }) {
		return
	}
	cas, ec, _, rest := pieces.Numbers(name)
	k := reading.Constituent{Name: pieces.CleanName(pieces.WithoutNumberWords(rest)), CAS: append([]string{}, cas...),
		EC: append([]string{}, ec...), Place: s.Place(row.Place, c), LowIn: true, HighIn: true}
	s.setContent(&k, f)
	k.Printed = f.Printed
	s.Doubt(row.Place, &k.How)
	if s.Names != nil {
		k.INCI = s.Names.INCI(k.Name, k.CAS, k.EC)
	}
	s.Out.Composition = append(s.Out.Composition, k)
}
