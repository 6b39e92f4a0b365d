package certificate

import (
	"slices"
	"strconv"
	"strings"

	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/reading"
)

// Close closes the certificate: its amendment, the lowest of several limits
// of a category, what it says nothing of.
func (s *Reader) Close() {
	s.closeCodes()
	cert := s.Out.IFRA
	n, at, ok := s.amendment()
	if cert == nil {
		if !ok || !s.HasKind("ifra-certificate") {
			return
		}
		s.Out.IFRA = &reading.Certificate{Rows: []reading.Limit{}}
		cert = s.Out.IFRA
	}
	if ok && s.Doubtful[at.Page] {
		s.Ask("page-not-trusted", at)
		ok = false
		n = 0
	}
	if ok {
		cert.Amendment, cert.From = &n, at
		switch {
		case n < 49 && len(cert.Rows) > 0:
			s.oldClasses(at)
		case n < s.Newest:
			s.Ask("amendment-old", at, "amendment", strconv.Itoa(n), "newest", strconv.Itoa(s.Newest))
		}
	} else if len(cert.Rows) > 0 {
		s.Ask("amendment-none", reading.Place{})
	}
	s.lowestLimits()
	if len(cert.Rows) >= 5 {
		var missing []string
		for _, c := range categories {
			if !slices.ContainsFunc(cert.Rows, func(l reading.Limit) bool {
				return digitsOf(l.Category) == digitsOf(c) && (l.Category == c || l.Category == digitsOf(c))
			}) {
				missing = append(missing, c)
			}
		}
		if len(missing) > 0 && len(missing) < len(categories) {
			s.Ask("category-missing", reading.Place{}, "text", strings.Join(missing, ", "))
		}
	}
}

// lowestLimits keeps one row for each category: a prohibition before a limit, the
// lower limit before the higher.
func (s *Reader) lowestLimits() {
	rank := func(l reading.Limit) int {
		switch l.Status {
		case "ask":
			return 0
		case "not-permitted":
			return 1
		case "limit":
			return 2
		}
		return 3
	}
	var out []reading.Limit
	for _, l := range s.Out.IFRA.Rows {
		i := slices.IndexFunc(out, func(o reading.Limit) bool { return o.Category == l.Category })
		if i < 0 {
			out = append(out, l)
			continue
		}
		o := out[i]
		if o.Status == l.Status && reading.ValueOf(o.Max) == reading.ValueOf(l.Max) {
			continue
		}
		s.Ask("category-twice", l.Place, "category", l.Category, "text", o.Printed+"; "+l.Printed)
		lower := rank(l) < rank(o) || rank(l) == rank(o) && l.Max != nil && o.Max != nil &&
			figure.Sum(*l.Max).Less(figure.Sum(*o.Max))
		if lower {
			l.Rules = append(l.Rules, "lowest-of-category")
			out[i] = l
		} else {
			out[i].Rules = append(out[i].Rules, "lowest-of-category")
		}
	}
	s.Out.IFRA.Rows = out
	if out == nil {
		s.Out.IFRA.Rows = []reading.Limit{}
	}
}
