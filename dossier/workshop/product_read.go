package workshop

import (
	"slices"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/dossier/label/labelsize"
	"gallipot/dossier/words"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// productEnv is what a product file is read against.
type productEnv struct {
	markets []rows.Market // the workshop's, where the product names none
	types   []string      // keys of the product-type table
	areas   []string      // body areas that the product-type table uses, and customary words for them
	// areaWords are the areas that a customary word means.
	areaWords map[string][]string
	law       *table.Tables
}

// newProductEnv takes the words of the law tables.
func newProductEnv(markets []rows.Market, tables *table.Tables) productEnv {
	env := productEnv{markets: markets, law: tables}
	for _, t := range law.ProductTypes(tables) {
		env.types = append(env.types, t.Key)
		for _, a := range t.Areas {
			if !slices.Contains(env.areas, a) {
				env.areas = append(env.areas, a)
			}
		}
	}
	env.areaWords = map[string][]string{}
	for _, w := range table.Builtin().AreaWords() {
		env.areaWords[w.Word] = w.Areas
		if !slices.Contains(env.areas, w.Word) {
			env.areas = append(env.areas, w.Word)
		}
	}
	slices.Sort(env.areas)
	return env
}

// ReadProduct reads one product file on its own: the ids it names are not looked
// up. markets hold where the file names none; types and states are those of the
// tables.
//
// The product is nil when the file cannot be parsed at all; otherwise it holds
// what could be read, and a finding that says Unread tells that no figure may
// rest on it.
func ReadProduct(src *source.Source, markets []rows.Market, tables *table.Tables) (*Product,
	[]finding.Finding) {
	return readProduct(src, newProductEnv(markets, tables))
}

func readProduct(src *source.Source, env productEnv) (*Product, []finding.Finding) {
	r := source.NewReader(src)
	m, ok := r.Root("product")
	if !ok {
		return nil, r.Findings()
	}
	p := &Product{Product: &formula.Product{}, Source: src}
	p.ID, p.Pos = ingredients.ReadID(m)
	readHead(m, p, env)
	readPresentation(m, p)
	m.Need("formula", "formula: {basis: percent, phases: […]}")
	m.At("formula").In("formula", "{basis: percent, phases: […]}", func(m *source.Mapping) {
		p.Formula = readFormula(m)
		p.Saponify = readSaponify(m.At("saponify"))
	})
	p.Formula.Pos = m.At("formula").KeyPos()
	p.Variants = readVariants(m.At("variants"), &p.Formula)
	p.TailOrder, p.TailPos = m.At("tail_order").Texts("ingredient"), m.At("tail_order").Pos()
	p.Exposure = readExposure(m.At("exposure"))
	readRecords(m, p, env)
	m.Elsewhere("formula", "basis", "phases", "saponify")
	m.Elsewhere("specification", append([]string{"ph"}, properties...)...)
	m.Elsewhere("durability", "pao_months")
	m.Done()
	return p, r.Findings()
}

// readHead reads what decides which rules hold for the product. Nothing of it
// has a default that would make a rule milder.
func readHead(m *source.Mapping, p *Product, env productEnv) {
	m.Need("name", "name: the name on the label")
	p.Name, p.NamePos = m.At("name").Text(), m.At("name").Pos()
	m.Need("revision", "revision: 1")
	p.Revision, _ = m.At("revision").Count(1, 9999)

	m.Need("product_type", "product_type: shower-gel")
	kind := m.At("product_type")
	if p.Type, p.TypePos = kind.Text(), kind.Pos(); p.Type != "" && !slices.Contains(env.types, p.Type) {
		v := With().Quote("typed", p.Type)
		switch meant := source.Meant(p.Type, env.types); {
		case len(meant) == 1:
			v = v.Name("near", meant[0])
		case len(meant) > 1:
			slices.Sort(meant)
			v = v.Names("meant", meant)
		}
		kind.StopWith(codeUnknownProductType, "", v, finding.Action{Kind: finding.ActionTypes})
	}

	p.Markets = env.markets
	if v := m.At("markets"); v.Present() {
		p.Markets = readMarkets(v)
	}
	m.Need("intended_for", "intended_for: adults")
	p.IntendedFor = formula.Audience(m.At("intended_for").Choice(string(formula.Adults),
		string(formula.ChildrenThree), string(formula.UnderThree)))
	areas := m.At("body_area")
	p.AreasPos = areas.Pos()
	areas.Each("body area", "[body]", func(e source.Node) {
		if w := e.Choice(env.areas...); w != "" {
			p.BodyAreas = append(p.BodyAreas, w)
			for _, a := range env.areaWords[w] {
				p.BodyAreas = words.AddOnce(p.BodyAreas, a)
			}
		}
	})
	p.Professional = m.At("professional").Bool()
}

// readPresentation reads what the pack and the label say.
func readPresentation(m *source.Mapping, p *Product) {
	m.At("net_content").In("net content", "{g: 120} or {ml: 100}", func(m *source.Mapping) {
		p.Net = formula.NetContent{G: m.At("g").Positive(), ML: m.At("ml").Positive(), Pos: m.Pos()}
		if m.At("g").Name() == "" && m.At("ml").Name() == "" {
			m.Need("g", "g: 120, or ml: 100")
		}
	})
	p.Function = m.At("function").Sentence()
	p.Directions = m.At("directions").Sentence()
	p.Storage = m.At("storage").Sentence()
	p.WarningsPos = m.At("warnings").Pos()
	m.At("warnings").Each("warning", "[Keep out of the eyes.]",
		func(e source.Node) { p.Warnings = append(p.Warnings, e.Sentence()) })
	m.At("claims").Each("claim", "[leaves the skin soft]", func(e source.Node) {
		p.Claims = append(p.Claims, formula.Claim{Text: e.Text(), Pos: e.Pos()})
	})
	made := m.At("made_in")
	if p.MadeIn = made.Text(); p.MadeIn != "" && !countryForm.MatchString(p.MadeIn) {
		made.Stop(codeBadCountry, "", With().Quote("typed", p.MadeIn))
	}
	m.At("packaging").EachIn("part of the pack", "{part: jar, material: PET, ml: 150}",
		func(m *source.Mapping) {
			m.Need("part", "part: jar")
			m.Need("material", "material: PET")
			p.Packaging = append(p.Packaging, packPart{Part: m.At("part").Text(),
				Material: m.At("material").Text(), ML: m.At("ml").Positive(), Pos: m.Pos()})
		})
	m.At("durability").In("durability", "{pao_months: 6}", func(m *source.Mapping) {
		p.Durability.Pos = m.Pos()
		p.Durability.PAOMonths, _ = m.At("pao_months").Count(1, 120)
		p.Durability.BestBeforeMonths, _ = m.At("best_before_months").Count(1, 120)
		if !m.At("pao_months").Present() && !m.At("best_before_months").Present() {
			m.Need("pao_months", "pao_months: 6, or best_before_months: 12")
		}
	})
	p.Label = labelsize.Read(m.At("label"))
}

// readExposure reads figures that replace the exposure table. An assessor has to
// be able to weigh them, so the source is needed.
func readExposure(v source.Node) (e *formula.OwnExposure) {
	v.In("group of exposure figures", "{amount_g_per_day: 18.67, retention_pct: 1, source: …}",
		func(m *source.Mapping) {
			m.Need("source", "source: where the figures come from")
			e = &formula.OwnExposure{
				AmountGDay:    m.At("amount_g_per_day").Positive(),
				RetentionPct:  m.At("retention_pct").Pct(),
				RelativeMgKgD: m.At("mg_per_kg_bw_d").Positive(),
				AreaCm2:       m.At("area_cm2").Positive(),
				TimesPerDay:   m.At("times_per_day").Positive(),
				BodyWeightKg:  m.At("body_weight_kg").Positive(),
				Source:        m.At("source").Text(),
				Pos:           m.Pos(),
			}
		})
	return e
}
