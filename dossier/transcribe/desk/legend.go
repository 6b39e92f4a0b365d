package desk

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
	"gallipot/ingredients/pattern"
)

// zeroSign finds the legend of a printed nought: "0 = below 0.0001 %".
var zeroSign = pattern.New(`(?:^|[\s;,(])0\s*[=:]\s*([^;]*)`)

// signMeans finds the start of the legend of a short sign: "ND = not detected (< 0.001 %)".
var signMeans = pattern.New(`(?:^|[\s;,.(])(\pL[\pL.]{0,6})\s?[=:]\s?`)

// limitOfSign reads the limit that the legend of a sign for "not detected" or for traces gives;
// told says that it gave the limit of "not detected", or tells of signs for traces alone.
func (s *Desk) limitOfSign(t string) (told bool) {
	traces, others := false, false
	end := len(t)
	signs := signMeans.Regexp().FindAllStringSubmatchIndex(t, -1)
	for i := len(signs) - 1; i >= 0; i-- {
		m := signs[i]
		f, ok := s.Figures.Parse(t[m[2]:m[3]], lexicon.Unit{})
		if !ok || f.Status != figure.NotDetected && f.Status != figure.Trace && f.Status != figure.Absent {
			continue
		}
		if ownSign(t[:m[2]], t[m[2]:m[3]]) {
			told = true
			continue // "glyphosate: < LOQ (LOQ = 0.01 mg/kg)" is of that row alone
		}
		traces, others = traces || f.Status == figure.Trace, others || f.Status != figure.Trace
		means, _, _ := strings.Cut(t[m[1]:end], ";")
		means, _, _ = strings.Cut(means, " = ")
		end = m[0]
		for _, g := range s.FiguresIn(means) {
			pct, ok := figure.Percent(g.High, g.Unit)
			switch {
			case !ok || g.Open != "" || g.High == "":
				continue
			case f.Status == figure.Trace:
				s.TraceLimit = pct
			default:
				s.Limit, told = pct, true
			}
			break
		}
	}
	return told || traces && !others
}

// ofOneResult says whether a text before a limit names the one result that it is of: "lead: not
// detected (limit of detection 0.01 mg/kg)".
func (s *Desk) ofOneResult(folded string) bool {
	for _, subject := range []string{"impurity", "property"} {
		if _, ok := s.Words.Prefix(subject, folded); ok {
			return true
		}
	}
	return false
}

// ownSign says whether a sign stands in a row before its legend, which then is that row's own.
func ownSign(before, sign string) bool {
	return slices.ContainsFunc(pieces.Words(before), func(w pieces.Word) bool { return w.Folded == lexicon.Fold(sign) })
}

// legend reads what the paper says for all its figures: the one unit, the limit of
// detection, what 0 stands for, whether the figures are calculated.
func (s *Desk) legend() {
	units := map[string]lexicon.Unit{}
	for _, it := range s.Items {
		if it.Table != nil && it.Table.Quote > 0 {
			continue
		}
		if it.Table != nil {
			for _, c := range it.Table.Columns {
				if c.Role == "" || c.Role == "name" {
					s.legendCell(c.Head, units)
				}
			}
			for _, row := range it.Table.Rows { // a legend may stand right under a table
				if filled := row.Filled(); filled <= 2 || sentenceIn.MatchString(row.Raw) {
					s.legendCell(row.Raw, nil)
				}
			}
			continue
		}
		if it.Row.Quote > 0 {
			continue
		}
		before := [...]string{s.Limit, s.Zero, s.TraceLimit}
		s.legendCell(it.Row.Text(), units)
		if before != [...]string{s.Limit, s.Zero, s.TraceLimit} {
			s.Legends[it.Row] = true
		}
		for _, c := range it.Row.Cells {
			if _, _, ok := s.Words.Find("calculated", lexicon.Fold(c.Text)); ok {
				s.calculated()
			}
		}
	}
	if len(units) == 1 {
		for _, u := range units {
			s.Unit = u
		}
	}
}

// sentenceIn is a row that says what a sign means.
var sentenceIn = pattern.New(`^\S{1,4} ?[=:] `)

func (s *Desk) calculated() {
	if s.Out.Allergens == nil {
		s.Out.Allergens = &reading.Allergens{Rows: []reading.Allergen{}}
	}
	s.Out.Allergens.Calculated = true
}

// legendCell reads what one text says for all figures; units collects the units that
// stand without a figure.
func (s *Desk) legendCell(t string, units map[string]lexicon.Unit) {
	folded := lexicon.Fold(t)
	told := s.limitOfSign(t) // "traces: below the limit of quantification" is nothing for "n.d."
	if _, at, ok := s.Words.Find("limitword", folded); ok && at >= 0 && !told && !s.ofOneResult(folded[:at]) {
		if pct := s.lastShare(t); pct != "" {
			s.Limit = pct
		} else {
			s.LimitSaid = true
		}
	}
	for _, m := range zeroSign.FindAllStringSubmatch(t, -1) {
		f, ok := s.Figures.Parse(firstPart(strings.Trim(m[1], " ()")), lexicon.Unit{})
		if !ok || f.Status != figure.Below {
			continue
		}
		if pct, ok := figure.Percent(f.High, f.Unit); ok {
			s.Zero = pct
		}
	}
	s.zeroSaid(t)
	if units == nil {
		return
	}
	// a unit without a figure before it holds for the figures of the paper
	for _, u := range s.Words.Units() {
		if u.Divisor == 0 || len(u.Printed) < 2 && u.Printed != "%" || u.Printed == "% m" {
			continue
		}
		for from := 0; ; {
			i := strings.Index(t[from:], u.Printed)
			if i < 0 {
				break
			}
			i += from
			from = i + len(u.Printed)
			before := strings.TrimRight(t[:i], " ")
			if before != "" && strings.ContainsAny(before[len(before)-1:], "0123456789") ||
				letterAround(t, i, from) {
				continue
			}
			units[u.Name] = u
		}
	}
}

// zeroWord is a nought in a sentence that says what it stands for: "A printed 0 means below
// 0.0005 %".
var zeroWord = lexicon.Pattern(`(?i)(?:^|[\s"'“„«])0["'”“»]?\s+(?:<<means>>)\s+(.*)$`)

// zeroSaid reads the sentence that says below what a printed nought stays: its one share, behind a word
// for "below".
func (s *Desk) zeroSaid(t string) {
	m := zeroWord().FindStringSubmatch(figure.Normal(t))
	if m == nil {
		return
	}
	said, _, _ := strings.Cut(m[1], ". ")
	at := -1
	for i := range said {
		if FigureStart(said, i) {
			at = i
			break
		}
	}
	if at < 0 || len(s.FiguresIn(said)) != 1 {
		return
	}
	if sign := s.SignIn(strings.TrimRight(said[:at], " ")); sign >= 0 {
		at = sign
	}
	f, rest, ok := s.Figures.ParseAt(said[at:], lexicon.Unit{})
	if !ok || f.Status != figure.Below || strings.Trim(rest, " ).,;") != "" {
		return
	}
	if pct, ok := figure.Percent(f.High, f.Unit); ok {
		s.Zero = pct
	}
}

// letterAround says whether a letter touches the text from i to j.
func letterAround(t string, i, j int) bool {
	isLetter := func(b byte) bool { return b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z' || b >= 0x80 }
	return i > 0 && isLetter(t[i-1]) && isLetter(t[i]) || j < len(t) && isLetter(t[j]) && isLetter(t[j-1])
}

func firstPart(s string) string {
	if i := strings.Index(s, "  "); i > 0 {
		return s[:i]
	}
	return s
}

// lastShare reads the last figure with a unit of mass in a text, in per cent.
func (s *Desk) lastShare(t string) string {
	out := ""
	for _, f := range s.FiguresIn(t) {
		if f.Open == "" && f.Unit.Divisor != 0 && f.High != "" {
			if pct, ok := figure.Percent(f.High, f.Unit); ok {
				out = pct
			}
		}
	}
	return out
}
