package workshop

import (
	"path"
	"strings"

	"gallipot/dossier/batchcode"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// readGoods reads the file of one lot. Keys without a value are still to be filled in. The
// ids it names are not looked up.
//
// The lot is nil when the file cannot be parsed at all; otherwise it holds what could be
// read.
func readGoods(src *source.Source) (*Lot, []finding.Finding) {
	r := source.NewReader(src)
	m, ok := r.Root("lot")
	if !ok {
		return nil, r.Findings()
	}
	l := &Lot{Source: src}
	readLotHead(m, l)
	m.Filled("certificate").In("certificate of analysis",
		"{file: evidence/…pdf, dated: 2026-03-31, results: […]}", func(m *source.Mapping) {
			l.Certificate = Certificate{File: m.Filled("file").Text(), Dated: m.Filled("dated").Date(),
				Pos: m.Pos()}
			m.Filled("results").EachIn("result", `{what: pH, found: 5.4, wanted: "5-6"}`,
				func(m *source.Mapping) {
					m.Need("what", "what: pH")
					m.Need("found", "found: 5.4")
					l.Certificate.Results = append(l.Certificate.Results,
						LotResult{What: m.At("what").Text(), Found: m.At("found").Text(),
							Wanted: m.Filled("wanted").Text(), Pos: m.At("what").Pos()})
				})
		})
	m.Filled("holds").EachIn("hold", "{from: 2026-04-01, until: 2026-04-09, reason: …}",
		func(m *source.Mapping) {
			m.Need("from", "from: 2026-04-01")
			m.Need("reason", "reason: why it may not be used")
			l.Holds = append(l.Holds, LotHold{From: m.At("from").Date(), Until: m.Filled("until").Date(),
				Reason: m.At("reason").Prose(), Pos: m.Pos()})
		})
	l.Discarded = readMoves(m.Filled("discarded"), l, "discarded")
	l.Counted = readMoves(m.Filled("counted"), l, "counted")
	l.Remarks = m.Filled("remarks").Prose()
	m.Done()
	return l, r.Findings()
}

func readLotHead(m *source.Mapping, l *Lot) {
	name := m.Reader().Source().Name
	want := strings.TrimSuffix(path.Base(name), path.Ext(name))
	m.Need("lot", "lot: "+want)
	code := m.At("lot")
	l.Code, l.Pos = code.Text(), code.Pos()
	switch {
	case l.Code == "":
		l.Code, l.Pos = want, m.Pos()
	case !batchcode.WellFormed(l.Code):
		code.Stop(codeBatchCode, "lot", With().Quote("typed", l.Code))
	case l.Code != want:
		code.Stop(source.CodeIDMismatch, "", With().Name("typed", l.Code).Name("file",
			path.Base(name)).Name("wanted", want).Name("rename", l.Code+path.Ext(name)))
	}
	material, item := m.At("ingredient"), m.At("item")
	l.Ingredient, l.IngredientPos, l.Item = material.Text(), material.Pos(), item.Text()
	l.Label = readPrintedFor(m.Filled("label"))
	switch {
	case l.Label != nil && l.Item == "":
		l.Item = "label"
	case l.Ingredient == "" && l.Item == "":
		m.Need("ingredient", "ingredient: the id of a sheet; or item: jar 120 ml, for packaging")
	case l.Ingredient != "" && l.Item != "":
		item.Stop(codeLotKind, "both", nil)
	}
	l.Supplier, l.SupplierLot = m.Filled("supplier").Text(), m.Filled("supplier_lot").Text()
	m.Need("received", "received: 2026-03-31")
	l.Received, l.ReceivedPos = m.At("received").Date(), m.At("received").Pos()
	l.BestBefore, l.BestBeforePos = m.Filled("best_before").Date(), m.Filled("best_before").Pos()
	l.Retest = m.Filled("retest").Date()
	l.Price = m.Filled("price").NotNegative()
	g, units := m.At("received_g"), m.At("received_units")
	l.G, l.Units = g.Positive(), readUnits(units)
	switch {
	case l.IsPackaging() && g.Present():
		g.Stop(codeLotKind, "grams", nil)
	case !l.IsPackaging() && units.Present():
		units.Stop(codeLotKind, "units", nil)
	case l.IsPackaging():
		m.Need("received_units", "received_units: 200")
	default:
		m.Need("received_g", "received_g: 5000")
	}
}

func readPrintedFor(v source.Node) (l *PrintedFor) {
	v.In("what the labels were printed for",
		"{product: heath-wash, variant: duo, market: GB, ingredients: …}", func(m *source.Mapping) {
			m.Need("product", "product: the id of the product")
			m.Need("market", "market: GB")
			m.Need("ingredients", "ingredients: the list as printed")
			l = &PrintedFor{Product: m.At("product").Text(), Variant: m.Filled("variant").Text(),
				Market:      m.At("market").Choice(marketWords...),
				Ingredients: m.At("ingredients").Prose(), Pos: m.Pos()}
			l.Revision, _ = m.Filled("revision").Count(1, 9999)
		})
	return l
}

// readMoves reads what was thrown away or counted, in the unit of the lot.
func readMoves(v source.Node, l *Lot, what string) (list []LotMove) {
	unit, example := "g", "{date: 2026-04-01, g: 50, reason: …}"
	if l.IsPackaging() {
		unit, example = "units", "{date: 2026-04-01, units: 3, reason: …}"
	}
	v.EachIn(what, example, func(m *source.Mapping) {
		m.Need("date", "date: 2026-04-01")
		m.Need(unit, unit+": what was "+what)
		x := LotMove{Date: m.At("date").Date(), Reason: m.Filled("reason").Prose(), Pos: m.Pos()}
		if unit == "g" {
			x.G = m.At("g").NotNegative()
		} else {
			x.Units = readUnits(m.At("units"))
		}
		list = append(list, x)
	})
	return list
}
