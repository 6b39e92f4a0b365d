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
	"gallipot/ingredients/pattern"
)

var hazardCode = pattern.New(`\b(?:EUH|H)[234]?\d{2,3}[A-Za-z]{0,3}\b`)

// classLimit is a limit of classification: "C ≥ 0.01 %".
var classLimit = pattern.New(`(?:^|[\s:;,(])C\s?(?:≥|>=|>|<|≤)`)

// nameLabel is the label of a name at the start of a row: "Chemical name: ".
var nameLabel = lexicon.Pattern(`(?i)^\s*(?:<<name label>>)(?:\s*\([^)]*\))?\s*:\s+`)

// mFactor is a multiplying factor of classification: "M = 10", "M-factor (acute): 1".
var mFactor = pattern.New(`(?:^|[\s,;(])M(?:[- ]?[Ff]a[ck]?tor\pL*)?\s?(?:\([^)]*\))?\s?[=:]\s?\d+`)

// withoutHazards cuts a text where the hazard classes begin. skip says that the
// row speaks of hazards alone.
func (s *Reader) withoutHazards(t string) (string, bool) {
	ws := pieces.Words(t)
	for i, w := range ws {
		for k := min(4, len(ws)-i); k >= 1; k-- {
			parts := make([]string, k)
			for j := range k {
				parts[j] = ws[i+j].Folded
			}
			phrase := strings.Join(parts, " ")
			if _, ok := s.Words.Exact("hazard", phrase); ok {
				return t[:w.Start], i == 0
			}
			if _, ok := s.Words.Exact("hazardlabel", phrase); ok {
				return t[:w.Start], i == 0
			}
		}
	}
	if m := mFactor.FindStringIndex(t); m != nil {
		return t[:m[0]], strings.TrimSpace(t[:m[0]]) == ""
	}
	if m := classLimit.FindStringIndex(t); m != nil {
		return t[:m[0]], strings.TrimSpace(t[:m[0]]) == ""
	}
	if m := hazardCode.FindStringIndex(t); m != nil {
		return t[:m[0]], strings.TrimSpace(t[:m[0]]) == ""
	}
	return t, false
}

// LooseConstituent reads a row of a composition without heads of columns: name,
// numbers and content in one row, or spread over several.
func (s *Reader) LooseConstituent(row *cells.Row) bool {
	row = s.unlabelled(row)
	whole := row.Text()
	if len(strings.Fields(whole)) > 24 || s.Dosed(whole) || s.isIdentity(row) {
		return false
	}
	t, skip := s.withoutHazards(strings.ReplaceAll(figure.Normal(desk.JoinCells(row)), "\n", " "))
	if skip || strings.TrimSpace(t) == "" {
		return s.record != nil
	}
	cas, ec, bad, rest := pieces.Numbers(t)
	if hazardCode.MatchString(whole) && len(cas) == 0 && len(ec) == 0 && !strings.Contains(t, "%") {
		return s.record != nil // a classification that goes on
	}
	c := reading.Constituent{CAS: cas, EC: ec, LowIn: true, HighIn: true, Place: s.RowPlace(row)}
	f, name, found := s.contentIn(row, rest, &c)
	name = nameLabel().ReplaceAllString(name, "")
	c.Name = s.Unmarked(pieces.CleanName(s.withoutContentWords(pieces.WithoutNumberWords(name))))
	if c.Name != "" && len(cas)+len(ec) == 0 && strings.Trim(lexicon.Fold(c.Name), "0123456789 ") == "" {
		return false // figures alone
	}
	if s.Words.Holds("verb", "verb", lexicon.Fold(c.Name)) {
		return false // a sentence, and no name
	}
	for _, n := range bad {
		s.Ask("number-wrong", c.Place, "number", n, "name", c.Name)
	}
	named := nameLabel().MatchString(rest)
	if !found && len(cas) == 0 && len(ec) == 0 && (len(strings.Fields(c.Name)) > 8 ||
		strings.HasSuffix(whole, ".") || strings.Contains(whole, ":") && !named) {
		return false
	}
	if named {
		s.CloseRecord() // a block begins with its name
	}
	if found {
		s.setContent(&c, f)
		c.Printed = f.Printed
		if len(cas) == 0 && len(ec) == 0 && s.Is("sds") && s.record == nil && c.Ask == "" {
			c.Ask = "not-read"
			s.Ask("not-read", c.Place, "name", c.Name, "text", pieces.Printed(whole))
		}
	}
	s.Doubt(row.Place, &c.How)
	s.addToRecord(c, found)
	return true
}

// unlabelled is a row of a label and its value, in cells of their own, as one text with a
// colon; the label of a content or a number goes.
func (s *Reader) unlabelled(row *cells.Row) *cells.Row {
	filled := desk.FilledCells(row)
	if len(filled) != 2 {
		return row
	}
	label := strings.TrimRight(pieces.OneLine(filled[0].Text), " :")
	out := *row
	switch isContent := func(e lexicon.Entry) bool { return e.Key == "content" }; {
	case nameLabel().MatchString(label + ": x"):
		one := filled[1]
		one.Text = label + ": " + one.Text
		out.Cells = []cells.Cell{one}
	case s.record != nil && slices.ContainsFunc(s.Words.All("head", label), isContent):
		out.Cells = []cells.Cell{filled[1]}
	default:
		return row
	}
	return &out
}

// isIdentity says whether a row gives facts of the paper: labels with their values.
func (s *Reader) isIdentity(row *cells.Row) bool {
	for _, l := range s.LabelsOf[row] {
		switch l.Key {
		case "cas", "ec", "casec", "inci":
		default:
			if l.Sign && l.Value != "" {
				return true
			}
		}
	}
	return false
}

// contentIn finds the content of a loose row and gives the rest of its text.
func (s *Reader) contentIn(row *cells.Row, rest string, c *reading.Constituent) (
	content figure.Figure, name string, found bool) {
	unit := lexicon.Unit{}
	var hit *figure.Figure
	var at cells.Cell
	for _, cell := range row.Cells {
		f, ok := s.Figures.Parse(strings.ReplaceAll(cell.Text, "\n", " "), unit)
		if !ok || f.Status == figure.NotStated || f.Unit.Divisor == 0 &&
			(f.Status == figure.Value || f.Status == figure.Zero) {
			continue
		}
		if f.Unit.Divisor == 0 && f.Low != "" && s.Unit.Divisor != 0 {
			f.Unit, f.Rules = s.Unit, append(f.Rules, "unit-of-the-paper")
		}
		if hit != nil {
			s.Ask("two-figures", s.RowPlace(row), "name", pieces.Printed(row.Cells[0].Text), "text",
				hit.Printed+", "+f.Printed)
			c.Ask = "two-figures"
			continue
		}
		hit, at = &f, cell
	}
	if hit != nil {
		c.Place = s.Place(row.Place, at)
		return *hit, strings.Replace(rest, figure.Normal(pieces.OneLine(at.Text)), " ", 1), true
	}
	rest = pieces.OneBlank(rest)
	var figs []figure.Figure
	var ends [][2]int
	for i := 0; i < len(rest); {
		if !desk.FigureStart(rest, i) {
			i++
			continue
		}
		from := s.SignedAt(rest, i)
		f, after, ok := s.Figures.ParseAt(rest[from:], unit)
		if !ok {
			from = i
			f, after, ok = s.Figures.ParseAt(rest[i:], unit)
		}
		if ok && f.Unit.Divisor == 0 && (f.Status == figure.Range || f.Status == figure.Below) &&
			s.Unit.Divisor != 0 {
			f.Unit, f.Rules = s.Unit, append(f.Rules, "unit-of-the-paper")
		}
		if !ok || f.Unit.Divisor == 0 && (f.Unit.Name != "" || f.Status != figure.Range && f.Status != figure.Below) {
			for i < len(rest) && rest[i] != ' ' {
				i++
			}
			continue
		}
		end := len(rest) - len(after)
		figs, ends = append(figs, f), append(ends, [2]int{from, end})
		i = max(end, i+1)
	}
	switch len(figs) {
	case 0:
		return figure.Figure{}, rest, false
	case 1:
		before, after := strings.TrimSpace(rest[:ends[0][0]]), strings.TrimSpace(rest[ends[0][1]:])
		if before != "" && len(pieces.Words(after)) > 0 && len(c.CAS) == 0 {
			return figure.Figure{}, rest, false // a figure in the middle of a text
		}
		return figs[0], before + " " + after, true
	}
	c.Ask = "two-figures"
	s.Ask("two-figures", s.RowPlace(row), "name", pieces.CleanName(rest), "text", pieces.Printed(row.Text()))
	return figs[0], rest[:ends[0][0]], true
}

// withoutContentWords drops the label of a content ("Conc.:") from a name.
func (s *Reader) withoutContentWords(t string) string {
	for _, w := range pieces.Words(t) {
		for _, e := range s.Words.All("head", w.Folded) {
			after := strings.TrimLeft(t[w.End:], " .")
			if e.Key == "content" && (strings.HasPrefix(after, ":") || strings.TrimSpace(after) == "" &&
				w.Start > 0) {
				return t[:w.Start] + " " + strings.TrimPrefix(after, ":")
			}
		}
	}
	return t
}
