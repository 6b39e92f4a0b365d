package filing

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/dossier/edit"
	"gallipot/dossier/transcribe/reading"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// compare puts the values of the paper beside those of its sheet.
func (f *Filing) compare(w *workshop.Workshop, s *ingredients.Sheet) {
	r := f.Reading
	f.identity(s)
	if !(r.Document.Kind == "sds" && isScent(s)) && r.Document.Kind != "certificate-of-analysis" {
		f.composition(s)
	}
	f.allergens(s)
	f.certificate(s)
	f.impurities(s)
	f.physical(s)
	f.document(s)
}

// identity proposes the supplier's name and code. A sheet has no code without the name
// of the one who uses it: where neither the sheet nor the paper names the supplier,
// that is asked, and the code is not written.
func (f *Filing) identity(s *ingredients.Sheet) {
	d := f.Reading.Document
	named := s.Supplier.Name != ""
	if p := d.Supplier; p != nil && p.Ask == "" && (len(p.Rules) == 0 || !named ||
		plainKey(s.Supplier.Name) == plainKey(p.Value)) {
		named = true
		f.add("supplier.name", s.Supplier.Name, p.Value, plainKey(s.Supplier.Name) == plainKey(p.Value),
			p.Printed, p.Place, edit.Set(edit.Path{"supplier", "name"}, edit.Text(p.Value)))
	}
	if d.Code == nil || d.Code.Ask != "" {
		return
	}
	if !named {
		f.Reading.Asks = append(f.Reading.Asks, reading.NewAsk("supplier-unnamed", d.Code.Place,
			map[string]string{"code": d.Code.Value}))
		return
	}
	f.add("supplier.code", s.Supplier.Code, d.Code.Value, plainKey(s.Supplier.Code) == plainKey(d.Code.Value),
		d.Code.Printed, d.Code.Place, edit.Set(edit.Path{"supplier", "code"}, edit.Text(d.Code.Value)))
}

// composition compares constituents, by CAS number or by name.
func (f *Filing) composition(s *ingredients.Sheet) {
	found := map[int]bool{}
	for _, c := range f.Reading.Composition {
		want := amountText(c.Low, c.High, c.LowIn, c.HighIn)
		if c.Ask != "" || want == "" || c.Hidden {
			continue
		}
		at := -1
		for i, k := range s.Composition.Constituents {
			if hasNumber(c.CAS, k.CAS) || k.CAS == "" && plainKey(k.INCI) == plainKey(labelName(c)) ||
				plainKey(k.INCI) == plainKey(labelName(c)) {
				at = i
				break
			}
		}
		field := "composition." + idOf(labelName(c))
		if at >= 0 {
			found[at] = true
			have := s.Composition.Constituents[at].Pct
			f.add(field, have.Text, want, sameAmount(have, want), c.Printed, c.Place,
				edit.Set(edit.Path{"composition", "constituents"}.At(at).Then("pct"), edit.Typed(want)))
			continue
		}
		if labelName(c) == "" {
			continue // its number alone is asked about by the reading
		}
		have := ""
		if len(s.Composition.Constituents) > 0 {
			have = "not listed"
		}
		f.add(field, have, want, false, c.Printed, c.Place,
			edit.Insert(edit.Path{"composition", "constituents"}.Then("-"), constituentValue(c, want)))
	}
	if f.Reading.Document.Kind != "composition" || len(found) == 0 {
		return // the others list what is hazardous, or what they look for
	}
	for i, k := range s.Composition.Constituents {
		if !found[i] && !f.asksOf(k.CAS, k.INCI) {
			f.gone("composition."+idOf(k.INCI), k.Pct.Text, edit.Path{"composition", "constituents"}.At(i))
		}
	}
}

// asksOf says whether the paper has a row of a substance that is asked about: it is
// not missing there.
func (f *Filing) asksOf(cas, name string) bool {
	for _, c := range f.Reading.Composition {
		if hasNumber(c.CAS, cas) || plainKey(labelName(c)) == plainKey(name) {
			return true
		}
	}
	if f.Reading.Allergens != nil {
		for _, a := range f.Reading.Allergens.Rows {
			if hasNumber(a.CAS, cas) || plainKey(a.Name) == plainKey(name) || a.Key == idOf(name) {
				return true
			}
		}
	}
	return false
}

// gone lists what the sheet says and the paper, which should, does not.
func (f *Filing) gone(field, have string, at edit.Path) {
	f.add(field, have, "not listed", false, "", reading.Place{}, edit.Remove(at))
	f.Values[len(f.Values)-1].removes = true
}

func labelName(c reading.Constituent) string {
	if c.INCI != "" {
		return c.INCI
	}
	return c.Name
}

func constituentValue(c reading.Constituent, pct string) edit.Value {
	v := edit.Group().With("inci", edit.Text(labelName(c)))
	if len(c.CAS) > 0 {
		v = v.With("cas", edit.Text(c.CAS[0]))
	}
	return v.With("pct", edit.Typed(pct))
}

func hasNumber(list []string, number string) bool {
	for _, n := range list {
		if n == number && n != "" {
			return true
		}
	}
	return false
}

func (f *Filing) allergens(s *ingredients.Sheet) {
	rows := f.declaredRows()
	if len(rows) == 0 {
		return
	}
	if s.Allergens == nil {
		f.add("allergens", "", count(len(rows), "allergen"), false, "", rows[0].Place,
			edit.Set(edit.Path{"allergens"}, f.declaration(rows)))
		if f.listOpen() || slices.ContainsFunc(rows, undecided) {
			f.Values[len(f.Values)-1].State = Open
		}
		return
	}
	f.sameList(s.Allergens)
	found := map[int]bool{}
	for _, a := range rows {
		at := -1
		for i, d := range s.Allergens.Declared {
			if hasNumber(a.CAS, d.CAS) || plainKey(d.Name) == plainKey(a.Name) || idOf(d.Name) == a.Key {
				at = i
				break
			}
		}
		if at >= 0 {
			found[at] = true
		}
		f.allergen(s, a, at)
	}
	if f.Reading.Document.Kind != "allergen-declaration" {
		return
	}
	for i, d := range s.Allergens.Declared {
		if !found[i] && !f.asksOf(d.CAS, d.Name) {
			f.gone("allergens."+idOf(d.Name), d.Pct.Text, edit.Path{"allergens", "declared"}.At(i))
		}
	}
}

// allergen compares one row with that of the sheet at a place; -1 where it has none. What the
// paper leaves undecided takes no figure's place, and is no absence where the sheet has none.
func (f *Filing) allergen(s *ingredients.Sheet, a reading.Allergen, at int) {
	field := "allergens." + fieldKey(a)
	switch open := undecided(a); {
	case open && at >= 0:
	case open:
		f.add(field, "", cmp.Or(a.Printed, a.Status), false, a.Printed, a.Place,
			edit.Insert(edit.Path{"allergens", "declared"}.Then("-"), allergenValue(a)))
		f.Values[len(f.Values)-1].State = Open
	case at >= 0:
		have, want := s.Allergens.Declared[at].Pct, contentText(a)
		f.add(field, have.Text, want, sameAmount(have, want), a.Printed, a.Place,
			edit.Set(edit.Path{"allergens", "declared"}.At(at).Then("pct"), edit.Typed(want)))
	default:
		f.add(field, "not listed", contentText(a), false, a.Printed, a.Place,
			edit.Insert(edit.Path{"allergens", "declared"}.Then("-"), allergenValue(a)))
	}
}

// sameList compares for which list, and of which day, the sheet and the paper answer.
func (f *Filing) sameList(have *ingredients.AllergenDeclaration) {
	if f.Reading.Document.Kind != "allergen-declaration" {
		return
	}
	if !f.listOpen() && have.List != f.listKey() {
		f.add("allergens.list", have.List, f.listKey(), false, "", reading.Place{},
			edit.Set(edit.Path{"allergens", "list"}, edit.Text(f.listKey())))
	}
	f.dated("allergens", have.Dated)
}

// dated compares the day of a declaration or certificate with that in the sheet.
func (f *Filing) dated(of string, have exact.Date) {
	day, text := f.day(), ""
	if day == "" {
		return
	}
	if have != 0 {
		text = have.String()
	}
	f.add(of+".dated", text, day, text == day, "", f.Reading.Document.Issued.Place,
		edit.Set(edit.Path{of, "dated"}, edit.Typed(day)))
}

// listKey turns the reading's list into that of a sheet.
func (f *Filing) listKey() string {
	if f.Reading.Allergens.List == "2023-1545" {
		return ingredients.List2023
	}
	return ingredients.List2003
}

// listOpen says whether the paper leaves open for which list it answers. An allergen
// of the list that is not declared counts as absent, so that is not guessed.
func (f *Filing) listOpen() bool { return f.Reading.Allergens.List == "free" }

// day is the paper's date where it is a whole and sure one.
func (f *Filing) day() string {
	d := f.Reading.Document.Issued
	if d == nil || d.Ask != "" || len(d.Value) != 10 {
		return ""
	}
	return d.Value
}

func limitText(l reading.Limit) string {
	switch l.Status {
	case "limit":
		return *l.Max
	case "not-permitted":
		return "not permitted"
	case "no-restriction":
		return "no limit"
	}
	return ""
}

func (f *Filing) certificate(s *ingredients.Sheet) {
	cert := f.Reading.IFRA
	if cert == nil || cert.Amendment == nil || f.Reading.Document.Kind == "mail" {
		return
	}
	var sure []reading.Limit
	for _, l := range cert.Rows {
		if l.Ask == "" && limitText(l) != "" {
			sure = append(sure, l)
		}
	}
	if len(sure) == 0 {
		return
	}
	if s.FragranceLimits == nil {
		f.add("fragrance_limits", "", count(len(sure), "limit"), false, "", sure[0].Place,
			edit.Set(edit.Path{"fragrance_limits"}, f.limits(sure)))
		return
	}
	have := s.FragranceLimits
	if have.Amendment != *cert.Amendment {
		f.add("fragrance_limits.amendment", itoa(have.Amendment), itoa(*cert.Amendment), false, "", cert.From,
			edit.Set(edit.Path{"fragrance_limits", "amendment"}, edit.Typed(itoa(*cert.Amendment))))
	}
	f.dated("fragrance_limits", have.Dated)
	for _, l := range sure {
		old := ""
		same := false
		for _, k := range have.Limits {
			if k.Category != l.Category {
				continue
			}
			switch {
			case k.NotPermitted:
				old, same = "not permitted", l.Status == "not-permitted"
			case k.NoLimit:
				old, same = "no limit", l.Status == "no-restriction"
			default:
				old = k.MaxPct.Exact()
				if l.Max != nil {
					n, err := exact.ParseNum(*l.Max)
					same = err == nil && n.Equal(k.MaxPct)
				}
			}
		}
		f.add("fragrance_limits."+l.Category, old, limitText(l), same, l.Printed, l.Place,
			edit.Set(edit.Path{"fragrance_limits", "max_pct", l.Category}, edit.Typed(limitText(l))))
	}
}

func (f *Filing) limits(rows []reading.Limit) edit.Value {
	max := edit.Group()
	for _, l := range rows {
		max = max.With(l.Category, edit.Typed(limitText(l)))
	}
	v := edit.Group().With("amendment", edit.Typed(itoa(*f.Reading.IFRA.Amendment)))
	if d := f.day(); d != "" {
		v = v.With("dated", edit.Typed(d))
	}
	return v.With("max_pct", max)
}

// impurityAmount writes the amount of an impurity as a sheet has it; "" where it
// has no form for it.
func impurityAmount(p reading.Property) string {
	if p.Ask != "" || p.Unit != "%" && p.Unit != "ppm" && p.Unit != "mg/kg" || p.Lot != "" {
		return ""
	}
	switch {
	case p.Value != "" && (p.Op == "<" || p.Op == "<="):
		return p.Op + p.Value + " " + p.Unit
	case p.Value != "" && p.Op == "=":
		return p.Value + " " + p.Unit
	case p.Low != "" && p.High != "":
		return p.Low + "-" + p.High + " " + p.Unit
	}
	return ""
}

func (f *Filing) impurities(s *ingredients.Sheet) {
	for _, p := range f.Reading.Impurities {
		want := impurityAmount(p)
		if want == "" {
			continue
		}
		field, at := "impurities."+idOf(p.Substance), -1
		for i, k := range s.Impurities {
			if k.CAS != "" && k.CAS == p.CAS || plainKey(k.Name) == plainKey(p.Substance) ||
				plainKey(k.Name) == plainKey(p.Name) {
				at = i
			}
		}
		if at >= 0 {
			have := s.Impurities[at].Amount
			f.add(field, have.Text, want, sameAmount(have, want), p.Printed, p.Place,
				edit.Set(edit.Path{"impurities"}.At(at).Then("amount"), edit.Typed(want)))
			continue
		}
		v := edit.Group().With("name", edit.Text(p.Substance))
		if p.CAS != "" {
			v = v.With("cas", edit.Text(p.CAS))
		}
		f.add(field, "", want, false, p.Printed, p.Place,
			edit.Insert(edit.Path{"impurities"}.Then("-"), v.With("amount", edit.Typed(want))))
	}
}

// physical compares the four properties that a sheet has.
func (f *Filing) physical(s *ingredients.Sheet) {
	for _, p := range f.Reading.Physical {
		key, want := physicalKey(p)
		if key == "" || want == "" {
			continue
		}
		have, same := "", false
		num := func(n *exact.Num) {
			if n != nil {
				have = n.Exact()
				x, err := exact.ParseNum(want)
				same = err == nil && x.Equal(*n)
			}
		}
		switch key {
		case "ph":
			if a := s.Physical.PH; a != nil {
				have, same = a.Text, sameAmount(*a, want)
			}
		case "density_g_ml":
			num(s.Physical.DensityGML)
		case "melting_c":
			num(s.Physical.MeltingC)
		case "flash_c":
			num(s.Physical.FlashC)
		}
		f.add("physical."+key, have, want, same, p.Printed, p.Place,
			edit.Set(edit.Path{"physical", key}, edit.Typed(want)))
	}
}

// physicalKey gives the key of a sheet for a property, and its value; a dilution's
// pH and a range of a temperature have none.
func physicalKey(p reading.Property) (key, want string) {
	if p.Ask != "" || p.Lot != "" {
		return "", ""
	}
	single := p.Low != "" && p.Low == p.High
	name, _, _ := strings.Cut(p.Property, " at ")
	switch {
	case name == "pH" && !strings.Contains(p.Name, "%"):
		if p.Low != "" && p.High != "" && !single {
			return "ph", p.Low + "-" + p.High
		}
		if single {
			return "ph", p.Low
		}
	case single && name == "density" && (p.Unit == "g/ml" || p.Unit == "g/cm3"):
		return "density_g_ml", p.Low
	case single && (name == "melting point") && p.Unit == "°C":
		return "melting_c", p.Low
	case single && name == "flash point" && p.Unit == "°C":
		return "flash_c", p.Low
	}
	return "", ""
}

// document enters the paper among those of the sheet.
func (f *Filing) document(s *ingredients.Sheet) {
	for _, d := range s.Documents {
		if f.Filed != "" && d.File == f.Filed {
			return
		}
		if f.Filed == "" && d.File == f.Target {
			f.Target = strings.TrimSuffix(f.Target, ext(f.Target)) + "-" + f.Reading.SHA256[:8] +
				ext(f.Target)
		}
	}
	for _, kind := range f.kinds() {
		f.add("documents."+kind, "", f.Target, false, "", reading.Place{},
			edit.Insert(edit.Path{"documents"}.Then("-"), f.entry(kind)))
	}
}

// kinds are those of the sheet's documents that the paper is: often one paper is both the
// certificate of a fragrance and its allergen declaration. It is the second only where it says
// for which list it answers, or to which amendment it certifies.
func (f *Filing) kinds() []string {
	cert := f.Reading.IFRA
	switch {
	case f.Kind == "certificate" && len(f.declaredRows()) > 0 && !f.listOpen():
		return []string{f.Kind, "allergens"}
	case f.Kind == "allergens" && cert != nil && cert.Amendment != nil && len(cert.Rows) > 0:
		return []string{f.Kind, "certificate"}
	}
	return []string{f.Kind}
}

func ext(s string) string {
	if i := strings.LastIndexByte(s, '.'); i > strings.LastIndexByte(s, '/') {
		return s[i:]
	}
	return ""
}

func (f *Filing) entry(kind string) edit.Value {
	v := edit.Group().With("kind", edit.Text(kind)).With("file", edit.Text(f.Target))
	if d := f.day(); d != "" {
		v = v.With("dated", edit.Typed(d))
	}
	return v.With("sha256", edit.Text(f.Reading.SHA256))
}
