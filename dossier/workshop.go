package dossier

import (
	"io/fs"
	"os"
	"runtime"
	"slices"
	"sync"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// Workshop is the maker's folder as read. It does not change after Load.
type Workshop struct {
	Dir string // as given

	Maker              Party
	ResponsiblePersons map[law.Market]Party
	Markets            []law.Market     // default for products
	BalanceDivisionG   *ingredients.Num // g, smallest step of the balance; nil: not given
	FineDivisionG      *ingredients.Num // g, smallest step of a second, finer balance; nil: there is none
	FineMaxG           *ingredients.Num // g, the most that it takes; nil: there is none
	BatchCode          CodeScheme       // how new batches are numbered
	EvidenceYears      int              // a supplier document older than this is asked for again
	Invented           bool             // demo data says so of itself

	Sheets   map[string]*ingredients.Sheet // by id
	Products []*Product                    // by id
	Batches  []string                      // names of the batch files, sorted
	// BatchRecords are the batches that could be read, in the order of their files.
	BatchRecords []*Batch
	OwnLimits    map[string][]byte // the maker's own limit tables by file name, as typed

	Sources map[string]*ingredients.Source // every file read, by name

	sheetFile map[string]string // sheet id to file name
	loaded    []ingredients.Finding
	ownRows   []*law.Limit // of OwnLimits, in the order of the files

	law     *law.Tables       // it was read against
	lotDate map[string]lotUse // see lotDates
}

// Party is a person or firm with an address.
type Party struct {
	Name    string
	Address []string // line by line
	Country string   // two-letter code; "" when not given
	Contact Contact  // whom an authority or a poison centre reaches
	// HoldsFile says that the product file is held at this address.
	HoldsFile bool
	Pos       ingredients.Pos
}

// defaultEvidenceYears holds where workshop.yaml does not say.
const defaultEvidenceYears = 3

// Load reads a workshop folder. It never stops at the first mistake: findings
// hold all of them, by file and line. Product types, countries and the like are
// those of the tables.
//
// The workshop is nil when the folder has no workshop.yaml or cannot be opened.
// Nothing outside the folder is read; a link that leads out of it is refused.
func Load(dir string, tables *law.Tables) (*Workshop, []ingredients.Finding) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, []ingredients.Finding{noWorkshop(dir, "no-folder")}
	}
	defer root.Close()
	return LoadFS(dir, root.FS(), tables)
}

// LoadFS is Load for a file system. dir is used in messages alone.
func LoadFS(dir string, fsys fs.FS, tables *law.Tables) (*Workshop, []ingredients.Finding) {
	l := &loader{fsys: fsys, w: &Workshop{
		Dir:                dir,
		law:                tables,
		ResponsiblePersons: map[law.Market]Party{},
		EvidenceYears:      defaultEvidenceYears,
		BatchCode:          defaultCodeScheme(),
		Sheets:             map[string]*ingredients.Sheet{},
		OwnLimits:          map[string][]byte{},
		Sources:            map[string]*ingredients.Source{},
		sheetFile:          map[string]string{},
	}}
	if !l.readWorkshop() {
		return nil, append(l.findings, noWorkshop(dir, ""))
	}
	l.readAll()
	l.crossCheck()
	l.checkEvidence()
	l.w.lotDate = lotDates(l.w.BatchRecords)
	l.w.loaded = ingredients.SortFindings(l.findings)
	return l.w, l.w.loaded
}

func noWorkshop(dir, form string) ingredients.Finding {
	f := ingredients.NewFinding(ingredients.Stop, CodeNoWorkshop, ingredients.Pos{}, nil).As(form).On(dir).By(ingredients.TheMaker).
		With(ingredients.Action{Kind: ingredients.ActionBegin})
	f.Unread = true
	return f
}

// Excerpt returns the line of a place as typed and a line with carets under it;
// both are empty where the place is in none of the files read.
func (w *Workshop) Excerpt(pos ingredients.Pos) (line, caret string) {
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
func (w *Workshop) SheetSource(id string) *ingredients.Source { return w.Sources[w.sheetFile[id]] }

// Product returns the product of an id, or nil.
func (w *Workshop) Product(id string) *Product {
	for _, p := range w.Products {
		if p.ID == id {
			return p
		}
	}
	return nil
}

// loader fills a workshop.
type loader struct {
	fsys   fs.FS
	w      *Workshop
	sheets []string // names of the sheet files, readable or not
	// productFile holds the ids that belong to the product files, readable or not.
	productFile map[string]bool
	findings    []ingredients.Finding
}

// readAll reads every sheet and product, several at a time, and enters them in
// the order of their names, so that the result does not depend on which was
// ready first.
func (l *loader) readAll() {
	l.noteStrangers()
	sheets, products, batches := l.list("ingredients"), l.list("products"), l.list("batches")
	l.sheets = sheets
	l.productFile = productFiles(products)
	type result struct {
		src      *ingredients.Source
		sheet    *ingredients.Sheet
		product  *Product
		batch    *Batch
		findings []ingredients.Finding
	}
	names := slices.Concat(sheets, products, batches)
	results := make([]result, len(names))
	env := newProductEnv(l.w.Markets, l.w.law)
	inParallel(len(names), func(i int) {
		r := &results[i]
		var f *ingredients.Finding
		if r.src, f = l.open(names[i]); f != nil {
			r.findings = []ingredients.Finding{*f}
			return
		}
		r.src.Keep()
		defer r.src.Release()
		switch {
		case i < len(sheets):
			r.sheet, r.findings = ingredients.ReadSheet(r.src)
			r.src.Canonical()
		case i < len(sheets)+len(products):
			r.product, r.findings = readProduct(r.src, env)
			r.src.Canonical(besideFigures...)
		default:
			r.batch, r.findings = ReadBatch(r.src)
		}
	})
	for i, r := range results {
		l.findings = append(l.findings, r.findings...)
		if r.src != nil {
			l.w.Sources[names[i]] = r.src
		}
		switch {
		case r.sheet != nil:
			l.addSheet(names[i], r.sheet)
		case r.product != nil:
			l.addProduct(r.product)
		case r.batch != nil:
			l.addBatch(r.batch)
		}
	}
	slices.SortStableFunc(l.w.Products, func(a, b *Product) int {
		switch {
		case a.ID < b.ID:
			return -1
		case a.ID > b.ID:
			return 1
		}
		return 0
	})
	l.w.Batches = batches
	l.readOwnLimits()
}

// inParallel calls f for 0 to n-1 on as many goroutines as there are processors.
func inParallel(n int, f func(i int)) {
	var wg sync.WaitGroup
	next := make(chan int)
	for range min(n, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for i := range next {
				f(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wg.Wait()
}

func (l *loader) addSheet(file string, s *ingredients.Sheet) {
	id := s.ID
	if id == "" {
		id = idOfFile(file) // so that the formulas that use it get no finding of their own
	}
	if first := l.w.sheetFile[id]; first != "" {
		l.stop(ingredients.CodeDuplicateID, "", s.Pos, id, with().Name("other", first))
		return
	}
	l.w.Sheets[id] = s
	l.w.sheetFile[id] = file
}

func (l *loader) addProduct(p *Product) {
	if first := l.w.Product(p.ID); first != nil && p.ID != "" {
		l.stop(ingredients.CodeDuplicateID, "", p.Pos, p.ID, with().Name("other", first.Source.Name))
		return
	}
	l.w.Products = append(l.w.Products, p)
}

// stop adds a finding of kind stop that says the files cannot be read as they
// stand.
func (l *loader) stop(code, form string, pos ingredients.Pos, subject string, v ingredients.Values) {
	f := ingredients.NewFinding(ingredients.Stop, code, pos, v).As(form).On(subject).By(ingredients.TheMaker)
	f.Unread = true
	l.findings = append(l.findings, f)
}
