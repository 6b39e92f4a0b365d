package transcribe

import (
	"strconv"

	"gallipot/dossier/transcribe/lexicon"
)

// groups tells rows that are members of a group: part of a row of their own group,
// or members without such a row.
func (s *declarer) groups() {
	if s.out.Allergens == nil {
		return
	}
	rows := s.out.Allergens.Rows
	whole, members := map[string]int{}, map[string][]int{}
	for i, a := range rows {
		switch {
		case a.Key == "":
		case a.member == "":
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
		if a.Key == "" || a.member != "" || a.Status == "not-stated" {
			continue
		}
		if first, ok := seen[a.Key]; ok && (deref(rows[first].High) != deref(a.High) || deref(rows[first].Low) != deref(a.Low)) {
			s.ask("two-rows", a.Place, "name", a.Name, "text", rows[first].Printed+"; "+a.Printed)
			continue
		}
		seen[a.Key] = i
	}
}

// listName says which list the declaration covers.
func (s *declarer) listName() {
	a := s.out.Allergens
	if a == nil {
		return
	}
	old, extended := map[string]bool{}, map[string]bool{}
	for _, r := range a.Rows {
		if r.Key == "" {
			continue
		}
		if s.declared.list[r.Key] == "2003-list" {
			old[r.Key] = true
		} else {
			extended[r.Key] = true
		}
	}
	switch {
	case len(extended) >= 40:
		a.List = "2023-1545"
	case len(old) >= 24:
		a.List = "2003-list"
	default:
		a.List = s.listNamed()
	}
	if len(a.Rows) > 0 && a.List != "2023-1545" {
		s.warn("list-differs", Place{}, "text", strconv.Itoa(len(old)+len(extended))+" of the listed names")
	}
}

// listNamed is the list that the paper names; the shorter where it names both, since
// the longer one is then asked for, and "free" where it names none.
func (s *declarer) listNamed() string {
	named, out := map[string]bool{}, "free"
	for _, t := range s.text {
		folded := lexicon.Fold(t)
		for _, e := range s.words.Each("allergen-list") {
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
