package calc

import (
	"slices"
	"strings"

	"gallipot/ingredients"
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
//
// Findings: ask "figures-unverified", one for all tables.
func Gaps(in *Input, r *Result) ([]Gap, []ingredients.Finding) {
	g := gapList{in: in, reactions: r.Reactions}
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
	memory := r.MemoryFigures()
	for _, figures := range byTable(memory) {
		g.add("memory", figures[0].Table, "the assessor's confirmation of "+countOf(len(figures), "row")+": "+rowNames(figures),
			"the figures of these rows were not, or not wholly, read in their source", assessor)
	}
	if len(memory) == 0 {
		return g.gaps, nil
	}
	return g.gaps, []ingredients.Finding{unverifiedFinding(in, memory)}
}

type gapList struct {
	in        *Input
	reactions []*Reaction
	gaps      []Gap
}

func (g *gapList) add(code, subject, missing, why, ask string) {
	g.gaps = append(g.gaps, Gap{Subject: subject, Missing: missing, Why: why, Ask: ask, Code: code})
}

func (g *gapList) ofExposure(e *Exposure, h *Inhalation) {
	switch {
	case !e.Known():
		g.add("no-exposure", e.ProductType, "amount of one use, uses a day, share that stays", "no exposure to any substance can be computed without them",
			"the maker, confirmed by the assessor")
	case e.IsProxy():
		g.add("exposure-proxy", e.ProductType, "a published or measured exposure for this type of product", "row "+e.Key+" of exposure.csv stands in", assessor)
	case e.Population:
		g.add("exposure-mean", e.ProductType, "an upper percentile of the amount used", "row "+e.Key+" of exposure.csv is a population mean; heavy users use more", assessor)
	}
	if e.Audience != Adults {
		g.add("child-exposure", e.ProductType, "age and body weight of the children it is for", "the youngest user governs", assessor)
	}
	switch {
	case h.Applies && !h.Known():
		g.add("no-inhalation", h.Form, h.Reason, "what is breathed in cannot be computed", "the maker, confirmed by the assessor")
	case h.Applies:
		g.add("inhalation-shares", h.Form, "a droplet or particle size test of the filled pack", "default shares are used for what stays in the air and what can be breathed in",
			"the maker of the pack or a laboratory")
	}
}

// ofMargin lists a substance without a margin and what would give it one.
func (g *gapList) ofMargin(x *Margin) {
	suppliers := g.suppliersOf(x.Contributions)
	const profile = "a dose without effect from a repeated-dose study (NOAEL or BMDL), with the study"
	switch x.None {
	case NoMarginUndeclared:
		if who, held := g.heldByAssessor(x.Contributions); held {
			g.add("held-by-assessor", x.INCI, "limits and margins of the part that is not disclosed", "its composition went to the assessor in confidence", who)
			return
		}
		g.add("undeclared", x.INCI, "the full composition", "what is not declared is in no figure here", suppliers)
	case NoMarginNotDisclosed:
		if who, held := g.heldByAssessor(x.Contributions); held {
			g.add("held-by-assessor", x.INCI, "margins of the substances that are not declared", "its composition went to the assessor in confidence", who)
			return
		}
		g.add("not-disclosed", x.INCI, "the composition, or the supplier's own toxicological assessment, sent to the assessor in confidence",
			"only the declared allergens of it are computed", suppliers)
	case NoMarginNoPoD:
		if x.TTC != nil && x.TTC.Verdict != ScreenNotApplicable {
			g.add("ttc-only", x.INCI, profile, "only a screening by Cramer class "+x.TTC.Class+" stands here: "+string(x.TTC.Verdict), suppliers+", else the assessor")
			return
		}
		g.add("no-pod", x.INCI, profile, x.Reason, suppliers+", else the assessor")
	case NoMarginUnusable:
		g.add("unusable-pod", x.INCI, profile, x.Reason, suppliers+", else the assessor")
	case NoMarginNoThreshold:
		g.add("no-threshold", x.INCI, "a margin of exposure or lifetime risk, judged by the assessor", x.Reason, assessor)
	}
}

// suppliersOf names who sells the materials a substance comes in with.
func (g *gapList) suppliersOf(contributions []Contribution) string {
	var names []string
	for _, c := range contributions {
		name := "the supplier of " + c.Ingredient
		if isReaction(g.in, c.Ingredient) {
			name = "the suppliers of the fats"
		}
		if s := g.in.Sheets[c.Ingredient]; s != nil && s.Supplier.Name != "" {
			name = s.Supplier.Name
		}
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return strings.Join(names, ", ")
}

// heldByAssessor says whether every material a substance comes in with has its
// full composition with the assessor.
func (g *gapList) heldByAssessor(contributions []Contribution) (string, bool) {
	for _, c := range contributions {
		if s := g.in.Sheets[c.Ingredient]; s == nil || !s.Composition.HeldByAssessor {
			return "", false
		}
	}
	return assessor, len(contributions) > 0
}

// ofAbsorption lists the substances whose absorption is a default.
func (g *gapList) ofAbsorption(r *Result) {
	byKind := map[AbsorptionKind][]string{}
	for _, x := range r.Margins {
		if x.Verdict != MarginNone || x.TTC != nil {
			byKind[x.Absorption.Kind] = append(byKind[x.Absorption.Kind], x.INCI)
		}
	}
	for _, k := range []struct {
		kind          AbsorptionKind
		code, missing string
	}{
		{AbsorptionDefault, "absorption-default", "dermal absorption measured on human skin"},
		{AbsorptionPoor, "absorption-poor", "the reasons for poor absorption (molar mass, log Pow, ionisation), confirmed"},
	} {
		if names := byKind[k.kind]; len(names) > 0 {
			g.add(k.code, strings.Join(names, ", "), k.missing, "the default absorption is used", "the suppliers or "+assessor)
		}
	}
}

func (g *gapList) ofAreas(r *Result) {
	if len(r.LocalDoses) > 0 && r.LocalDoses[0].UgCm2 == 0 && r.Exposure.Known() {
		g.add("no-skin-area", r.Exposure.ProductType, "the skin area treated, in cm²", "the dose of allergens per cm² cannot be computed without it", assessor)
	}
}

// ofTraces lists the materials whose sheets declare no trace at all.
func (g *gapList) ofTraces(comps []*Composition) {
	var suppliers []string
	materials := map[string][]string{}
	for _, s := range g.bought(comps) {
		if len(s.Impurities) > 0 {
			continue
		}
		who := supplierName(s)
		if materials[who] == nil {
			suppliers = append(suppliers, who)
		}
		materials[who] = append(materials[who], s.ID)
	}
	for _, who := range suppliers {
		g.add("no-impurities", strings.Join(materials[who], ", "), "a statement of impurities and traces, with contents",
			"impurities belong in the report, Regulation (EC) 1223/2009 Annex I part A 4; what is not stated is not zero", who)
	}
}

// bought lists the raw materials in use; for what fats and lye become, those that
// went into it.
func (g *gapList) bought(comps []*Composition) []*ingredients.Sheet {
	var sheets []*ingredients.Sheet
	add := func(s *ingredients.Sheet) {
		if !slices.Contains(sheets, s) {
			sheets = append(sheets, s)
		}
	}
	for _, s := range sheetsIn(g.in, comps) {
		if !isReaction(g.in, s.ID) {
			add(s)
			continue
		}
		for _, share := range g.reactions[0].from {
			add(g.in.Sheets[share.Ingredient])
		}
	}
	return sheets
}
