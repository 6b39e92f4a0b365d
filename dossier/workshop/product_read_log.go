package workshop

import (
	"math"
	"slices"
	"strings"

	"gallipot/calc/ageing"
	"gallipot/calc/formula"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/source"
)

// causalities are the words for how likely it is that the product caused an
// effect, the most likely first. Source: Commission guidelines on serious
// undesirable effects, from memory.
var causalities = []string{"very-likely", "likely", "not-clear", "unlikely", "excluded"}

const saponifyExample = "{alkali: NaOH, excess_fat_pct: 5, water_loss_pct: 10}"

// readSaponify reads the reaction with lye; nil when the formula has none.
func readSaponify(v source.Node) (s *formula.Saponification) {
	v.In("reaction with lye", saponifyExample, func(m *source.Mapping) {
		s = &formula.Saponification{Pos: v.KeyPos()}
		m.Need("alkali", "alkali: NaOH, or alkali: [NaOH, KOH]")
		if lye := m.At("alkali"); lye.IsList() {
			lye.Each("alkali", "[NaOH, KOH]", func(e source.Node) {
				if w := e.Choice("NaOH", "KOH"); w != "" {
					s.Alkali = words.AddOnce(s.Alkali, w)
				}
			})
		} else if w := lye.Choice("NaOH", "KOH"); w != "" {
			s.Alkali = []string{w}
		}
		s.ExcessFatPct = m.At("excess_fat_pct").Pct()
		if loss := m.At("water_loss_pct").Between(exact.Int(0), exact.Int(99)); loss != nil {
			s.WaterLossPct = *loss
		}
		m.At("values").EachIn("saponification value", `{ingredient: shea-butter, mg_koh_g: "178-182"}`,
			func(m *source.Mapping) {
				m.Need("ingredient", "ingredient: the id of a sheet")
				m.Need("mg_koh_g", `mg_koh_g: "178-182", mg of KOH for 1 g of fat`)
				own := formula.OwnSV{Ingredient: m.At("ingredient").Text(), Pos: m.At("ingredient").Pos()}
				if readSV(m.At("mg_koh_g"), &own.MgKOH) {
					s.Values = append(s.Values, own)
				}
			})
	})
	return s
}

// mostSV is above any saponification value: that of the lightest fat in the
// tables is 345.
const mostSV = 1000

// readSV reads a value or a range of values in mg KOH for 1 g of fat.
func readSV(v source.Node, sv *exact.Range) bool {
	text := v.Text()
	if text == "" {
		return false
	}
	lo, hi, ranged := strings.Cut(strings.ReplaceAll(text, "–", "-"), "-")
	if !ranged {
		hi = lo
	}
	low, err := exact.ParseNum(strings.TrimSpace(lo))
	high, err2 := exact.ParseNum(strings.TrimSpace(hi))
	if err != nil || err2 != nil || low.Sign() <= 0 || high.Less(low) || exact.Int(mostSV).Less(high) {
		v.Stop(source.CodeBadNumber, "saponification", With().Quote("typed", text))
		return false
	}
	*sv = exact.Range{Min: low, Typ: low.Add(high).Quo(exact.Int(2)), Max: high}
	return true
}

// readWeeks reads the weeks at which readings are planned.
func readWeeks(v source.Node) (weeks []exact.Num) {
	v.Each("week", "[0, 1, 2, 4, 8, 12]", func(e source.Node) {
		if n := e.NotNegative(); n != nil {
			weeks = append(weeks, *n)
		}
	})
	return weeks
}

// challengeDays are the days on which the standard counts.
var challengeDays = []int{0, 7, 14, 28}

// readCounts reads the counts of a challenge test, as logarithms or as colonies
// per g.
func readCounts(m *source.Mapping) (all []ageing.OrganismCounts) {
	unit := m.At("counts_in").Choice("log10", "cfu")
	m.At("counts").EachIn("line of counts",
		"{organism: E. coli, day0: 6.0, day7: 2.1, day14: \"<1\", day28: \"<1\"}", func(m *source.Mapping) {
			m.Need("organism", "organism: E. coli")
			m.Need("day0", "day0: 6.0")
			o := ageing.OrganismCounts{Organism: m.At("organism").Text(), Days: map[int]ageing.LogCount{},
				Pos: m.Pos()}
			for _, day := range challengeDays {
				if c, ok := readCount(m.At("day"+words.Itoa(day)), unit); ok {
					o.Days[day] = c
				}
			}
			all = append(all, o)
		})
	return all
}

// readCount reads one count. "<1" is below a limit of detection of 1.
func readCount(v source.Node, unit string) (c ageing.LogCount, ok bool) {
	text := v.Text()
	if text == "" {
		return c, false
	}
	number, below := strings.CutPrefix(text, "<")
	n, err := exact.ParseNum(strings.TrimSpace(number))
	switch {
	case err != nil:
		v.Failed(source.CodeBadNumber, err)
		return c, false
	case unit == "cfu" && n.Sign() <= 0:
		v.Stop(source.CodeBadNumber, "no-count", With().Quote("typed", text))
		return c, false
	case unit != "cfu" && exact.Int(mostLog).Less(n):
		v.Stop(source.CodeBadNumber, "no-logarithm", With().Quote("typed", text))
		return c, false
	}
	c = ageing.LogCount{Log10: n.Float(), Below: below, Known: true}
	if unit == "cfu" {
		c.Log10 = math.Log10(n.Float())
	}
	return c, true
}

// mostLog is above any logarithm of a count: no gram holds as many cells.
const mostLog = 12

// readSold reads how many units were sold.
func readSold(v source.Node, variants []*formula.Variant) (list []Sold) {
	v.EachIn("line of units sold", "{variant: heather, units: 120, until: 2026-10-31}",
		func(m *source.Mapping) {
			m.Need("units", "units: 120")
			m.Need("until", "until: 2026-10-31")
			s := Sold{Variant: m.At("variant").Text(), Until: m.At("until").Date(), Pos: m.Pos()}
			units, ok := m.At("units").Count(0, 1_000_000_000)
			s.Units = units
			if s.Variant != "" && !hasVariant(variants, s.Variant) {
				m.At("variant").NotAmong(source.CodeBadChoice, s.Variant, VariantIDs(variants))
				ok = false
			}
			if ok {
				list = append(list, s)
			}
		})
	return list
}

func VariantIDs(variants []*formula.Variant) (ids []string) {
	for _, x := range variants {
		ids = append(ids, x.ID)
	}
	return ids
}

func hasVariant(variants []*formula.Variant, id string) bool {
	return slices.Contains(VariantIDs(variants), id)
}
