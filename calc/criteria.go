package calc

import (
	"regexp"
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// Criterion is something a limit row asks of a raw material, or of the product,
// besides its content: purity, peroxide value, nitrosamine, pH.
type Criterion struct {
	Ingredient string // sheet id; "" for the finished product
	Supplier   string
	Substance  string
	Text       string // in words
	Row        *law.Limit
	Paper      string // a paper on file that may answer it; "" where there is none
}

// Criteria lists what the rows that hold, or may hold, for a product ask of its
// raw materials and of the product, in the order of the table.
//
// Source: the criteria column ("spec") of limits.csv.
func Criteria(in *Input, comps []*Composition) []Criterion {
	run := newLimitRun(in, comps)
	return run.criteria(run.checks(in.Date))
}

func (run *limitRun) criteria(checks []LimitCheck) []Criterion {
	var out []Criterion
	add := func(c Criterion) {
		if !slices.ContainsFunc(out, func(o Criterion) bool {
			return o.Ingredient == c.Ingredient && o.Substance == c.Substance && o.Text == c.Text
		}) {
			out = append(out, c)
		}
	}
	for _, c := range checks {
		if c.Verdict == LimitNotApplicable || c.Row.Prohibited() {
			continue
		}
		for _, u := range c.shape.uses {
			if u.match(c.Row) == nil || u.isTrace() {
				continue
			}
			if ph := c.Row.PH; ph != nil {
				add(Criterion{Substance: u.name(), Text: phWords(ph), Row: c.Row})
			}
			for _, spec := range run.specOf(c, u) {
				for _, id := range sortedMaterials(u.s) {
					k := Criterion{Ingredient: id, Substance: u.name(), Text: specWords(spec), Row: c.Row}
					if s := run.in.Sheets[id]; s != nil {
						k.Supplier, k.Paper = supplierName(s), criterionPaper(s, run.in.Date)
					}
					add(k)
				}
			}
		}
	}
	return out
}

// specOf returns the criteria of a row that concern a use: those for the nano
// form only where it is nano. A row that leaves the nano form out, or is for it
// alone, asks that a material said not to be nano is not; a row whose limit
// counts a residue asks for that residue.
func (run *limitRun) specOf(c LimitCheck, u *limitUse) []string {
	var spec []string
	if !c.Row.SpecForNano || u.s.Nano {
		spec = slices.Clone(c.Row.Spec)
	}
	if c.Row.Condition.Mentions("nano") && !u.s.Nano {
		spec = append(spec, "not a nanomaterial, by a statement of particle sizes")
	}
	if c.shape.kind == checkResidue && c.Verdict == LimitUndecided && len(c.Row.Spec) > 0 {
		spec = append(spec, "the content that the limit of "+c.LimitPct.Exact()+" % counts: "+c.Row.Basis.Text)
	}
	return spec
}

// sortedMaterials names the raw materials that bring a substance in other than
// as a trace, in the order of the formula.
func sortedMaterials(s *Substance) []string {
	var ids []string
	for _, k := range s.Contributions {
		if k.Route != ByImpurity && !slices.Contains(ids, k.Ingredient) {
			ids = append(ids, k.Ingredient)
		}
	}
	return ids
}

// criterionPaper names a paper on file that states purity: it may answer.
func criterionPaper(s *ingredients.Sheet, day ingredients.Date) string {
	for _, kind := range []string{"purity", "specification", "coa"} {
		for _, d := range s.Documents {
			if d.Kind == kind && d.File != "" && d.ThereOn(day) {
				return d.File
			}
		}
	}
	return ""
}

var (
	specForm = regexp.MustCompile(`^([^<>=]+?)(<=|>=|<|>)(\d.*)$`)
	unitTail = regexp.MustCompile(`_(pct|ppm|ppb|ug_kg|mmol_l|mg_l|ng_l|nm|kDa|m2_cm3)(?:[_ ]|$)`)
)

// specUnits are the units at the end of a criterion's name.
var specUnits = map[string]string{
	"pct": "%", "ppm": "ppm", "ppb": "ppb", "ug_kg": "µg/kg", "mmol_l": "mmol/L", "mg_l": "mg/L", "ng_l": "ng/L", "nm": "nm", "kDa": "kDa", "m2_cm3": "m²/cm³",
}

// specNames complete names that the table shortens.
var specNames = map[string]string{
	"peroxide": "peroxide value", "secondary_amine_raw": "secondary amine in the raw material", "purity": "purity", "nitrosamine": "nitrosamine content",
}

var specSigns = map[string]string{"<=": "at most", ">=": "at least", "<": "below", ">": "above"}

// specWords turns a criterion such as "peroxide_mmol_l<10 (of the substance)"
// into words: "peroxide below 10 mmol/L (of the substance)".
func specWords(spec string) string {
	m := specForm.FindStringSubmatch(spec)
	if m == nil {
		return strings.ReplaceAll(spec, "_", " ")
	}
	name, unit := m[1], ""
	if u := unitTail.FindStringSubmatchIndex(name); u != nil {
		unit = " " + specUnits[name[u[2]:u[3]]]
		name = name[:u[0]] + name[u[3]:]
	}
	figure, rest, more := strings.Cut(m[3], " ")
	if full := specNames[name]; full != "" {
		name = full
	}
	text := strings.ReplaceAll(name, "_", " ") + " " + specSigns[m[2]] + " " + figure + unit
	if more {
		text += " " + rest
	}
	return text
}

func phWords(ph *law.PHBand) string {
	switch {
	case ph.Min != nil && ph.Max != nil:
		return "pH from " + ph.Min.Exact() + " to " + ph.Max.Exact()
	case ph.Max != nil && ph.MaxOpen:
		return "pH below " + ph.Max.Exact()
	case ph.Max != nil:
		return "pH at most " + ph.Max.Exact()
	case ph.MinOpen:
		return "pH above " + ph.Min.Exact()
	}
	return "pH at least " + ph.Min.Exact()
}

// phKept says whether a measured pH keeps a criterion; both are false where it
// does in part of its range only.
func phKept(band *law.PHBand, ph ingredients.Range) (kept, broken bool) {
	tooHigh := func(n ingredients.Num) bool {
		return band.Max != nil && (band.Max.Less(n) || band.MaxOpen && !n.Less(*band.Max))
	}
	tooLow := func(n ingredients.Num) bool {
		return band.Min != nil && (n.Less(*band.Min) || band.MinOpen && !band.Min.Less(n))
	}
	return !tooHigh(ph.Max) && !tooLow(ph.Min), tooHigh(ph.Min) || tooLow(ph.Max)
}

// criteriaFindings asks each supplier once for all criteria of a material, and
// compares the product's pH.
func (run *limitRun) criteriaFindings(checks []LimitCheck) []ingredients.Finding {
	var fs []ingredients.Finding
	var ids []string
	byID := map[string][]Criterion{}
	for _, c := range run.criteria(checks) {
		if c.Ingredient == "" {
			if f, ok := run.phFinding(c); ok {
				fs = append(fs, f)
			}
			continue
		}
		if byID[c.Ingredient] == nil {
			ids = append(ids, c.Ingredient)
		}
		byID[c.Ingredient] = append(byID[c.Ingredient], c)
	}
	for _, id := range ids {
		if s := run.in.Sheets[id]; s != nil {
			fs = append(fs, criterionFinding(run.in, s, byID[id]))
		}
	}
	return fs
}

func criterionFinding(in *Input, s *ingredients.Sheet, list []Criterion) ingredients.Finding {
	var order []string
	of := map[string][]string{}
	var sources ingredients.Values
	for _, c := range list {
		if of[c.Text] == nil {
			order = append(order, c.Text)
		}
		of[c.Text] = append(of[c.Text], c.Substance)
		for _, row := range rowSource(c.Row.Source, c.Row.File, c.Row.Key, c.Row.FromMemory()) {
			if !hasValue(sources, row) {
				sources = append(sources, row)
			}
		}
	}
	var criteria ingredients.Values
	for _, text := range order {
		criteria = criteria.Term("", "criterion", with().Quote("criterion", text).Names("substances", of[text]))
	}
	v := with().Those("criteria", criteria).Name("code", s.Supplier.Code).Name("document", list[0].Paper).Source("law", sources)
	f := in.onMaterial(ingredients.NewFinding(ingredients.Ask, "criterion", s.Pos, v), s.ID).
		By(s.Asked()).At(s.Pos.File, "documents", with().Name("kind", "purity"))
	if list[0].Paper != "" {
		f.Severity = ingredients.Note
		return f.As("on-file").By(ingredients.TheMaker)
	}
	return f
}

// phFinding compares the measured pH with a criterion of the product.
func (run *limitRun) phFinding(c Criterion) (ingredients.Finding, bool) {
	p := run.in.Product
	say := func(sev ingredients.Severity, form string, pos ingredients.Pos, v ingredients.Values) (ingredients.Finding, bool) {
		v = v.Name("substance", c.Substance).Quote("criterion", c.Text).Source("law", rowSource(c.Row.Source, c.Row.File, c.Row.Key, c.Row.FromMemory()))
		return run.in.onProduct(ingredients.NewFinding(sev, "ph-limit", pos, v)).As(form).By(ingredients.TheMaker).
			At(p.Pos.File, "specification.ph", nil), true
	}
	ph := p.Evidence.PH
	if ph == nil {
		return say(ingredients.Ask, "missing", p.Pos, with())
	}
	kept, broken := phKept(c.Row.PH, ph.Range)
	pos := p.Pos
	if !ph.Pos.IsZero() {
		pos = ph.Pos
	}
	v := with().Range("ph", ph.Range, "", ingredients.FourDigits)
	switch {
	case kept:
		return ingredients.Finding{}, false
	case broken:
		return say(ingredients.Stop, "broken", pos, v)
	}
	return say(ingredients.Ask, "partly", pos, v)
}

func hasValue(list ingredients.Values, x ingredients.Value) bool {
	key := ingredients.Values{x}.Key()
	return slices.ContainsFunc(list, func(y ingredients.Value) bool { return ingredients.Values{y}.Key() == key })
}
