package transcribe

import (
	"slices"
	"strconv"
	"strings"

	"gallipot/dossier/transcribe/figure"
)

// certificate closes the certificate: its amendment, the lowest of several limits
// of a category, what it says nothing of.
func (s *certifier) certificate() {
	s.closeCodes()
	cert := s.out.IFRA
	n, at, ok := s.amendment()
	if cert == nil {
		if !ok || !s.hasKind("ifra-certificate") {
			return
		}
		s.out.IFRA = &Certificate{Rows: []Limit{}}
		cert = s.out.IFRA
	}
	if ok && s.doubtful[at.Page] {
		s.ask("page-not-trusted", at)
		ok = false
		n = 0
	}
	if ok {
		cert.Amendment = &n
		switch {
		case n < 49 && len(cert.Rows) > 0:
			s.oldClasses(at)
		case n < s.newest:
			s.ask("amendment-old", at, "amendment", strconv.Itoa(n), "newest", strconv.Itoa(s.newest))
		}
	} else if len(cert.Rows) > 0 {
		s.ask("amendment-none", Place{})
	}
	s.lowestLimits()
	if len(cert.Rows) >= 5 {
		var missing []string
		for _, c := range categories {
			if !slices.ContainsFunc(cert.Rows, func(l Limit) bool {
				return digitsOf(l.Category) == digitsOf(c) && (l.Category == c || l.Category == digitsOf(c))
			}) {
				missing = append(missing, c)
			}
		}
		if len(missing) > 0 && len(missing) < len(categories) {
			s.ask("category-missing", Place{}, "text", strings.Join(missing, ", "))
		}
	}
}

// lowestLimits keeps one row for each category: a prohibition before a limit, the
// lower limit before the higher.
func (s *certifier) lowestLimits() {
	rank := func(l Limit) int {
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
	var out []Limit
	for _, l := range s.out.IFRA.Rows {
		i := slices.IndexFunc(out, func(o Limit) bool { return o.Category == l.Category })
		if i < 0 {
			out = append(out, l)
			continue
		}
		o := out[i]
		if o.Status == l.Status && deref(o.Max) == deref(l.Max) {
			continue
		}
		s.ask("category-twice", l.Place, "category", l.Category, "text", o.Printed+"; "+l.Printed)
		lower := rank(l) < rank(o) || rank(l) == rank(o) && l.Max != nil && o.Max != nil && figure.Sum(*l.Max).Less(figure.Sum(*o.Max))
		if lower {
			l.Rules = append(l.Rules, "lowest-of-category")
			out[i] = l
		} else {
			out[i].Rules = append(out[i].Rules, "lowest-of-category")
		}
	}
	s.out.IFRA.Rows = out
	if out == nil {
		s.out.IFRA.Rows = []Limit{}
	}
}
