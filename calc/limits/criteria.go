package limits

import (
	"slices"
	"strconv"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law/annex"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/pattern"
)

// criterion is something a limit row asks of a raw material, or of the product,
// besides its content: purity, peroxide value, nitrosamine, pH.
type criterion struct {
	Ingredient string // sheet id; "" for the finished product
	Supplier   string
	Substance  string
	Text       string // in words
	Row        *annex.Limit
	Paper      string // a paper on file that may answer it; "" where there is none
}

// Criteria lists what the rows that hold, or may hold, for a product ask of its
// raw materials and of the product, in the order of the table.
//
// Source: the criteria column ("spec") of limits.csv.
func Criteria(in *formula.Input, comps []*formula.Composition) []criterion {
	run := newRun(in, comps)
	return run.criteria(run.Checks(in.Date))
}

func (run *Run) criteria(checks []LimitCheck) []criterion {
	out := make([]criterion, 0, madeAtOnce)
	var room [8]string
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
			if u.match(c.Row) == nil || u.IsTrace() {
				continue
			}
			if ph := c.Row.PH; ph != nil {
				add(criterion{Substance: u.Name(), Text: ph.Words(), Row: c.Row})
			}
			specs := run.specOf(c, u)
			if len(specs) == 0 {
				continue
			}
			ids := appendMaterials(room[:0], u.S)
			for _, spec := range specs {
				text := specOnce(run.In.Session, spec)
				for _, id := range ids {
					k := criterion{Ingredient: id, Substance: u.Name(), Text: text, Row: c.Row}
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
	if !c.Row.SpecForNano || u.S.Nano {
		spec = slices.Clip(c.Row.Spec)
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
func SortedMaterials(s *formula.Substance) []string { return appendMaterials(nil, s) }

func appendMaterials(ids []string, s *formula.Substance) []string {
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
	specForm = pattern.New(`^([^<>=]+?)(<=|>=|<|>)(\d.*)$`)
	unitTail = pattern.New(`_(pct|ppm|ppb|ug_kg|mmol_l|mg_l|ng_l|nm|kDa|m2_cm3)(?:[_ ]|$)`)
)

// specUnits are the units at the end of a criterion's name.
var specUnits = map[string]string{
	"pct": "%", "ppm": "ppm", "ppb": "ppb", "ug_kg": "µg/kg", "mmol_l": "mmol/L", "mg_l": "mg/L",
	"ng_l": "ng/L", "nm": "nm", "kDa": "kDa", "m2_cm3": "m²/cm³",
}

// specNames complete names that the table shortens.
var specNames = map[string]string{
	"peroxide": "peroxide value", "secondary_amine_raw": "secondary amine in the raw material",
	"purity": "purity", "nitrosamine": "nitrosamine content",
}

// specMemory keeps the criteria of the table in words.
type specMemory struct{ formula.Memo[string, string] }

func specOnce(s *formula.Session, spec string) string {
	return formula.MemoryOf[specMemory](s).Of(spec, func() string { return specWords(spec) })
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

// criteriaFindings asks each supplier once for all criteria of a material, and
// compares the product's pH.
func (run *Run) criteriaFindings(checks []LimitCheck) []finding.Finding {
	var fs []finding.Finding
	var room [16]string
	ids := room[:0]
	all := run.criteria(checks)
	for _, c := range all {
		if c.Ingredient == "" {
			if f, ok := run.phFinding(c); ok {
				fs = append(fs, f)
			}
			continue
		}
		if !slices.Contains(ids, c.Ingredient) {
			ids = append(ids, c.Ingredient)
		}
	}
	for _, id := range ids {
		s := run.In.Sheets[id]
		if s == nil {
			continue
		}
		known := formula.MaterialMemory[criterionMemory](run.In, run.In.Materials[id])
		if known == nil {
			fs = append(fs, criterionFinding(run.In, s, ofMaterial(all, id)))
		} else {
			run.key = run.criteriaKey(run.key[:0], all, id)
			fs = append(fs, formula.OfBytes(&known.Memo, run.key,
				func() finding.Finding { return criterionFinding(run.In, s, ofMaterial(all, id)) }))
		}
	}
	return fs
}

// onlyMarket is the market of a row that is the law of one market alone; "" else.
func onlyMarket(row *annex.Limit) string {
	if len(row.Markets) == 1 {
		return string(row.Markets[0])
	}
	return ""
}

// ofMaterial are the criteria of one raw material.
func ofMaterial(all []criterion, id string) (list []criterion) {
	for _, c := range all {
		if c.Ingredient == id {
			list = append(list, c)
		}
	}
	return list
}

// criterionMemory keeps what is asked of the supplier of a material by what is asked: most
// products ask the same. Nothing of what it keeps is changed.
type criterionMemory struct {
	formula.Memo[string, finding.Finding]
}

// criteriaKey adds all that the finding about a material rests on, beside the material.
func (run *Run) criteriaKey(key []byte, all []criterion, id string) []byte {
	key = append(append(key, run.In.Market...), 0)
	key = strconv.AppendInt(key, int64(run.In.Date), 36)
	for i := range all {
		c := &all[i]
		if c.Ingredient != id {
			continue
		}
		key = append(append(key, c.Paper...), 0)
		key = strconv.AppendInt(key, int64(run.Matcher.order(c.Row)), 36)
		key = append(append(append(key, 0), c.Substance...), 0)
		key = append(append(key, c.Text...), 0)
	}
	return key
}

func criterionFinding(in *formula.Input, s *ingredients.Sheet, list []criterion) finding.Finding {
	type asked struct{ text, only string } // a criterion, and the market whose law alone has it
	var order []asked
	of := map[asked][]string{}
	var sources finding.Values
	for _, c := range list {
		what := asked{c.Text, onlyMarket(c.Row)}
		if of[what] == nil {
			order = append(order, what)
		}
		of[what] = append(of[what], c.Substance)
		for _, row := range in.LawSource(c.Row, in.Date) {
			if !formula.HasValue(sources, row) {
				sources = append(sources, row)
			}
		}
	}
	v := formula.With().Name("code", s.Supplier.Code).
		Name("document", list[0].Paper).Source("law", sources)
	f := in.OnMaterial(finding.NewFinding(finding.Ask, "criterion", s.Pos, v), s.ID).
		By(s.Asked()).At(s.Pos.File, "documents", formula.With().Name("kind", "purity"))
	for _, what := range order {
		f.Things = f.Things.Term("", "criterion", formula.With().Quote("criterion", what.text).
			Names("substances", of[what]).Name("market", what.only))
	}
	if list[0].Paper != "" {
		f.Severity = finding.Note
		return f.As("on-file").By(finding.TheMaker)
	}
	return f
}

// phFinding compares the measured pH with a criterion of the product.
func (run *Run) phFinding(c criterion) (finding.Finding, bool) {
	p := run.In.Product
	say := func(sev finding.Severity, form string, pos exact.Pos, v finding.Values) (finding.Finding, bool) {
		v = v.Name("substance", c.Substance).Quote("criterion", c.Text).
			Source("law", run.In.LawSource(c.Row, run.In.Date))
		return run.In.OnProduct(finding.NewFinding(sev, "ph-limit", pos, v)).As(form).By(finding.TheMaker).
			At(p.Pos.File, "specification.ph", nil), true
	}
	ph := p.Evidence.PH
	if ph == nil {
		return say(finding.Ask, "missing", p.Pos, formula.With())
	}
	kept, broken := c.Row.PH.Kept(ph.Range)
	pos := p.Pos
	if !ph.Pos.IsZero() {
		pos = ph.Pos
	}
	v := formula.With().Range("ph", ph.Range, "", finding.FourDigits)
	switch {
	case kept:
		return finding.Finding{}, false
	case broken:
		return say(finding.Stop, "broken", pos, v)
	}
	return say(finding.Ask, "partly", pos, v)
}
