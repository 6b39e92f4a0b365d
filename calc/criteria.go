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
			fs = append(fs, criterionFinding(s, byID[id]))
		}
	}
	return fs
}

func criterionFinding(s *ingredients.Sheet, list []Criterion) ingredients.Finding {
	var texts []string
	f := ingredients.Findingf(ingredients.Ask, "criterion", s.Pos, "the law asks of %s what no paper on file states: ", s.ID).On(s.ID).AskOf(s.Supplier.Name).
		WithFix("ask %s for a statement on %s%s, and enter it as a document of kind purity", supplierName(s), s.Name, codeText(s))
	var sources []string
	of := map[string][]string{}
	for _, c := range list {
		if of[c.Text] == nil {
			texts = append(texts, c.Text)
		}
		of[c.Text] = append(of[c.Text], c.Substance)
		source := c.Row.Source + " (" + c.Row.File + ", row " + c.Row.Key + ")"
		if !slices.Contains(sources, source) {
			sources = append(sources, source)
		}
	}
	if paper := list[0].Paper; paper != "" {
		f.Severity, f.Ask = ingredients.Note, ""
		f.Message = "the law asks of " + s.ID + " what " + paper + " should state: "
		f.Fix = "check that " + paper + " states it"
	}
	for i, text := range texts {
		texts[i] = text + ", for " + joinAnd(of[text])
	}
	f.Message += strings.Join(texts, "; ")
	f.Why = "criteria of the annexes for the raw material, beside its content; " + strings.Join(sources, "; ")
	return f
}

// phFinding compares the measured pH with a criterion of the product.
func (run *limitRun) phFinding(c Criterion) (ingredients.Finding, bool) {
	p := run.in.Product
	pos := p.Pos
	why := c.Row.Source + " (" + c.Row.File + ", row " + c.Row.Key + ")"
	if ph := p.Evidence.PH; ph != nil {
		kept, broken := phKept(c.Row.PH, ph.Range)
		if !ph.Pos.IsZero() {
			pos = ph.Pos
		}
		switch {
		case kept:
			return ingredients.Finding{}, false
		case broken:
			return ingredients.Findingf(ingredients.Stop, "ph-limit", pos, "the pH is %s, with %s it must be: %s", rangeText(ph.Range), c.Substance, c.Text).
				On(p.ID).WithWhy("%s", why).WithFix("adjust the pH and measure it again"), true
		}
		return ingredients.Findingf(ingredients.Ask, "ph-limit", pos, "the pH is %s, with %s it must be: %s", rangeText(ph.Range), c.Substance, c.Text).
			On(p.ID).AskOf("the maker").WithWhy("%s", why).WithFix("narrow the pH range of the specification"), true
	}
	return ingredients.Findingf(ingredients.Ask, "ph-limit", pos, "with %s the product must keep %s, and no pH is entered", c.Substance, c.Text).
		On(p.ID).AskOf("the maker").WithWhy("%s", why).WithFix("measure the pH of the finished product and enter it under specification"), true
}
