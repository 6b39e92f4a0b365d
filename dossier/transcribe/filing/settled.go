package filing

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"gallipot/dossier/transcribe/phrases"
	"gallipot/dossier/transcribe/reading"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/pattern"
)

// Answer is what a person says to an item: refused, or the value that holds.
type Answer struct {
	Refused bool   `json:"refused,omitempty"`
	Value   string `json:"value,omitempty"`
}

// Settled returns the reading as it was answered: what was refused is gone, what was
// confirmed or corrected is decided. Items without an answer stay as they were read.
//
// Errors: a *exact.ValueError for a value that a sheet could not have.
func Settled(r *reading.Reading, items []Item, answers map[string]Answer) (*reading.Reading, error) {
	s := &settling{r: r.Clone(), refused: map[Part]map[int]bool{}}
	for _, x := range items {
		a, ok := answers[x.Key]
		if !ok || x.Part == OfSheet {
			continue
		}
		if err := s.answer(x, a); err != nil {
			return nil, err
		}
	}
	s.drop()
	return s.r, nil
}

// Taken are the fields that the answers say to take though the sheet has another value.
func Taken(items []Item, answers map[string]Answer) []string {
	var take []string
	for _, x := range items {
		if a, ok := answers[x.Key]; ok && !a.Refused {
			take = append(take, x.Field)
		}
	}
	if slices.ContainsFunc(take, func(s string) bool { return strings.HasPrefix(s, "allergens.") }) {
		take = append(take, "allergens") // the declaration as a whole, where the sheet has none
	}
	return take
}

type settling struct {
	r       *reading.Reading
	refused map[Part]map[int]bool
}

func (s *settling) answer(x Item, a Answer) error {
	_, last, _ := strings.Cut(x.Key, "/")
	i, err := strconv.Atoi(last)
	if err != nil {
		return s.fact(x, last, a)
	}
	if a.Refused {
		if s.refused[x.Part] == nil {
			s.refused[x.Part] = map[int]bool{}
		}
		s.refused[x.Part][i] = true
		return nil
	}
	printed := x.Printed
	if a.Value != x.Value {
		printed = strings.TrimSpace(printed + " (corrected)")
	} else if x.Ask == "" {
		return nil
	}
	switch x.Part {
	case OfComposition:
		c := &s.r.Composition[i]
		c.Ask, c.Printed, c.Status = "", printed, ""
		c.Low, c.High, c.LowIn, c.HighIn, err = bounds(a.Value)
		if rest(a.Value) {
			c.Status, c.Low, c.High, err = "qs", nil, nil, nil
		}
	case OfAllergens:
		c := &s.r.Allergens.Rows[i]
		c.Ask, c.Printed, c.Status = "", printed, "value"
		c.Low, c.High, c.LowIn, c.HighIn, err = bounds(a.Value)
	case OfCertificate:
		err = settleLimit(&s.r.IFRA.Rows[i], a.Value, printed)
	case OfImpurities:
		err = settleImpurity(&s.r.Impurities[i], a.Value, printed)
	case OfPhysical:
		err = settlePhysical(&s.r.Physical[i], a.Value, printed)
	}
	return err
}

// drop takes out what was refused, from behind, so that no place moves.
func (s *settling) drop() {
	s.r.Composition = without(s.r.Composition, s.refused[OfComposition])
	s.r.Impurities = without(s.r.Impurities, s.refused[OfImpurities])
	s.r.Physical = without(s.r.Physical, s.refused[OfPhysical])
	if s.r.Allergens != nil {
		s.r.Allergens.Rows = without(s.r.Allergens.Rows, s.refused[OfAllergens])
	}
	if s.r.IFRA != nil {
		s.r.IFRA.Rows = without(s.r.IFRA.Rows, s.refused[OfCertificate])
	}
}

func without[T any](list []T, gone map[int]bool) []T {
	kept := []T{}
	for i, x := range list {
		if !gone[i] {
			kept = append(kept, x)
		}
	}
	return kept
}

// fact settles what the paper says of itself, the list of a declaration and the amendment
// of a certificate.
func (s *settling) fact(x Item, name string, a Answer) error {
	d := &s.r.Document
	set := func(to **reading.Fact) {
		if a.Refused {
			*to = nil
			return
		}
		*to = &reading.Fact{Printed: cmp.Or(x.Printed, a.Value), Value: a.Value, Place: x.Place}
	}
	switch x.Part {
	case OfAllergens:
		switch {
		case a.Refused:
			s.r.Allergens.List = "free"
		case a.Value == ingredients.List2023:
			s.r.Allergens.List = "2023-1545"
		case a.Value == ingredients.List2003:
			s.r.Allergens.List = "2003-list"
		default:
			return refused("list-unknown", a.Value)
		}
		return nil
	case OfCertificate:
		if a.Refused {
			s.r.IFRA = nil
			return nil
		}
		n, err := strconv.Atoi(a.Value)
		if err != nil || n <= 0 {
			return refused("amendment-unknown", a.Value)
		}
		s.r.IFRA.Amendment = &n
		return nil
	}
	switch name {
	case "name":
		set(&d.TradeName)
		if a.Refused || idOf(a.Value) == "" {
			return refused("name-needed", "")
		}
	case "supplier":
		set(&d.Supplier)
	case "code":
		set(&d.Code)
	case "dated":
		set(&d.Issued)
		if !a.Refused {
			_, err := exact.ParseDate(a.Value)
			return err
		}
	}
	return nil
}

func rest(text string) bool {
	a, err := exact.ParseAmount(text)
	return err == nil && a.Rest
}

// bounds reads a content as a person types it.
func bounds(text string) (low, high *string, lowIn, highIn bool, err error) {
	a, err := exact.ParseAmount(text)
	if err != nil {
		return nil, nil, false, false, err
	}
	if a.Rest {
		return nil, nil, false, false, refused("qs-content", "")
	}
	l, h := a.Min.Exact(), a.Max.Exact()
	plain := strings.NewReplacer("<=", "", ">=", "", "≤", "", "≥", "").Replace(text)
	return &l, &h, !strings.Contains(plain, ">"), !strings.Contains(plain, "<"), nil
}

func settleLimit(l *reading.Limit, typed, printed string) error {
	l.Ask, l.Printed, l.Max = "", printed, nil
	switch typed {
	case "not permitted":
		l.Status = "not-permitted"
	case "no limit":
		l.Status = "no-restriction"
	default:
		n, err := exact.ParseNum(strings.TrimSpace(strings.TrimSuffix(typed, "%")))
		if err != nil {
			return refused("limit-unknown", typed)
		}
		text := n.Exact()
		l.Status, l.Max = "limit", &text
	}
	return nil
}

var impurityForm = pattern.New(`^(<=|<)?\s*([0-9]+(?:\.[0-9]+)?)(?:\s*-\s*([0-9]+(?:\.[0-9]+)?))?\s*(%|ppm|mg/kg)$`)

func settleImpurity(p *reading.Property, typed, printed string) error {
	m := impurityForm.FindStringSubmatch(typed)
	if m == nil || m[1] != "" && m[3] != "" {
		return refused("impurity-unknown", typed)
	}
	p.Ask, p.Printed, p.Op, p.Value, p.Low, p.High, p.Unit = "", printed, cmp.Or(m[1], "="), m[2], "", "", m[4]
	if m[3] != "" {
		p.Op, p.Value, p.Low, p.High = "", "", m[2], m[3]
	}
	return nil
}

func settlePhysical(p *reading.Property, typed, printed string) error {
	low, high := typed, typed
	if name, _, _ := strings.Cut(p.Property, " at "); name == "pH" {
		if l, h, ok := strings.Cut(typed, "-"); ok {
			low, high = strings.TrimSpace(l), strings.TrimSpace(h)
		}
	}
	for _, s := range []string{low, high} {
		if _, err := exact.ParseNum(s); err != nil {
			return err
		}
	}
	p.Ask, p.Printed, p.Low, p.High = "", printed, low, high
	return nil
}

// refused is an error about a value that was typed, in the words of its code.
func refused(code, typed string) error {
	return &exact.ValueError{What: phrases.Told().Say(code, "text", typed), Fix: phrases.Told()[code].Fix}
}
