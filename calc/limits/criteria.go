package limits

import (
	"regexp"
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// criterion is something a limit row asks of a raw material, or of the product,
// besides its content: purity, peroxide value, nitrosamine, pH.
type criterion struct {
	Ingredient string // sheet id; "" for the finished product
	Supplier   string
	Substance  string
	Text       string // in words
	Row        *table.Limit
	Paper      string // a paper on file that may answer it; "" where there is none
}

// Criteria lists what the rows that hold, or may hold, for a product ask of its
// raw materials and of the product, in the order of the table.
//
// Source: the criteria column ("spec") of limits.csv.
func Criteria(in *formula.Input, comps []*formula.Composition) []criterion {
	run := NewRun(in, comps)
	return run.criteria(run.Checks(in.Date))
}

func (run *Run) criteria(checks []LimitCheck) []criterion {
	var out []criterion
	add := func(c criterion) {
		if !slices.ContainsFunc(out, func(o criterion) bool {
			return o.Ingredient == c.Ingredient && o.Substance == c.Substance && o.Text == c.Text
		}) {
			out = append(out, c)
		}
	}
	for _, c := range checks {
		if c.Verdict == LimitNotApplicable || c.Row.Prohibited() {
			continue
		}
		for _, u := range c.Shape.Uses {
			if u.match(c.Row) == nil || u.isTrace() {
				continue
			}
			for _, spec := range run.specOf(c, u) {
				if phForm.MatchString(spec) {
					add(criterion{Substance: u.name(), Text: phWords(spec), Row: c.Row})
					continue
				}
				for _, id := range SortedMaterials(u.S) {
					k := criterion{Ingredient: id, Substance: u.name(), Text: specWords(spec), Row: c.Row}
					if s := run.In.Sheets[id]; s != nil {
						k.Supplier, k.Paper = formula.SupplierName(s), criterionPaper(s, run.In.Date)
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
func (run *Run) specOf(c LimitCheck, u *LimitUse) []string {
	var spec []string
	if !strings.Contains(c.Row.Note, "spec nano:") || u.S.Nano {
		spec = slices.Clone(c.Row.Spec)
	}
	if c.Row.Condition.Mentions("nano") && !u.S.Nano {
		spec = append(spec, "not a nanomaterial, by a statement of particle sizes")
	}
	if c.Shape.Kind == checkResidue && c.Verdict == LimitUndecided && len(c.Row.Spec) > 0 {
		spec = append(spec, "the content that the limit of "+c.LimitPct.Exact()+" % counts: "+c.Row.Basis.Text)
	}
	return spec
}

// SortedMaterials names the raw materials that bring a substance in other than
// as a trace, in the order of the formula.
func SortedMaterials(s *formula.Substance) []string {
	var ids []string
	for _, k := range s.Contributions {
		if k.Route != formula.ByImpurity && !slices.Contains(ids, k.Ingredient) {
			ids = append(ids, k.Ingredient)
		}
	}
	return ids
}

// criterionPaper names a paper on file that states purity: it may answer.
func criterionPaper(s *ingredients.Sheet, day exact.Date) string {
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
	text := strings.ReplaceAll(name, "_", " ") + " " + formula.SpecSigns[m[2]] + " " + figure + unit
	if more {
		text += " " + rest
	}
	return text
}

// phForm reads "ph<11", "ph<=12.7", "ph>6" and "ph 7-9.5".
var phForm = regexp.MustCompile(`^ph ?(<=|<|>|>=)?(\d+(?:\.\d+)?)(?:-(\d+(?:\.\d+)?))?$`)

func phWords(spec string) string {
	m := phForm.FindStringSubmatch(spec)
	switch {
	case m == nil:
		return spec
	case m[3] != "":
		return "pH from " + m[2] + " to " + m[3]
	}
	return "pH " + formula.SpecSigns[m[1]] + " " + m[2]
}

// phKept says whether a measured pH keeps a criterion; both are false where it
// does in part of its range only, or where the criterion cannot be read.
func phKept(words string, ph exact.Range) (kept, broken bool) {
	var low, high *exact.Num
	var openLow, openHigh bool
	number := func(s string) *exact.Num {
		n, err := exact.ParseNum(s)
		if err != nil {
			return nil
		}
		return &n
	}
	f := strings.Fields(strings.TrimPrefix(words, "pH "))
	switch {
	case len(f) == 4 && f[0] == "from":
		low, high = number(f[1]), number(f[3])
	case len(f) == 3 && f[0] == "at" && f[1] == "most":
		high = number(f[2])
	case len(f) == 3 && f[0] == "at" && f[1] == "least":
		low = number(f[2])
	case len(f) == 2 && f[0] == "below":
		high, openHigh = number(f[1]), true
	case len(f) == 2 && f[0] == "above":
		low, openLow = number(f[1]), true
	default:
		return false, false
	}
	tooHigh := func(n exact.Num) bool { return high != nil && (high.Less(n) || openHigh && !n.Less(*high)) }
	tooLow := func(n exact.Num) bool { return low != nil && (n.Less(*low) || openLow && !low.Less(n)) }
	return !tooHigh(ph.Max) && !tooLow(ph.Min), tooHigh(ph.Min) || tooLow(ph.Max)
}

// criteriaFindings asks each supplier once for all criteria of a material, and
// compares the product's pH.
func (run *Run) criteriaFindings(checks []LimitCheck) []finding.Finding {
	var fs []finding.Finding
	var ids []string
	byID := map[string][]criterion{}
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
		if s := run.In.Sheets[id]; s != nil {
			fs = append(fs, criterionFinding(s, byID[id]))
		}
	}
	return fs
}

func criterionFinding(s *ingredients.Sheet, list []criterion) finding.Finding {
	var texts []string
	f := finding.Findingf(finding.Ask, "criterion", s.Pos, "the law asks of %s what no paper on file states: ", s.ID).On(s.ID).AskOf(s.Supplier.Name).
		WithFix("ask %s for a statement on %s%s, and enter it as a document of kind purity", formula.SupplierName(s), s.Name, formula.CodeText(s))
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
		f.Severity, f.Ask = finding.Note, ""
		f.Message = "the law asks of " + s.ID + " what " + paper + " should state: "
		f.Fix = "check that " + paper + " states it"
	}
	for i, text := range texts {
		texts[i] = text + ", for " + formula.JoinAnd(of[text])
	}
	f.Message += strings.Join(texts, "; ")
	f.Why = "criteria of the annexes for the raw material, beside its content; " + strings.Join(sources, "; ")
	return f
}

// phFinding compares the measured pH with a criterion of the product.
func (run *Run) phFinding(c criterion) (finding.Finding, bool) {
	p := run.In.Product
	pos := p.Pos
	why := c.Row.Source + " (" + c.Row.File + ", row " + c.Row.Key + ")"
	if ph := p.Evidence.PH; ph != nil {
		kept, broken := phKept(c.Text, ph.Range)
		if !ph.Pos.IsZero() {
			pos = ph.Pos
		}
		switch {
		case kept:
			return finding.Finding{}, false
		case broken:
			return finding.Findingf(finding.Stop, "ph-limit", pos, "the pH is %s, with %s it must be: %s", formula.RangeText(ph.Range), c.Substance, c.Text).
				On(p.ID).WithWhy("%s", why).WithFix("adjust the pH and measure it again"), true
		}
		return finding.Findingf(finding.Ask, "ph-limit", pos, "the pH is %s, with %s it must be: %s", formula.RangeText(ph.Range), c.Substance, c.Text).
			On(p.ID).AskOf("the maker").WithWhy("%s", why).WithFix("narrow the pH range of the specification"), true
	}
	return finding.Findingf(finding.Ask, "ph-limit", pos, "with %s the product must keep %s, and no pH is entered", c.Substance, c.Text).
		On(p.ID).AskOf("the maker").WithWhy("%s", why).WithFix("measure the pH of the finished product and enter it under specification"), true
}
