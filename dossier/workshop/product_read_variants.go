package workshop

import (
	"fmt"
	"slices"

	"gallipot/calc/formula"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

const (
	fillExample    = "{scent: fo-heather}"
	portionExample = "{name: first layer, share: 60, fill: " + fillExample + "}"
)

// readVariants reads the fillings of the slots. A product without variants has
// one with the id "".
func readVariants(v source.Node, f *formula.Formula) []*formula.Variant {
	var all []*formula.Variant
	first := map[string]int{}
	slots := slotsOf(f)
	v.EachIn("variant", "{id: plain}", func(m *source.Mapping) {
		m.Need("id", "id: plain")
		id := m.At("id")
		x := &formula.Variant{ID: id.ID(), Name: m.At("name").Text(), Pos: m.Pos()}
		if m.At("name").Present() {
			x.NamePos = m.At("name").Pos()
		}
		if line := first[x.ID]; line != 0 && x.ID != "" {
			id.Stop(source.CodeDuplicateID, "variant", With().Name("id", x.ID).Count("line", line))
		}
		first[x.ID] = m.Pos().Line
		x.Fill = readFill(m.At("fill"), slots)
		x.Portions = readPortions(m.At("portions"), slots, x.Fill)
		m.At("then_add").EachIn("addition", "{ingredient: olive-stone, parts_per_100: 4}",
			func(m *source.Mapping) {
				m.Need("ingredient", "ingredient: the id of a sheet")
				m.Need("parts_per_100", "parts_per_100: 4")
				a := formula.Addition{Ingredient: m.At("ingredient").Text(), Pos: m.At("ingredient").Pos()}
				if n := m.At("parts_per_100").Positive(); n != nil {
					a.Parts = *n
				}
				x.ThenAdd = append(x.ThenAdd, a)
			})
		all = append(all, x)
	})
	if len(all) == 0 {
		all = []*formula.Variant{{}}
	}
	return all
}

// slotsOf lists the slots of a formula, each once.
func slotsOf(f *formula.Formula) []string {
	var slots []string
	for _, p := range f.Phases {
		for _, l := range p.Lines {
			if l.Slot != "" && !slices.Contains(slots, l.Slot) {
				slots = append(slots, l.Slot)
			}
		}
	}
	return slots
}

// readFill reads which material goes into which slot.
func readFill(v source.Node, slots []string) (fills []formula.Fill) {
	v.In("filling", fillExample, func(m *source.Mapping) {
		m.EachKey(func(k source.Node) {
			f := formula.Fill{Slot: k.Name(), Pos: k.KeyPos()}
			if !slices.Contains(slots, f.Slot) {
				v, near := With(), source.Nearest(f.Slot, slots)
				switch {
				case near != "":
					v = v.Name("near", near)
				case len(slots) > 0:
					v = v.Names("slots", slots)
				}
				m.Reader().Stop(codeUnknownSlot, "", k.KeyPos(), f.Slot, v)
			}
			f.Parts = readFillParts(k)
			fills = append(fills, f)
		})
	})
	return fills
}

// readFillParts reads one material, or several with their shares of the slot.
func readFillParts(v source.Node) (parts []formula.FillPart) {
	hundred := exact.Int(100)
	if !v.IsList() {
		if id := v.Text(); id != "" {
			return []formula.FillPart{{Ingredient: id, SharePct: hundred, Pos: v.Pos()}}
		}
		return nil
	}
	whole := true // every share could be read
	v.EachIn("part of the slot", "{ingredient: fo-gorse, share: 70}", func(m *source.Mapping) {
		m.Need("ingredient", "ingredient: the id of a sheet")
		m.Need("share", "share: 70")
		p := formula.FillPart{Ingredient: m.At("ingredient").Text(), Pos: m.At("ingredient").Pos()}
		whole = readShare(m.At("share"), &p.SharePct) && whole
		parts = append(parts, p)
	})
	if v.Len() == 0 {
		v.Stop(source.CodeEmptyValue, "slot", nil)
		return nil
	}
	if whole && len(parts) == v.Len() {
		var shares []exact.Num
		for _, p := range parts {
			shares = append(shares, p.SharePct)
		}
		checkShares(v, "slot", shares)
	}
	return parts
}

// readShare reads a share above 0 and says whether it could.
func readShare(v source.Node, share *exact.Num) bool {
	n := v.Pct()
	if n == nil {
		return false
	}
	if n.IsZero() {
		v.Stop(source.CodeBadNumber, "share-zero", nil)
		return false
	}
	*share = *n
	return true
}

// checkShares holds shares to 100 exactly: they are the maker's own choice, so
// nothing has to be rounded.
func checkShares(v source.Node, form string, shares []exact.Num) {
	var sum exact.Num
	var list finding.Values
	for _, s := range shares {
		sum = sum.Add(s)
		list = list.Num("", s, "", finding.AsIs)
	}
	if diff := exact.Int(100).Sub(sum); !diff.IsZero() {
		side := "add"
		if diff.Sign() < 0 {
			side, diff = "less", diff.Neg()
		}
		v.Stop(codeShareSum, form, With().Num("sum", sum, "", finding.AsIs).Those("shares", list).Num(side,
			diff, "", finding.AsIs))
	}
}

// readPortions reads the shares of a pack that are scented or coloured on their
// own. A slot that the variant fills already cannot be filled again.
func readPortions(v source.Node, slots []string, filled []formula.Fill) (portions []formula.Portion) {
	whole := true
	v.EachIn("portion", portionExample, func(m *source.Mapping) {
		m.Need("share", "share: 60")
		p := formula.Portion{Name: m.At("name").Text(), Pos: m.Pos()}
		if p.Name == "" {
			p.Name = fmt.Sprintf("portion %d", len(portions)+1)
		}
		whole = readShare(m.At("share"), &p.SharePct) && whole
		p.Fill = readFill(m.At("fill"), slots)
		for _, f := range p.Fill {
			if slices.ContainsFunc(filled, func(g formula.Fill) bool { return g.Slot == f.Slot }) {
				m.Reader().Stop(codeSlotFilledTwice, "", f.Pos, f.Slot, nil)
			}
		}
		portions = append(portions, p)
	})
	if whole && len(portions) > 0 && len(portions) == v.Len() {
		var shares []exact.Num
		for _, p := range portions {
			shares = append(shares, p.SharePct)
		}
		checkShares(v, "portions", shares)
	}
	return portions
}
