package declaration

import (
	"cmp"
	"strconv"
	"strings"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/phrases"
	"gallipot/dossier/transcribe/reading"
)

// Groups tells rows that are members of a group: part of a row of their own group,
// or members without such a row.
func (s *Reader) Groups() {
	if s.Out.Allergens == nil {
		return
	}
	rows := s.Out.Allergens.Rows
	whole, members := map[string]int{}, map[string][]int{}
	for i, a := range rows {
		switch {
		case a.Key == "":
		case a.Member == "":
			whole[a.Key]++
		default:
			members[a.Key] = append(members[a.Key], i)
		}
	}
	for key, at := range members {
		for _, i := range at {
			if whole[key] > 0 {
				rows[i].PartOf = key
			} else {
				rows[i].MemberOf = key
			}
		}
	}
	seen := map[string]int{}
	for i, a := range rows {
		if a.Key == "" || a.Member != "" || a.Status == "not-stated" {
			continue
		}
		if first, ok := seen[a.Key]; ok && (reading.ValueOf(rows[first].High) != reading.ValueOf(a.High) ||
			reading.ValueOf(rows[first].Low) != reading.ValueOf(a.Low)) {
			s.Ask("two-rows", a.Place, "name", a.Name, "text", rows[first].Printed+"; "+a.Printed)
			continue
		}
		seen[a.Key] = i
	}
}

// ListName says which list the declaration covers.
func (s *Reader) ListName() {
	a := s.Out.Allergens
	if a == nil {
		return
	}
	old, extended := map[string]bool{}, map[string]bool{}
	for _, r := range a.Rows {
		if r.Key == "" {
			continue
		}
		if s.Known.list[r.Key] == "2003-list" {
			old[r.Key] = true
		} else {
			extended[r.Key] = true
		}
	}
	s.notStated(a.Rows)
	switch {
	case len(extended) >= 40:
		a.List = "2023-1545"
	case len(old) >= 24:
		a.List = "2003-list"
	default:
		a.List = s.listNamed()
	}
	if len(a.Rows) > 0 && a.List != "2023-1545" && !s.Is("certificate-of-analysis") {
		s.Warn("list-differs", reading.Place{}, "text",
			phrases.Questions().Say("listed-names", "count", strconv.Itoa(len(old)+len(extended))))
	}
}

// notStated asks once about the names of the list that stand there without a content.
func (s *Reader) notStated(rows []reading.Allergen) {
	var names []string
	for _, r := range rows {
		if r.Key != "" && r.Status == "not-stated" {
			names = append(names, cmp.Or(r.Name, r.Key))
		}
	}
	if len(names) > 0 {
		s.Ask("not-stated", reading.Place{}, "name", strings.Join(names, ", "))
	}
}

// listNamed is the list that the paper names; the shorter where it names both, since
// the longer one is then asked for, and "free" where it names none.
func (s *Reader) listNamed() string {
	named, out := map[string]bool{}, "free"
	for _, t := range s.Texts {
		folded := lexicon.Fold(t)
		for _, e := range s.Words.Each("allergen-list") {
			if !named[e.Key] && lexicon.Holds(folded, e.Word) {
				named[e.Key] = true
			}
		}
	}
	switch {
	case named["2003-list"]:
		out = "2003-list"
	case named["2023-1545"]:
		out = "2023-1545"
	}
	return out
}
