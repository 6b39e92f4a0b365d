package dossier

import (
	"fmt"
	"slices"

	"gallipot/calc"
	"gallipot/ingredients"
)

const (
	fillExample    = "{scent: fo-heather}"
	portionExample = "{name: first layer, share: 60, fill: " + fillExample + "}"
)

// readVariants reads the fillings of the slots. A product without variants has
// one with the id "".
func readVariants(v ingredients.Node, f *calc.Formula) []*calc.Variant {
	var all []*calc.Variant
	first := map[string]int{}
	slots := slotsOf(f)
	v.EachIn("variant", "{id: plain}", func(m *ingredients.Mapping) {
		m.Need("id", "id: plain")
		id := m.At("id")
		x := &calc.Variant{ID: id.ID(), Name: m.At("name").Text(), Pos: m.Pos()}
		if m.At("name").Present() {
			x.NamePos = m.At("name").Pos()
		}
		if line := first[x.ID]; line != 0 && x.ID != "" {
			id.Stop(ingredients.CodeDuplicateID, "variant", with().Name("id", x.ID).Count("line", line))
		}
		first[x.ID] = m.Pos().Line
		x.Fill = readFill(m.At("fill"), slots)
		x.Portions = readPortions(m.At("portions"), slots, x.Fill)
		m.At("then_add").EachIn("addition", "{ingredient: olive-stone, parts_per_100: 4}", func(m *ingredients.Mapping) {
			m.Need("ingredient", "ingredient: the id of a sheet")
			m.Need("parts_per_100", "parts_per_100: 4")
			a := calc.Addition{Ingredient: m.At("ingredient").Text(), Pos: m.At("ingredient").Pos()}
			if n := m.At("parts_per_100").Positive(); n != nil {
				a.Parts = *n
			}
			x.ThenAdd = append(x.ThenAdd, a)
		})
		all = append(all, x)
	})
	if len(all) == 0 {
		all = []*calc.Variant{{}}
	}
	return all
}

// slotsOf lists the slots of a formula, each once.
func slotsOf(f *calc.Formula) []string {
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
func readFill(v ingredients.Node, slots []string) (fills []calc.Fill) {
	v.In("filling", fillExample, func(m *ingredients.Mapping) {
		m.EachKey(func(k ingredients.Node) {
			f := calc.Fill{Slot: k.Name(), Pos: k.KeyPos()}
			if !slices.Contains(slots, f.Slot) {
				v, near := with(), ingredients.Nearest(f.Slot, slots)
				switch {
				case near != "":
					v = v.Name("near", near)
				case len(slots) > 0:
					v = v.Names("slots", slots)
				}
				m.Reader().Stop(CodeUnknownSlot, "", k.KeyPos(), f.Slot, v)
			}
			f.Parts = readFillParts(k)
			fills = append(fills, f)
		})
	})
	return fills
}

// readFillParts reads one material, or several with their shares of the slot.
func readFillParts(v ingredients.Node) (parts []calc.FillPart) {
	hundred := ingredients.Int(100)
	if !v.IsList() {
		if id := v.Text(); id != "" {
			return []calc.FillPart{{Ingredient: id, SharePct: hundred, Pos: v.Pos()}}
		}
		return nil
	}
	whole := true // every share could be read
	v.EachIn("part of the slot", "{ingredient: fo-gorse, share: 70}", func(m *ingredients.Mapping) {
		m.Need("ingredient", "ingredient: the id of a sheet")
		m.Need("share", "share: 70")
		p := calc.FillPart{Ingredient: m.At("ingredient").Text(), Pos: m.At("ingredient").Pos()}
		whole = readShare(m.At("share"), &p.SharePct) && whole
		parts = append(parts, p)
	})
	if v.Len() == 0 {
		v.Stop(ingredients.CodeEmptyValue, "slot", nil)
		return nil
	}
	if whole && len(parts) == v.Len() {
		var shares []ingredients.Num
		for _, p := range parts {
			shares = append(shares, p.SharePct)
		}
		checkShares(v, "slot", shares)
	}
	return parts
}

// readShare reads a share above 0 and says whether it could.
func readShare(v ingredients.Node, share *ingredients.Num) bool {
	n := v.Pct()
	if n == nil {
		return false
	}
	if n.IsZero() {
		v.Stop(ingredients.CodeBadNumber, "share-zero", nil)
		return false
	}
	*share = *n
	return true
}

// checkShares holds shares to 100 exactly: they are the maker's own choice, so
// nothing has to be rounded.
func checkShares(v ingredients.Node, form string, shares []ingredients.Num) {
	var sum ingredients.Num
	var list ingredients.Values
	for _, s := range shares {
		sum = sum.Add(s)
		list = list.Num("", s, "", ingredients.AsIs)
	}
	if diff := ingredients.Int(100).Sub(sum); !diff.IsZero() {
		side := "add"
		if diff.Sign() < 0 {
			side, diff = "less", diff.Neg()
		}
		v.Stop(CodeShareSum, form, with().Num("sum", sum, "", ingredients.AsIs).Those("shares", list).Num(side, diff, "", ingredients.AsIs))
	}
}

// readPortions reads the shares of a pack that are scented or coloured on their
// own. A slot that the variant fills already cannot be filled again.
func readPortions(v ingredients.Node, slots []string, filled []calc.Fill) (portions []calc.Portion) {
	whole := true
	v.EachIn("portion", portionExample, func(m *ingredients.Mapping) {
		m.Need("share", "share: 60")
		p := calc.Portion{Name: m.At("name").Text(), Pos: m.Pos()}
		if p.Name == "" {
			p.Name = fmt.Sprintf("portion %d", len(portions)+1)
		}
		whole = readShare(m.At("share"), &p.SharePct) && whole
		p.Fill = readFill(m.At("fill"), slots)
		for _, f := range p.Fill {
			if slices.ContainsFunc(filled, func(g calc.Fill) bool { return g.Slot == f.Slot }) {
				m.Reader().Stop(CodeSlotFilledTwice, "", f.Pos, f.Slot, nil)
			}
		}
		portions = append(portions, p)
	})
	if whole && len(portions) > 0 && len(portions) == v.Len() {
		var shares []ingredients.Num
		for _, p := range portions {
			shares = append(shares, p.SharePct)
		}
		checkShares(v, "portions", shares)
	}
	return portions
}
