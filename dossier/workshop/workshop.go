package workshop

import (
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/dossier/batchcode"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
	"slices"
	"strings"
)

// Workshop is the maker's folder as read. It does not change after Load.
type Workshop struct {
	Dir string // as given

	Maker              Party
	ResponsiblePersons map[rows.Market]Party
	Markets            []rows.Market    // default for products
	BalanceDivisionG   *exact.Num       // g, smallest step of the balance; nil: not given
	FineDivisionG      *exact.Num       // g, smallest step of a second, finer balance; nil: there is none
	FineMaxG           *exact.Num       // g, the most that it takes; nil: there is none
	BatchCode          batchcode.Scheme // how new batches are numbered
	EvidenceYears      int              // a supplier document older than this is asked for again
	Outlets            []outlet         // whom to reach where packs went
	Decisions          []Decision       // on what any product asks
	Invented           bool             // demo data says so of itself

	Sheets   map[string]*ingredients.Sheet // by id
	Products []*Product                    // by id
	Batches  []string                      // names of the batch files, sorted
	// BatchRecords are the batches that could be read, in the order of their files.
	BatchRecords []*Batch
	Lots         []*Lot            // those that could be read, in the order of their files
	LotFiles     []string          // names of the lot files, sorted, readable or not
	OwnLimits    map[string][]byte // the maker's own limit tables by file name, as typed

	Sources map[string]*source.Source // every file read, by name

	SheetFile map[string]string // sheet id to file name
	Loaded    []finding.Finding
	OwnRows   []*annex.Limit // of OwnLimits, in the order of the files

	files  map[string]fileRead // what was read of each, by name
	onHand map[string]bool     // papers that can be opened, by name

	Law     *table.Tables     // it was read against
	LotDate map[string]LotUse // see lotDates
}

// Party is a person or firm with an address.
type Party struct {
	Name    string
	Address []string // line by line
	Country string   // two-letter code; "" when not given
	Contact contact  // whom an authority or a poison centre reaches
	// HoldsFile says that the product file is held at this address.
	HoldsFile bool
	Pos       exact.Pos
}

// outlet is a shop, market or person that packs are sent to, as batch records call it.
type outlet struct {
	Name    string
	Contact contact
}

// Outlet returns whom to reach at a place that packs went to; nobody where it is not
// entered.
func (w *Workshop) Outlet(name string) contact {
	for _, o := range w.Outlets {
		if SameLot(o.Name, name) {
			return o.Contact
		}
	}
	return contact{}
}

// Excerpt returns the line of a place as typed and a line with carets under it;
// both are empty where the place is in none of the files read.
func (w *Workshop) Excerpt(pos exact.Pos) (line, caret string) {
	if s := w.Sources[pos.File]; s != nil {
		return s.Excerpt(pos)
	}
	return "", ""
}

// SheetIDs returns the ids of all sheets, sorted.
func (w *Workshop) SheetIDs() []string {
	var ids []string
	for id := range w.Sheets {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	return ids
}

// SheetSource returns the file of a sheet, or nil.
func (w *Workshop) SheetSource(id string) *source.Source { return w.Sources[w.SheetFile[id]] }

// Product returns the product of an id, or nil.
func (w *Workshop) Product(id string) *Product {
	for _, p := range w.Products {
		if p.ID == id {
			return p
		}
	}
	return nil
}

// Batch returns the batch of a code, in any letter case, or nil.
func (w *Workshop) Batch(code string) *Batch {
	for _, b := range w.BatchRecords {
		if strings.EqualFold(b.Code, code) {
			return b
		}
	}
	return nil
}

// LatestRecord is the day of the last batch on record; zero where there is none.
func (w *Workshop) LatestRecord() (day exact.Date) {
	for _, b := range w.BatchRecords {
		day = max(day, b.Date)
	}
	return day
}

// BatchCodes returns the codes of all batches, in the order of their files.
func (w *Workshop) BatchCodes() []string {
	codes := make([]string, len(w.BatchRecords))
	for i, b := range w.BatchRecords {
		codes[i] = b.Code
	}
	return codes
}

// BatchesOf returns the batches of a product, the oldest first.
func (w *Workshop) BatchesOf(product string) []*Batch {
	var list []*Batch
	for _, b := range w.BatchRecords {
		if b.Product == product {
			list = append(list, b)
		}
	}
	slices.SortStableFunc(list, func(a, b *Batch) int { return int(a.Date) - int(b.Date) })
	return list
}

// contact is a person who can be reached about a product. Empty fields are not
// given.
type contact struct {
	Name  string
	Phone string
	Email string
}

// Words prints a contact, a line each.
func (c contact) Words() string {
	return strings.Join(slices.DeleteFunc([]string{c.Name, c.Phone, c.Email},
		func(s string) bool { return s == "" }), "\n")
}

// ContactFor returns whom to reach about a product on a market: the person for the
// EU serves Northern Ireland too.
func (w *Workshop) ContactFor(m rows.Market) contact {
	person, ok := w.ResponsiblePersons[m]
	if !ok {
		person = w.ResponsiblePersons[m.Annexes()]
	}
	return person.Contact
}
