package batch

import (
	"cmp"
	"encoding/csv"
	"io"
	"slices"
	"strings"

	"gallipot/dossier/store"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// lotUse is one use of one lot: which batch, how much of it.
type lotUse struct {
	Lot         string     `json:"lot"`
	SupplierLot string     `json:"supplier_lot"`
	Ingredient  string     `json:"ingredient"`
	BestBefore  exact.Date `json:"best_before"`
	G           *exact.Num `json:"g"` // g of the lot in the batch; null when not filled in
	Portion     string     `json:"portion"`
	Batch       string     `json:"batch"`
	Date        exact.Date `json:"date"`
	Product     string     `json:"product"`
	Variant     string     `json:"variant"`
	Label       string     `json:"label"` // name on the label, with the revision
	BatchG      exact.Num  `json:"batch_g"`
	Units       *int       `json:"units"` // packs filled; null when not filled in
	State       string     `json:"state"`
	Sent        string     `json:"sent"`           // where packs went, in words
	Via         string     `json:"via"`            // batch through which the lot came in; "" when directly
	Rejected    *int       `json:"rejected_units"` // packs; null when not filled in
	// packs kept as a sample, beside those filled; null when not filled in
	Retained  *int `json:"retained_units"`
	SentUnits *int `json:"sent_units"` // packs recorded as sent; null where a line has no number
	// filled, less rejected and sent; null when not known or less than none
	Left *int `json:"left_units"`
	// CountedAbove says that an earlier row is of the same batch, so that its packs
	// are not added up twice.
	CountedAbove bool `json:"counted_above"`

	name string // of the raw material or of what is packed with
}

// Trace is the way of a lot, or of all lots of a batch.
type Trace struct {
	Asked string   `json:"asked"`
	Kind  string   `json:"kind"` // lot or batch
	Rows  []lotUse `json:"rows"`
}

// TraceLot finds every batch that a lot went into, by the maker's or the
// supplier's number, in any letter case; and where such a batch was used in
// others, as a base of one's own, those too.
//
// A lot received that went into no batch is found, without rows. found is false where no
// record and no lot received has the number.
func TraceLot(w *workshop.Workshop, lot string) (t *Trace, found bool) {
	t = &Trace{Asked: lot, Kind: "lot", Rows: []lotUse{}}
	done := map[string]bool{}
	follow(w, receivedOf(w), lot, "", done, &t.Rows)
	sortTrace(t.Rows)
	markRepeats(t.Rows)
	onFile := strings.TrimSpace(lot) != "" && slices.ContainsFunc(w.Lots, func(l *workshop.Lot) bool {
		return workshop.SameLot(l.Code, lot) || workshop.SameLot(l.SupplierLot, lot)
	})
	return t, len(t.Rows) > 0 || onFile
}

// received are the lots on file by their codes.
type received map[string][]*workshop.Lot

func lotKey(code string) string { return strings.ToLower(strings.TrimSpace(code)) }

func receivedOf(w *workshop.Workshop) received {
	in := received{}
	for _, l := range w.Lots {
		in[lotKey(l.Code)] = append(in[lotKey(l.Code)], l)
	}
	return in
}

// lot is a lot of a record with what its own file says of it.
func (in received) lot(ingredient string, x workshop.BatchLot) workshop.BatchLot {
	for _, l := range in[lotKey(x.Lot)] {
		if l.Ingredient != ingredient {
			continue
		}
		x.SupplierLot = cmp.Or(x.SupplierLot, l.SupplierLot)
		if x.BestBefore.IsZero() {
			x.BestBefore = l.BestBefore
		}
	}
	return x
}

// packaging is the packaging of a batch, as a line and its lot.
func (in received) packaging(p workshop.BatchPackaging) (workshop.BatchLine, workshop.BatchLot) {
	line := workshop.BatchLine{Ingredient: "packaging"}
	for _, l := range in[lotKey(p.Lot)] {
		if l.Ingredient == "" {
			line.Ingredient = cmp.Or(l.Item, "printed labels")
		}
	}
	return line, in.lot("", workshop.BatchLot{Lot: p.Lot})
}

func follow(w *workshop.Workshop, in received, lot, via string, done map[string]bool, rows *[]lotUse) {
	key := strings.ToLower(strings.TrimSpace(lot))
	if key == "" || done[key] {
		return
	}
	done[key] = true
	for _, b := range w.BatchRecords {
		hit := false
		for _, l := range b.Lines {
			for _, x := range l.Lots {
				if x = in.lot(l.Ingredient, x); workshop.SameLot(x.Lot, key) || workshop.SameLot(x.SupplierLot, key) {
					*rows = append(*rows, traceRow(w, b, l, x, via))
					hit = true
				}
			}
		}
		for _, p := range b.Packaging {
			if l, x := in.packaging(p); workshop.SameLot(x.Lot, key) || workshop.SameLot(x.SupplierLot, key) {
				*rows = append(*rows, traceRow(w, b, l, x, via))
				hit = true
			}
		}
		if hit {
			follow(w, in, b.Code, b.Code, done, rows)
		}
	}
}

// TraceBatch lists every lot in a batch; found is false where there is no batch
// of that code. A line without a lot is listed with none.
func TraceBatch(w *workshop.Workshop, code string) (t *Trace, found bool) {
	b := w.Batch(code)
	if b == nil {
		return nil, false
	}
	t = &Trace{Asked: b.Code, Kind: "batch", Rows: []lotUse{}}
	in := receivedOf(w)
	for _, l := range b.Lines {
		if len(l.Lots) == 0 {
			t.Rows = append(t.Rows, traceRow(w, b, l, workshop.BatchLot{}, ""))
		}
		for _, x := range l.Lots {
			t.Rows = append(t.Rows, traceRow(w, b, l, in.lot(l.Ingredient, x), ""))
		}
	}
	for _, p := range b.Packaging {
		l, x := in.packaging(p)
		t.Rows = append(t.Rows, traceRow(w, b, l, x, ""))
	}
	markRepeats(t.Rows)
	return t, true
}

// markRepeats marks the rows whose batch has a row before them.
func markRepeats(rows []lotUse) {
	met := map[string]bool{}
	for i := range rows {
		rows[i].CountedAbove = met[rows[i].Batch]
		met[rows[i].Batch] = true
	}
}

func traceRow(w *workshop.Workshop, b *workshop.Batch, l workshop.BatchLine, x workshop.BatchLot,
	via string) lotUse {
	r := lotUse{Lot: x.Lot, SupplierLot: x.SupplierLot, Ingredient: l.Ingredient,
		name: w.Material(l.Ingredient).Text, BestBefore: x.BestBefore,
		G: x.G, Portion: l.Portion, Batch: b.Code, Date: b.Date,
		Product: b.Product, Variant: b.Variant, BatchG: b.WeighedG(), Units: b.Yield.FilledUnits,
		State: b.State(), Sent: sentText(b.Sent), Via: via,
		Rejected: b.Yield.RejectedUnits, Retained: b.Retained.Units, SentUnits: sentUnits(b.Sent)}
	if r.Units != nil && r.SentUnits != nil {
		left := *r.Units - *r.SentUnits
		if r.Rejected != nil {
			left -= *r.Rejected
		}
		if left >= 0 {
			r.Left = &left
		}
	}
	if r.G == nil && len(l.Lots) <= 1 {
		r.G = l.WeighedG
	}
	r.Label = productName(b)
	if p := w.Product(b.Product); p != nil {
		r.Label = p.Name
		for _, v := range p.Variants {
			if v.ID == b.Variant && v.Name != "" {
				r.Label = v.Name
			}
		}
	}
	if b.Revision > 0 {
		r.Label += ", revision " + words.Itoa(b.Revision)
	}
	return r
}

func sentText(list []workshop.BatchSent) string {
	var parts []string
	for _, s := range list {
		text := s.To
		if s.Units != nil {
			text += " " + words.Itoa(*s.Units)
		}
		if !s.Date.IsZero() {
			text += " on " + s.Date.String()
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, "; ")
}

// sentUnits adds up the packs sent; nil where a line does not say how many.
func sentUnits(list []workshop.BatchSent) *int {
	sum := 0
	for _, s := range list {
		if s.Units == nil {
			return nil
		}
		sum += *s.Units
	}
	return &sum
}

func sortTrace(rows []lotUse) {
	slices.SortStableFunc(rows, func(a, b lotUse) int {
		return cmp.Or(cmp.Compare(a.Date, b.Date), strings.Compare(a.Batch, b.Batch),
			strings.Compare(a.Ingredient, b.Ingredient))
	})
}

// Lots returns every lot number on record, the maker's and the suppliers', each
// once, sorted.
func Lots(w *workshop.Workshop) []string {
	var all []string
	for _, b := range w.BatchRecords {
		for _, l := range b.Lines {
			for _, x := range l.Lots {
				for _, n := range []string{x.Lot, x.SupplierLot} {
					if n != "" {
						all = append(all, n)
					}
				}
			}
		}
	}
	for _, l := range w.Lots {
		for _, n := range []string{l.Code, l.SupplierLot} {
			if n != "" {
				all = append(all, n)
			}
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// traceHead are the columns of a trace as CSV.
var traceHead = []string{"lot", "supplier_lot", "ingredient", "best_before", "g", "portion", "batch", "date",
	"product", "variant", "label", "batch_g", "units", "state", "sent", "via",
	"rejected_units", "retained_units", "sent_units", "left_units", "counted_above"}

// WriteCSV prints a trace as CSV for a spreadsheet: a byte order mark, UTF-8, commas. Packs and customers of a batch
// stand in its first row alone, so that a column adds up to what there was; further
// rows of the batch say yes under counted_above. Text that a spreadsheet
// would take for a formula gets an apostrophe in front.
func (t *Trace) WriteCSV(w io.Writer) error {
	if _, err := io.WriteString(w, words.ByteOrderMark); err != nil {
		return err
	}
	c := csv.NewWriter(w)
	if err := c.Write(traceHead); err != nil {
		return err
	}
	for _, r := range t.Rows {
		g := ""
		if r.G != nil {
			g = r.G.Exact()
		}
		again := "no"
		if r.CountedAbove {
			r.Units, r.Rejected, r.Retained, r.SentUnits, r.Left, r.Sent, again = nil, nil, nil, nil, nil, "", "yes"
		}
		cells := []string{r.Lot, r.SupplierLot, r.Ingredient, r.BestBefore.String(), g, r.Portion, r.Batch,
			r.Date.String(), r.Product, r.Variant, r.Label, r.BatchG.Exact(), countText(r.Units), r.State,
			r.Sent, r.Via,
			countText(r.Rejected), countText(r.Retained), countText(r.SentUnits), countText(r.Left), again}
		for i, cell := range cells {
			cells[i] = words.Cell(cell)
		}
		if err := c.Write(cells); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

// countText prints a count, nothing where it is not known.
func countText(n *int) string {
	if n == nil {
		return ""
	}
	return words.Itoa(*n)
}

// WriteJSON prints a trace as JSON. Masses are in g.
func (t *Trace) WriteJSON(w io.Writer) error { return store.WriteIndented(w, t) }
