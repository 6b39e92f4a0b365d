package workshop

import (
	"path"
	"strings"

	"gallipot/dossier/batchcode"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// ReadBatch reads one batch record. Keys without a value are still to be filled
// in and no mistake. The ids it names are not looked up.
//
// The batch is nil when the file cannot be parsed at all; otherwise it holds what
// could be read, and a finding that says Unread tells that the record may not be
// relied on.
func ReadBatch(src *source.Source) (*Batch, []finding.Finding) {
	r := source.NewReader(src)
	m, ok := r.Root("batch record")
	if !ok {
		return nil, r.Findings()
	}
	b := &Batch{Source: src}
	readBatchHead(m, b)
	m.Need("lines", "lines: ["+batchLineExample+"]")
	m.At("lines").EachIn("line", batchLineExample,
		func(m *source.Mapping) { b.Lines = append(b.Lines, readBatchLine(m)) })
	m.Filled("portions").EachIn("portion", "{name: first layer, planned_base_g: 1180, base_g: 1180}",
		func(m *source.Mapping) {
			m.Need("name", "name: the name of the portion in the product file")
			b.Portions = append(b.Portions, batchPortion{Name: m.At("name").Text(),
				PlannedG: m.Filled("planned_base_g").Positive(), BaseG: m.Filled("base_g").NotNegative(),
				Reason: m.Filled("reason").Prose(), Pos: m.Pos()})
		})
	m.Filled("checks").EachIn("check", `{what: pH, wanted: "5.0-6.0", found: 5.4, ok: true, by: …}`,
		func(m *source.Mapping) {
			m.Need("what", "what: pH")
			b.Checks = append(b.Checks, BatchCheck{What: m.At("what").Text(),
				Wanted: m.Filled("wanted").Text(),
				Found:  m.Filled("found").Text(),
				OK:     m.Filled("ok").Bool(), By: m.Filled("by").Text(), Pos: m.Pos()})
		})
	readBatchEnd(m, b)
	m.Done()
	b.checkPortions(r)
	return b, r.Findings()
}

func readBatchHead(m *source.Mapping, b *Batch) {
	name := m.Reader().Source().Name
	want := strings.TrimSuffix(path.Base(name), path.Ext(name))
	m.Need("code", "code: "+want)
	code := m.At("code")
	b.Code, b.Pos = code.Text(), code.Pos()
	switch {
	case b.Code == "":
		b.Code, b.Pos = want, m.Pos()
	case !batchcode.WellFormed(b.Code):
		code.Stop(codeBatchCode, "", With().Quote("typed", b.Code))
	case b.Code != want:
		code.Stop(source.CodeIDMismatch, "", With().Name("typed", b.Code).Name("file",
			path.Base(name)).Name("wanted", want).Name("rename", b.Code+path.Ext(name)))
	}
	m.Need("product", "product: the id of the product")
	m.Need("date", "date: 2026-03-31, the day it is made")
	b.Product, b.ProductPos = m.At("product").Text(), m.At("product").Pos()
	b.Variant, b.VariantPos = m.Filled("variant").Text(), m.At("variant").Pos()
	b.Revision, _ = m.Filled("revision").Count(1, 9999)
	b.Fingerprint = strings.ToLower(m.Filled("fingerprint").Text())
	b.Date, b.DatePos = m.At("date").Date(), m.At("date").Pos()
	b.BatchG, b.DivisionG, b.PlannedUnits = m.Filled("batch_g").Positive(), m.Filled("division_g").Positive(),
		readUnits(m.Filled("planned_units"))
	b.MadeBy, b.Place, b.StartBy = m.Filled("made_by").Text(), m.Filled("place").Text(),
		m.Filled("start_checked_by").Text()
}

func readBatchLine(m *source.Mapping) BatchLine {
	m.Need("ingredient", "ingredient: the id of a sheet")
	l := BatchLine{
		Ingredient: m.At("ingredient").Text(), Phase: m.Filled("phase").Text(),
		Portion: m.Filled("portion").Text(), Added: m.Filled("added").Yes(),
		PlannedG: m.Filled("planned_g").Positive(), WeighedG: m.Filled("weighed_g").NotNegative(),
		Reason: m.Filled("reason").Prose(), Pos: m.At("ingredient").Pos(),
	}
	lots := m.Filled("lots")
	if one := readLot(m); one.Lot != "" || one.SupplierLot != "" || !one.BestBefore.IsZero() {
		l.Lots = append(l.Lots, one)
		l.LotAndLots = lots.IsList() && lots.Len() > 0
	}
	lots.EachIn("lot", "{lot: RM-0231, g: 500}", func(m *source.Mapping) {
		m.Need("lot", "lot: RM-0231")
		m.Need("g", "g: 500, the grams of this lot")
		lot := readLot(m)
		lot.G = m.Filled("g").NotNegative()
		l.Lots = append(l.Lots, lot)
	})
	l.sumLots(lots)
	return l
}

// readLot reads the keys of one lot.
func readLot(m *source.Mapping) BatchLot {
	lot := BatchLot{Lot: m.Filled("lot").Text(), SupplierLot: m.Filled("supplier_lot").Text(),
		BestBefore: m.Filled("best_before").Date(), Pos: m.Pos()}
	if v := m.Filled("lot"); v.Present() {
		lot.Pos = v.Pos()
	}
	return lot
}

// sumLots takes the mass of a line from its lots, and holds the two together
// where both are there.
func (l *BatchLine) sumLots(v source.Node) {
	if !v.IsList() {
		return
	}
	var sum exact.Num
	for _, lot := range l.Lots {
		if lot.G == nil {
			return
		}
		sum = sum.Add(*lot.G)
	}
	switch {
	case l.WeighedG == nil:
		l.WeighedG = &sum
	case !l.WeighedG.Equal(sum):
		v.Stop(codeLotSum, "", With().Num("sum", sum, "g", finding.AsIs).Num("weighed", *l.WeighedG, "g",
			finding.AsIs))
	}
}

func readBatchEnd(m *source.Mapping, b *Batch) {
	m.Filled("yield").In("yield", "{filled_units: 24, filled_g: 2880}", func(m *source.Mapping) {
		b.Yield = batchYield{FilledUnits: readUnits(m.Filled("filled_units")),
			FilledG: m.Filled("filled_g").NotNegative(), Dried: m.Filled("dried").Bool(),
			RejectedUnits: readUnits(m.Filled("rejected_units")), Reason: m.Filled("reason").Prose(),
			Pos: m.Pos()}
	})
	m.Filled("labels").In("count of labels", "{used: 24, left: 6}", func(m *source.Mapping) {
		b.Labels = batchLabels{Used: readUnits(m.Filled("used")), Left: readUnits(m.Filled("left"))}
	})
	m.Filled("packaging").EachIn("packaging", "{lot: PK-0012, units: 24}", func(m *source.Mapping) {
		m.Need("lot", "lot: PK-0012")
		b.Packaging = append(b.Packaging, BatchPackaging{Lot: m.At("lot").Text(),
			Units: readUnits(m.Filled("units")), Pos: m.At("lot").Pos()})
	})
	m.Filled("retained").In("retained sample", "{units: 1, where: shelf 2}", func(m *source.Mapping) {
		b.Retained = batchRetained{Units: readUnits(m.Filled("units")), G: m.Filled("g").NotNegative(),
			Where: m.Filled("where").Text(), Pos: m.Pos()}
	})
	m.Filled("release").In("release", "{decision: released, by: …, date: 2026-03-31}",
		func(m *source.Mapping) {
			b.Release = batchRelease{Decision: m.Filled("decision").Choice("released", "rejected", "rework"),
				By: m.Filled("by").Text(), Date: m.Filled("date").Date(), Pos: m.Pos()}
		})
	b.Remarks = m.Filled("remarks").Prose()
	m.Filled("sent").EachIn("line of what was sent", "{to: …, date: 2026-03-31, units: 12}",
		func(m *source.Mapping) {
			m.Need("to", "to: the name of the shop, market or order")
			b.Sent = append(b.Sent, BatchSent{To: m.At("to").Text(), Date: m.Filled("date").Date(),
				Units: readUnits(m.Filled("units")), Pos: m.Pos()})
		})
}

// readUnits reads a count of packs; nil when it is absent or wrong.
func readUnits(v source.Node) *int {
	if n, ok := v.Count(0, 1_000_000_000); ok {
		return &n
	}
	return nil
}

// checkPortions holds the portions of the lines to those of the record.
func (b *Batch) checkPortions(r *source.Reader) {
	var names []string
	for _, p := range b.Portions {
		names = append(names, p.Name)
	}
	for _, l := range b.Lines {
		if l.Portion == "" || hasName(names, l.Portion) {
			continue
		}
		r.Stop(codeUnknownPortion, "", l.Pos, l.Ingredient,
			With().Quote("portion", l.Portion).Name("near", source.Nearest(l.Portion, names)))
	}
}

func hasName(names []string, name string) bool {
	for _, n := range names {
		if n == name {
			return true
		}
	}
	return false
}

func readCodeScheme(v source.Node) batchcode.Scheme {
	text := v.Text()
	if text == "" {
		return batchcode.Default()
	}
	s, err := batchcode.Parse(text)
	if err != nil {
		v.Failed(codeBatchCodeScheme, err)
		return batchcode.Default()
	}
	s.Pos = v.Pos()
	return s
}

// readFineBalance reads the second balance, which needs both its division and
// its reach.
func readFineBalance(m *source.Mapping) (division, most *exact.Num) {
	if !m.At("fine_division_g").Present() && !m.At("fine_max_g").Present() {
		return nil, nil
	}
	m.Need("fine_division_g", "fine_division_g: 0.01")
	m.Need("fine_max_g", "fine_max_g: 200")
	v := m.At("fine_division_g")
	division, most = v.Positive(), m.At("fine_max_g").Positive()
	coarse := m.At("division_g").Positive()
	switch {
	case division == nil || most == nil || coarse == nil:
		return nil, nil
	case !division.Less(*coarse):
		v.Stop(source.CodeBadNumber, "fine-not-finer",
			With().Num("fine", *division, "g", finding.AsIs).Num("coarse", *coarse, "g", finding.AsIs))
		return nil, nil
	case !coarse.Quo(*division).Floor().Equal(coarse.Quo(*division)):
		v.Stop(source.CodeBadNumber, "fine-does-not-divide",
			With().Num("fine", *division, "g", finding.AsIs).Num("coarse", *coarse, "g", finding.AsIs))
		return nil, nil
	}
	return division, most
}

const batchLineExample = "{ingredient: water, phase: A, planned_g: 1040.2, weighed_g: 1040.2, lot: RM-0231}"
