package ingredients

import (
	"maps"
	"path"
	"slices"
	"strings"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/pattern"
	"gallipot/ingredients/source"
)

// ReadSheet reads the sheet of one raw material. The sheet is nil when the file
// cannot be parsed at all; otherwise it holds what could be read, and a finding
// that says Unread tells that no figure may rest on it.
//
// A sheet names no other sheet, so there is no cycle to look for: a material
// that is made of another one in the same workshop is a product, not a sheet.
//
// Plausibility is not judged here: whether contents can add up to 100 and
// whether a CAS number fits its name is for the calculation.
func ReadSheet(src *source.Source) (*Sheet, []finding.Finding) {
	r := source.NewReader(src)
	m, ok := r.Root("sheet of a raw material")
	if !ok {
		return nil, r.Findings()
	}
	s := &Sheet{}
	readIdentity(m, s)
	readComposition(m, s)
	m.At("impurities").EachIn("impurity", `{name: Decyl alcohol, cas: 112-30-1, amount: "<1 %"}`,
		func(m *source.Mapping) {
			m.Need("name", "name: …")
			m.Need("amount", `amount: "<0.1"`)
			i := Impurity{Name: m.At("name").Text(), CAS: m.At("cas").CAS(), Pos: m.At("name").Pos()}
			i.Amount, _ = m.At("amount").Content()
			s.Impurities = append(s.Impurities, i)
		})
	s.Allergens = readAllergens(m.At("allergens"))
	s.FragranceLimits = readCertificate(m.At("fragrance_limits"))
	m.At("toxicology").
		EachIn("toxicology value", "{inci: …, pod: {type: NOAEL, mg_per_kg_bw_d: 357}, source: …}",
			func(m *source.Mapping) {
				s.Toxicology = append(s.Toxicology, readToxicology(m))
			})
	m.At("physical").In("group of physical data", "{density_g_ml: 1.05}", func(m *source.Mapping) {
		s.Physical = physical{
			PH:         m.At("ph").PH(),
			DensityGML: readDensity(m.At("density_g_ml")),
			MeltingC:   m.At("melting_c").NumOrNull(),
			FlashC:     m.At("flash_c").NumOrNull(),
		}
	})
	s.Handling = m.At("handling").Texts("caution")
	s.Documents = ReadDocuments(m.At("documents"), DocumentKinds)
	m.At("price").In("price", "{per_kg: 6.40}", func(m *source.Mapping) {
		m.Need("per_kg", "per_kg: 6.40")
		s.PricePerKg = m.At("per_kg").NotNegative()
	})
	readPurchase(m, s)
	s.Invented = m.At("invented").Yes()
	m.Done()
	return s, r.Findings()
}

// readPurchase reads how a material is bought and what a lot of it is held to.
func readPurchase(m *source.Mapping, s *Sheet) {
	m.At("purchase").In("group on buying", "{packs_g: [1000, 5000], lead_days: 10}", func(m *source.Mapping) {
		s.Purchase.Pos = m.Pos()
		m.At("packs_g").Each("pack in g", "[1000, 5000]", func(v source.Node) {
			if g := v.Positive(); g != nil {
				s.Purchase.PackG = append(s.Purchase.PackG, *g)
			}
		})
		byLot := m.At("by_lot").Bool()
		s.Purchase.NotByLot = byLot != nil && !*byLot
		s.Purchase.LeadDays, _ = m.At("lead_days").Count(1, 730)
	})
	m.At("specification").In("specification", `{pH: "5-6", peroxide value: "<10"}`, func(m *source.Mapping) {
		m.EachKey(func(v source.Node) {
			s.Specification = append(s.Specification, Specified{v.Name(), v.Text(), v.Pos()})
		})
	})
}

// readIdentity reads what names a material.
func readIdentity(m *source.Mapping, s *Sheet) {
	s.ID, s.Pos = ReadID(m)
	m.Need("name", "name: the trade name on the supplier's paper")
	s.Name = m.At("name").Text()
	m.At("supplier").In("supplier", "{name: …, code: …}", func(m *source.Mapping) {
		m.Need("name", "name: the supplier's name")
		s.Supplier = Supplier{Name: m.At("name").Text(), Code: m.At("code").Text(), Pos: m.Pos()}
	})
	s.Form = m.At("form").Choice("liquid", "solid", "powder", "paste", "gas")
	s.Functions = m.At("functions").Texts("function")
	s.LabelAs = LabelINCI
	if w := m.At("label_as").Choice(string(LabelINCI), string(LabelParfum), string(LabelAroma)); w != "" {
		s.LabelAs = LabelAs(w)
	}
}

// ReadID reads the id of a sheet or product, which has to be the name of its
// file, and returns it with its place.
func ReadID(m *source.Mapping) (string, exact.Pos) {
	file := m.R.Src.Name
	want := strings.TrimSuffix(path.Base(file), path.Ext(file))
	m.Need("id", "id: "+want)
	v := m.At("id")
	id := v.ID()
	if id != "" && id != want {
		values := finding.With().Name("typed", id).Name("file", path.Base(file)).Name("rename", id+path.Ext(file))
		if source.IDForm.MatchString(want) {
			values = values.Name("wanted", want)
		}
		v.Stop(source.CodeIDMismatch, "", values)
	}
	if !v.Present() {
		return "", m.Place
	}
	return id, v.Pos()
}

// readComposition reads what a material consists of. A fragrance or aroma may
// come without, since its supplier keeps it; then it is not complete.
func readComposition(m *source.Mapping, s *Sheet) {
	v := m.At("composition")
	if !v.Present() {
		if !s.IsScent() {
			m.Need("composition", "composition: {complete: true, constituents: [{inci: …, pct: 100}]}")
		}
		s.Composition.Pos = m.Pos()
		return
	}
	s.Composition.Pos = v.KeyPos()
	v.In("composition", "{complete: true, constituents: [{inci: …, pct: 100}]}", func(m *source.Mapping) {
		c := &s.Composition
		c.HeldByAssessor = m.At("held_by_assessor").Yes()
		if !c.HeldByAssessor {
			m.Need("complete", "complete: true, or complete: false where the paper leaves something out")
			m.Need("constituents", "constituents: [{inci: …, pct: 100}]")
		}
		c.Complete = m.At("complete").Yes()
		list := m.At("constituents")
		list.EachIn("constituent", "{inci: Aqua, cas: 7732-18-5, pct: 50}", func(m *source.Mapping) {
			c.Constituents = append(c.Constituents, readConstituent(m))
		})
		if list.IsList() && list.Len() == 0 && !c.HeldByAssessor {
			list.Stop(source.CodeEmptyValue, "constituents", nil)
		}
		checkRest(m, c)
	})
}

func readConstituent(m *source.Mapping) Constituent {
	m.Need("inci", "inci: the name for the ingredient list")
	m.Need("pct", "pct: 12, or a range such as pct: 10-15")
	c := Constituent{
		INCI: m.At("inci").Text(),
		CAS:  m.At("cas").CAS(),
		EC:   m.At("ec").EC(),
		Nano: m.At("nano").Yes(),
		Pos:  m.At("inci").Pos(),
	}
	c.Pct, _ = m.At("pct").Amount()
	return c
}

// checkRest allows one q.s. in a complete composition and none in another:
// what is not declared has no name.
func checkRest(m *source.Mapping, c *Composition) {
	var first *Constituent
	for i := range c.Constituents {
		k := &c.Constituents[i]
		switch {
		case !k.Pct.Rest:
		case !c.Complete:
			m.R.Stop(source.CodeRestNotAllowed, "incomplete", k.Pct.Pos, k.INCI, nil)
		case first != nil:
			m.R.Stop(source.CodeRestTwice, "constituents", k.Pct.Pos, k.INCI, finding.With().Name("other", first.INCI).
				Count("line", first.Pct.Pos.Line))
		default:
			first = k
		}
	}
}

// readAllergens reads a declaration; nil when there is none. An empty list of
// declared allergens says that the supplier found none, which a missing
// declaration does not say.
func readAllergens(v source.Node) (d *AllergenDeclaration) {
	v.In("declaration of allergens", "{list: 2023-1545, declared: [{name: Linalool, pct: 4.2}]}",
		func(m *source.Mapping) {
			m.Need("list", "list: 2023-1545, or list: 2003-15 for the list of 26")
			m.Need("declared", "declared: [] if the supplier states that there are none")
			d = &AllergenDeclaration{List: m.At("list").Choice(List2003, List2023), Dated: m.At("dated").Date(),
				Pos: v.KeyPos()}
			m.At("declared").EachIn("declared allergen", "{name: Linalool, cas: 78-70-6, pct: 4.2}",
				func(m *source.Mapping) {
					m.Need("name", "name: Linalool")
					m.Need("pct", "pct: 4.2")
					a := DeclaredAllergen{Name: m.At("name").Text(), CAS: m.At("cas").CAS(), Pos: m.At("name").Pos()}
					a.Pct, _ = m.At("pct").Content()
					d.Declared = append(d.Declared, a)
				})
		})
	return d
}

var categoryForm = pattern.New(`^([1-9]|1[0-2])[A-D]?$`)

// readCertificate reads a fragrance conformity certificate; nil when there is
// none.
func readCertificate(v source.Node) (c *Certificate) {
	v.In("certificate", `{amendment: 51, dated: 2024-02-01, max_pct: {"9": 12}}`, func(m *source.Mapping) {
		m.Need("amendment", "amendment: the number on the certificate")
		m.Need("max_pct", `max_pct: {"5A": 2.1, "9": 12}`)
		c = &Certificate{Dated: m.At("dated").Date(), Pos: v.KeyPos()}
		c.Amendment, _ = m.At("amendment").Count(1, 999)
		m.At("max_pct").In("list of limits", `{"5A": 2.1, "9": 12}`, func(m *source.Mapping) {
			seen := map[string]int{}
			m.EachKey(func(k source.Node) {
				l := CategoryLimit{Category: strings.ToUpper(strings.TrimSpace(k.Name())), Pos: k.Pos()}
				if !categoryForm.MatchString(l.Category) {
					m.R.Stop(source.CodeBadChoice, "category", k.KeyPos(), source.Clip(k.Name()), nil)
					return
				}
				if line := seen[l.Category]; line != 0 {
					m.R.Stop(source.CodeDuplicateKey, "category", k.KeyPos(), source.Clip(k.Name()), finding.With().
						Name("category", l.Category).Count("line", line))
					return
				}
				seen[l.Category] = k.KeyPos().Line
				if readLimit(k, &l) {
					c.Limits = append(c.Limits, l)
				}
			})
		})
	})
	return c
}

// Words that certificates use instead of a number.
var (
	notPermittedWords = []string{"not permitted", "not allowed", "not approved", "prohibited", "forbidden"}
	noLimitWords      = []string{"no limit", "not limited", "unlimited", "no restriction", "not restricted",
		"no restrictions"}
)

// readLimit reads one value of a certificate and says whether it is one. A
// blank, a dash or "n/a" is none: it may mean either that the use was not
// assessed or that there is no limit.
func readLimit(v source.Node, l *CategoryLimit) bool {
	s, ok := v.Short(source.CodeBadNumber, "a limit")
	if !ok {
		return false
	}
	word := strings.Join(strings.Fields(strings.ToLower(strings.NewReplacer("-", " ", "_", " ").
		Replace(s))), " ")
	switch {
	case slices.Contains(notPermittedWords, word):
		l.NotPermitted = true
		return true
	case slices.Contains(noLimitWords, word):
		l.NoLimit = true
		return true
	}
	if n, err := exact.ParseNum(strings.TrimSpace(strings.TrimSuffix(s, "%"))); err == nil && n.Sign() >= 0 &&
		!exact.Hundred.Less(n) {
		l.MaxPct = n
		return true
	}
	v.Stop(source.CodeBadNumber, "certificate", finding.With().Quote("typed", source.Clip(s)))
	return false
}

// readToxicology reads one value for one substance. A value without a source
// cannot be weighed by an assessor, so the source is needed.
func readToxicology(m *source.Mapping) Toxicology {
	m.Need("inci", "inci: the name as in the composition")
	m.Need("source", "source: the document and the page")
	t := Toxicology{
		INCI:                m.At("inci").Text(),
		DermalAbsorptionPct: m.At("dermal_absorption_pct").Pct(),
		DermalUgCm2:         m.At("dermal_ug_cm2").NotNegative(),
		OralAbsorptionPct:   m.At("oral_absorption_pct").Pct(),
		CramerClass:         m.At("cramer_class").Choice("I", "II", "III"),
		Study:               m.At("study").Text(),
		Source:              m.At("source").Text(),
		Replaces:            m.At("replaces").Yes(),
		Target:              m.At("target_margin").Positive(),
		TargetReason:        m.At("target_reason").Text(),
		SumWith:             m.At("sum_with").Text(),
		Endpoints:           readEndpoints(m.At("endpoints")),
		Class:               readClassification(m.At("classification")),
		ReadAcross:          readReadAcross(m.At("read_across")),
		Pos:                 m.Pos(),
	}
	if t.Target != nil {
		m.Need("target_reason", "target_reason: why this margin is enough")
	}
	m.At("pod").In("point of departure", "{type: NOAEL, mg_per_kg_bw_d: 357}", func(m *source.Mapping) {
		m.Need("type", "type: NOAEL")
		m.Need("mg_per_kg_bw_d", "mg_per_kg_bw_d: 357")
		t.PoDType = m.At("type").Text()
		t.PoD = m.At("mg_per_kg_bw_d").Positive()
	})
	return t
}

// readDensity reads a density in g/ml; null says that it is not known.
func readDensity(v source.Node) *exact.Num {
	n := v.NumOrNull()
	if n != nil && n.Sign() <= 0 {
		v.Stop(source.CodeBadNumber, "density", finding.With().Num("typed", *n, "", finding.AsIs))
		return nil
	}
	return n
}

// ReadDocuments reads a list of papers. kinds holds the words allowed as kind.
// Whether a file is there is checked by who knows the folder.
func ReadDocuments(v source.Node, kinds map[string]string) (docs []Document) {
	allowed := slices.Sorted(maps.Keys(kinds))
	v.EachIn("document", "{kind: "+allowed[0]+", file: evidence/…pdf, dated: 2026-03-31}",
		func(m *source.Mapping) {
			m.Need("kind", "kind: "+allowed[0])
			file := m.At("file")
			d := Document{Kind: m.At("kind").Choice(allowed...), File: file.Text(), Dated: m.At("dated").Date(),
				SHA256: readHash(m.At("sha256")), Pos: m.Pos()}
			if file.Present() {
				d.Pos = file.Pos()
			}
			docs = append(docs, d)
		})
	return docs
}

var hashForm = pattern.New(`^[0-9a-f]{16,64}$`)

// readHash reads the SHA-256 of a file, or the 16 and more digits that a pack
// prints of it.
func readHash(v source.Node) string {
	hash := strings.ToLower(strings.TrimSuffix(v.Text(), "…"))
	if hash != "" && !hashForm.MatchString(hash) {
		v.Stop(source.CodeBadNumber, "hash", finding.With().Quote("typed", source.Clip(hash)))
		return ""
	}
	return hash
}
