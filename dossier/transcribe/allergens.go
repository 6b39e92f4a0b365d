package transcribe

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
)

// allergenTable reads an allergen declaration.
func (s *reading) allergenTable(t *cells.Table) {
	if s.out.Allergens == nil {
		s.out.Allergens = &Allergens{Rows: []Allergen{}}
	}
	numbered := map[int]bool{}
	for i, c := range t.Columns {
		if (c.Role == "name" || c.Role == "inci") && !t.Has("number") && rowNumbers(t, i) {
			numbered[i] = true
		}
	}
	value := s.contentColumn(t)
	for _, row := range t.Rows {
		var c Constituent
		c.Place = s.place(row.Place, row.Cells[0])
		s.identity(t, row, &c, numbered)
		if s.isTotal(c.Name) {
			continue
		}
		if c.Name == "" && len(c.CAS) == 0 || value < 0 {
			s.pass(row.Place, row.Text())
			continue
		}
		cell := row.Cells[value]
		raw := strings.TrimSpace(cell.Text)
		if raw == "" && len(c.CAS) == 0 {
			if _, ok, _ := s.declared.find(c.Name, nil); !ok {
				s.pass(row.Place, row.Text())
				continue
			}
		}
		unit, rule := s.columnUnit(t.Columns[value])
		f, ok := s.cellFigure(cell, unit)
		at := s.place(row.Place, cell)
		if !ok {
			s.ask("not-read", at, "name", c.Name, "text", printed(raw))
			f = figure.Figure{Printed: printed(raw), Status: figure.Ask}
		}
		if rule != "" && f.Low != "" && f.Unit.Name == unit.Name {
			f.Rules = append(f.Rules, rule)
		}
		row2 := s.allergen(c.Name, c.CAS, f, at)
		if t.Columns[value].Role == "finished" {
			row2.Ask, row2.Status, row2.Low, row2.High = "no-unit", "ask", nil, nil
		}
		s.doubt(row.Place, &row2.How)
		s.out.Allergens.Rows = append(s.out.Allergens.Rows, row2)
	}
}

// contentColumn finds the column that holds the content in the material.
func (s *reading) contentColumn(t *cells.Table) int {
	best := -1
	for i, c := range t.Columns {
		switch c.Role {
		case "content", "result", "typical", "limit", "spec":
			if u, ok := s.fig.UnitIn(c.Head); best < 0 || ok && u.Divisor == 1 && t.Columns[best].Role != "content" {
				best = i
			}
		}
	}
	for _, role := range []string{"high", "low", "finished"} {
		if best < 0 {
			best = t.Index(role)
		}
	}
	return best
}

// allergen makes a row of the declaration from a printed name and its figure.
func (s *reading) allergen(name string, cas []string, f figure.Figure, at Place) Allergen {
	a := Allergen{Name: name, CAS: cas, Printed: f.Printed, Place: at, LowIn: true, HighIn: true}
	if a.CAS == nil {
		a.CAS = []string{}
	}
	what, known, clash := s.declared.find(name, cas)
	if known {
		a.Key, a.member, a.Banned = what.Key, what.Member, s.declared.banned[what.Key]
	} else {
		s.ask("unknown-allergen", at, "name", name)
	}
	sh := s.share(f, name, at)
	a.Low, a.High, a.LowIn, a.HighIn = sh.low, sh.high, sh.lowIn, sh.highIn
	a.Rules, a.Ask = sh.how.Rules, sh.how.Ask
	if a.Name == "" && known {
		a.Rules = append(a.Rules, "by-number")
	}
	s.allergenStatus(&a, f, sh)
	if clash {
		a.Ask = "name-number"
		s.ask("name-number", at, "name", name, "text", strings.Join(cas, ", "))
	}
	if a.Ask != "" && a.Ask != "trace" {
		a.Status = "ask"
	}
	if known && s.declared.banned[a.Key] && a.High != nil && (a.Status == "value" || a.Status == "range" || a.Status == "trace") {
		s.ask("banned", at, "name", name, "text", f.Printed)
	}
	return a
}

// allergenStatus sets status and bounds that rest on what a word means.
func (s *reading) allergenStatus(a *Allergen, f figure.Figure, sh shared) {
	zero := "0"
	switch f.Status {
	case figure.NotDetected, figure.Absent:
		a.Status, a.LowIn, a.HighIn = "not-detected", true, sh.highIn
		a.Low = &zero
		if a.High == nil && s.detect != "" {
			limit := s.detect
			a.High, a.HighIn = &limit, true
		}
		if a.High == nil {
			if s.detectSaid {
				a.Ask = "not-detected"
			}
			s.ask("not-detected", a.Place, "name", a.Name)
		}
	case figure.Trace:
		a.Status, a.Low, a.LowIn = "trace", &zero, true
		if a.High == nil {
			s.ask("trace", a.Place, "name", a.Name)
		}
	case figure.Zero:
		a.Status, a.Low, a.LowIn, a.HighIn = "printed-zero", &zero, true, false
		if a.Ask != "" {
			return
		}
		if s.zero != "" {
			limit := s.zero
			a.High = &limit
			return
		}
		half, ok := figure.Percent(halfDigit(f.High), f.Unit)
		if !ok {
			a.Ask = "zero"
			return
		}
		a.High = &half
		a.Rules = append(a.Rules, "zero-half-digit")
		if !strings.Contains(f.High, ".") {
			a.Ask = "zero"
		}
		if a.Ask != "" {
			s.ask("zero", a.Place, "name", a.Name)
		}
	case figure.NotStated:
		a.Status, a.Low, a.High = "not-stated", nil, nil
	case figure.Below:
		a.Status = "below"
	case figure.Range, figure.Above:
		a.Status = "range"
	case figure.Value:
		a.Status = "value"
		if f.About {
			a.Ask = "no-figure"
			s.ask("no-figure", a.Place, "name", a.Name, "text", f.Printed)
		}
	default:
		a.Status, a.Ask = "ask", "no-figure"
		s.ask("no-figure", a.Place, "name", a.Name, "text", f.Printed)
	}
}

// halfDigit is half a unit of the last digit of a printed nought: 0.00 → 0.005.
func halfDigit(zero string) string {
	_, after, ok := strings.Cut(zero, ".")
	if !ok {
		return "0.5"
	}
	return "0." + strings.Repeat("0", len(after)) + "5"
}

// groups tells rows that are members of a group: part of a row of their own group,
// or members without such a row.
func (s *reading) groups() {
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
func (s *reading) listName() {
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
		s.warn("list-differs", Place{}, "text", itoa(len(old)+len(extended))+" of the listed names")
	}
}

// listNamed is the list that the paper names; the shorter where it names both, since
// the longer one is then asked for, and "free" where it names none.
func (s *reading) listNamed() string {
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
