package calc

import (
	"slices"
	"strings"

	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/soap"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

// Gap is something the assessor needs and the workshop does not hold.
type Gap struct {
	Subject string // substance, material or figure
	Missing string // what is missing
	Why     string // what it is needed for
	Ask     string // who has it
	Code    string // stable name of the kind of gap
}

// Gaps lists what is missing for exposure and margins, what would close each gap
// and who has it: every substance without usable data by name, figures that rest
// on memory once for each table, undeclared traces once for each supplier.
func (r *Result) Gaps() []Gap {
	g := gapList{In: r.Input, reactions: r.Reactions}
	g.ofExposure(&r.Exposure, &r.Inhalation)
	for i := range r.Margins {
		g.ofMargin(&r.Margins[i])
	}
	for i := range r.Traces {
		g.ofMargin(&r.Traces[i].Margin)
	}
	g.ofAbsorption(r)
	g.ofAreas(r)
	g.ofTraces(r.Compositions)
	for _, figures := range exposure.ByTable(r.MemoryFigures()) {
		g.add("memory", figures[0].Table, "the assessor's confirmation of "+exposure.CountOf(len(figures),
			"row")+": "+exposure.RowNames(figures),
			"the figures of these rows were not, or not wholly, read in their source", formula.Assessor)
	}
	return g.gaps
}

// unverified asks the assessor about the figures that were not, or not wholly, read in
// their source, all in one.
//
// Findings: ask "figures-unverified".
func (r *Result) unverified() []finding.Finding {
	const most = 24
	var room [most]exposure.MemoryFigure
	memory := r.memoryFigures(room[:0])
	if len(memory) == 0 {
		return nil
	}
	known := formula.SharedOf[unverifiedMemory](r.Input)
	if known == nil {
		return []finding.Finding{exposure.UnverifiedFinding(r.Input, memory)}
	}
	var space [1024]byte
	key := space[:0]
	for i := range memory {
		for _, part := range [...]string{memory[i].Table, memory[i].Row, memory[i].Seen} {
			key = append(append(key, part...), 0)
		}
	}
	f, is := formula.Known(&known.Memo, key)
	if !is {
		made := exposure.UnverifiedFinding(r.Input, memory)
		f = known.Of(string(key), func() finding.Finding { return made })
	}
	return []finding.Finding{f}
}

// unverifiedMemory keeps what is asked about rows that were not read in their source, by those
// rows: most variants of a product rest on the same. Nothing of it is changed.
type unverifiedMemory struct {
	formula.Memo[string, finding.Finding]
}

type gapList struct {
	In        *formula.Input
	reactions []*soap.Reaction
	gaps      []Gap
}

func (g *gapList) add(code, subject, missing, why, ask string) {
	g.gaps = append(g.gaps, Gap{Subject: subject, Missing: missing, Why: why, Ask: ask, Code: code})
}

func (g *gapList) ofExposure(e *exposure.Exposure, h *exposure.Inhalation) {
	switch {
	case !e.Known():
		g.add("no-exposure", e.ProductType, "amount of one use, uses a day, share that stays",
			"no exposure to any substance can be computed without them",
			"the maker, confirmed by the assessor")
	case e.IsProxy():
		g.add("exposure-proxy", e.ProductType, "a published or measured exposure for this type of product",
			"row "+e.Key+" of exposure.csv stands in", formula.Assessor)
	case e.Population:
		g.add("exposure-mean", e.ProductType, "an upper percentile of the amount used",
			"row "+e.Key+" of exposure.csv is a population mean; heavy users use more", formula.Assessor)
	}
	if e.Audience != formula.Adults {
		g.add("child-exposure", e.ProductType, "age and body weight of the children it is for",
			"the youngest user governs", formula.Assessor)
	}
	switch {
	case h.Applies && !h.Known():
		g.add("no-inhalation", h.Form, h.Reason, "what is breathed in cannot be computed",
			"the maker, confirmed by the assessor")
	case h.Applies:
		g.add("inhalation-shares", h.Form, "a droplet or particle size test of the filled pack",
			"default shares are used for what stays in the air and what can be breathed in",
			"the maker of the pack or a laboratory")
	}
}

// ofMargin lists a substance without a margin and what would give it one.
func (g *gapList) ofMargin(x *exposure.Margin) {
	suppliers := g.SuppliersOf(x.Contributions)
	const profile = "a dose without effect from a repeated-dose study (NOAEL or BMDL), with the study"
	switch x.None {
	case exposure.NoMarginUndeclared:
		if who, held := g.HeldByAssessor(x.Contributions); held {
			g.add("held-by-assessor", x.INCI, "limits and margins of the part that is not disclosed",
				"its composition went to the assessor in confidence", who)
			return
		}
		g.add("undeclared", x.INCI, "the full composition", "what is not declared is in no figure here", suppliers)
	case exposure.NoMarginNotDisclosed:
		if who, held := g.HeldByAssessor(x.Contributions); held {
			g.add("held-by-assessor", x.INCI, "margins of the substances that are not declared",
				"its composition went to the assessor in confidence", who)
			return
		}
		g.add("not-disclosed", x.INCI,
			"the composition, or the supplier's own toxicological assessment, sent to the assessor in confidence",
			"only the declared allergens of it are computed", suppliers)
	case exposure.NoMarginNoPoD:
		if x.TTC != nil && x.TTC.Verdict != exposure.ScreenNotApplicable {
			g.add("ttc-only", x.INCI, profile,
				"only a screening by Cramer class "+x.TTC.Class+" stands here: "+string(x.TTC.Verdict),
				suppliers+", else the assessor")
			return
		}
		g.add("no-pod", x.INCI, profile, x.Reason, suppliers+", else the assessor")
	case exposure.NoMarginUnusable:
		g.add("unusable-pod", x.INCI, profile, x.Reason, suppliers+", else the assessor")
	case exposure.NoMarginNoThreshold:
		g.add("no-threshold", x.INCI, "a margin of exposure or lifetime risk, judged by the assessor", x.Reason,
			formula.Assessor)
	}
}

// SuppliersOf names who sells the materials a substance comes in with.
func (g *gapList) SuppliersOf(contributions []formula.Contribution) string {
	var names []string
	for _, c := range contributions {
		name := "the supplier of " + c.Ingredient
		if soap.IsReaction(g.In, c.Ingredient) {
			name = "the suppliers of the fats"
		}
		if s := g.In.Sheets[c.Ingredient]; s != nil && s.Supplier.Name != "" {
			name = s.Supplier.Name
		}
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return strings.Join(names, ", ")
}

// HeldByAssessor says whether every material a substance comes in with has its
// full composition with the assessor.
func (g *gapList) HeldByAssessor(contributions []formula.Contribution) (string, bool) {
	for _, c := range contributions {
		if s := g.In.Sheets[c.Ingredient]; s == nil || !s.Composition.HeldByAssessor {
			return "", false
		}
	}
	return formula.Assessor, len(contributions) > 0
}

// ofAbsorption lists the substances whose absorption is a default.
func (g *gapList) ofAbsorption(r *Result) {
	byKind := map[exposure.AbsorptionKind][]string{}
	for _, x := range r.Margins {
		if x.Verdict != exposure.MarginNone || x.TTC != nil {
			byKind[x.Absorption.Kind] = append(byKind[x.Absorption.Kind], x.INCI)
		}
	}
	for _, k := range []struct {
		kind          exposure.AbsorptionKind
		code, missing string
	}{
		{exposure.AbsorptionDefault, "absorption-default", "dermal absorption measured on human skin"},
		{exposure.AbsorptionPoor, "absorption-poor",
			"the reasons for poor absorption (molar mass, log Pow, ionisation), confirmed"},
	} {
		if names := byKind[k.kind]; len(names) > 0 {
			g.add(k.code, strings.Join(names, ", "), k.missing, "the default absorption is used",
				"the suppliers or "+formula.Assessor)
		}
	}
}

func (g *gapList) ofAreas(r *Result) {
	if len(r.LocalDoses) > 0 && r.LocalDoses[0].UgCm2 == 0 && r.Exposure.Known() {
		g.add("no-skin-area", r.Exposure.ProductType, "the skin area treated, in cm²",
			"the dose of allergens per cm² cannot be computed without it", formula.Assessor)
	}
}

// ofTraces lists the materials whose sheets declare no trace at all.
func (g *gapList) ofTraces(comps []*formula.Composition) {
	var suppliers []string
	materials := map[string][]string{}
	for _, s := range g.bought(comps) {
		if len(s.Impurities) > 0 {
			continue
		}
		who := formula.SupplierName(s)
		if materials[who] == nil {
			suppliers = append(suppliers, who)
		}
		materials[who] = append(materials[who], s.ID)
	}
	for _, who := range suppliers {
		g.add("no-impurities", strings.Join(materials[who], ", "),
			"a statement of impurities and traces, with contents",
			"impurities belong in the report, Regulation (EC) 1223/2009 Annex I part A 4; what is not stated is not zero", who)
	}
}

// bought lists the raw materials in use; for what fats and lye become, those that
// went into it.
func (g *gapList) bought(comps []*formula.Composition) []*ingredients.Sheet {
	var sheets []*ingredients.Sheet
	add := func(s *ingredients.Sheet) {
		if !slices.Contains(sheets, s) {
			sheets = append(sheets, s)
		}
	}
	for _, s := range formula.SheetsIn(g.In, comps) {
		if !soap.IsReaction(g.In, s.ID) {
			add(s)
			continue
		}
		for _, share := range g.reactions[0].From {
			add(g.In.Sheets[share.Ingredient])
		}
	}
	return sheets
}
