package recalc

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/dossier/show"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// gatherMaterials lists the raw materials of all mixtures in the order in which
// they first appear.
func (m *model) gatherMaterials() {
	seen := map[string]*modelMaterial{}
	for _, col := range m.columns {
		for _, share := range col.comp.Mixture.Shares {
			key := m.materialKey(col, share.Ingredient)
			mat := seen[key]
			if mat == nil {
				mat = &modelMaterial{key: key, id: share.Ingredient, name: m.v.Material(share.Ingredient),
					of: col.result.Input.Materials[share.Ingredient], first: col}
				mat.made = m.v.A.Workshop.Sheets[mat.id] == nil && mat.of != nil
				if mat.made {
					mat.name = key
				}
				seen[key] = mat
				m.materials = append(m.materials, mat)
			}
			col.keys[share.Ingredient] = key
			col.uses[key] = col.uses[key].Add(share.Pct)
		}
	}
}

// materialKey tells the products of a reaction apart, variant by variant, unless
// they hold the same.
func (m *model) materialKey(col *modelColumn, id string) string {
	mat := col.result.Input.Materials[id]
	if mat == nil || m.v.A.Workshop.Sheets[id] != nil {
		return id
	}
	for _, other := range m.materials {
		if other.id == id && sameContents(other.of, mat) {
			return other.key
		}
	}
	for _, other := range m.materials {
		if other.key == id {
			return id + ", " + col.head
		}
	}
	return id
}

func sameContents(a, b *formula.Material) bool {
	return slices.EqualFunc(a.Parts, b.Parts, func(p, q formula.Part) bool {
		return p.INCI == q.INCI &&
			p.Nano == q.Nano && sameRange(p.Pct, q.Pct)
	}) &&
		slices.EqualFunc(a.Sheet.Impurities, b.Sheet.Impurities, func(p, q ingredients.Impurity) bool {
			return p.Name == q.Name && sameRange(p.Amount.Range, q.Amount.Range)
		}) &&
		slices.EqualFunc(declaredIn(a), declaredIn(b), func(p, q ingredients.DeclaredAllergen) bool {
			return p.Name == q.Name && sameRange(p.Pct.Range, q.Pct.Range)
		})
}

func sameRange(a, b exact.Range) bool {
	return a.Min.Equal(b.Min) && a.Typ.Equal(b.Typ) && a.Max.Equal(b.Max)
}

func declaredIn(m *formula.Material) []ingredients.DeclaredAllergen {
	if m.Sheet.Allergens == nil {
		return nil
	}
	return m.Sheet.Allergens.Declared
}

// gatherSubstances lists the substances, constituents with most of them first,
// and their contents in each raw material.
func (m *model) gatherSubstances() {
	for _, s := range m.v.Substances() {
		m.addSubstance(s)
	}
	var others []*formula.Substance
	for _, col := range m.columns {
		for _, s := range col.comp.Substances {
			if m.subAt[s.Key()] == nil &&
				!slices.ContainsFunc(others, func(o *formula.Substance) bool { return o.Key() == s.Key() }) {
				others = append(others, s)
			}
		}
	}
	slices.SortStableFunc(others, func(a, b *formula.Substance) int {
		return cmp.Compare(strings.ToLower(a.INCI), strings.ToLower(b.INCI))
	})
	for _, s := range others {
		m.addSubstance(s)
	}
	for _, mat := range m.materials {
		if mat.of != nil {
			m.gatherContents(mat)
		}
	}
	for _, s := range m.subs {
		slices.SortStableFunc(s.rows,
			func(a, b *contentRow) int { return cmp.Compare(routeRank(a.route), routeRank(b.route)) })
		for _, r := range s.rows {
			if r.route == formula.ByComposition {
				s.own++
			}
		}
		m.rows = append(m.rows, s.rows...)
	}
}

func routeRank(r formula.Route) int {
	return slices.Index([]formula.Route{formula.ByComposition, formula.ByDeclaration, formula.ByImpurity}, r)
}

func (m *model) addSubstance(s *formula.Substance) {
	sub := &modelSubstance{key: s.Key(), like: s, name: show.SubstanceName(s), ownRow: -1}
	m.subs = append(m.subs, sub)
	m.subAt[sub.key] = sub
}

// gatherContents lists what a raw material holds by each route.
func (m *model) gatherContents(mat *modelMaterial) {
	add := func(key string, r contentRow) {
		sub := m.subAt[key]
		if sub == nil {
			return // a raw material of which there is nothing
		}
		r.material, r.sub = mat, sub
		sub.rows = append(sub.rows, &r)
	}
	for _, p := range mat.of.Parts {
		add((&formula.Substance{INCI: p.INCI, Nano: p.Nano}).Key(), contentRow{route: formula.ByComposition,
			in: p.Pct, counted: p.Pct, given: p.Given, pos: p.Pos})
	}
	for i, d := range declaredIn(mat.of) {
		for _, as := range mat.of.DeclaredAs(i) {
			r := contentRow{route: formula.ByDeclaration, in: as.Pct, counted: as.Pct, given: d.Pct.Text, pos: d.Pos}
			if sub := m.subAt[as.Key]; sub != nil {
				for _, x := range sub.rows {
					if x.material == mat && x.route == formula.ByComposition {
						r.listed = append(r.listed, x)
						r.counted = beyond(r.counted, x.in)
					}
				}
			}
			add(as.Key, r)
		}
	}
	for i, t := range mat.of.Sheet.Impurities {
		for _, as := range mat.of.ImpurityAs(i) {
			add(as.Key, contentRow{route: formula.ByImpurity, in: as.Pct, counted: as.Pct, given: t.Amount.Text,
				pos: t.Pos})
		}
	}
}

// beyond is by how much a range lies above another, bound by bound, never below 0.
func beyond(r, over exact.Range) exact.Range {
	var zero exact.Num
	return exact.Range{Min: r.Min.Sub(over.Min).Max(zero), Typ: r.Typ.Sub(over.Typ).Max(zero),
		Max: r.Max.Sub(over.Max).Max(zero)}
}
