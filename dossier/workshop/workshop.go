package workshop

import (
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/dossier/parallel"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// Workshop is the maker's folder as read. It does not change after Load.
type Workshop struct {
	Dir string // as given

	Maker              Party
	ResponsiblePersons map[rows.Market]Party
	Markets            []rows.Market // default for products
	BalanceDivisionG   *exact.Num    // g, smallest step of the balance; nil: not given
	FineDivisionG      *exact.Num    // g, smallest step of a second, finer balance; nil: there is none
	FineMaxG           *exact.Num    // g, the most that it takes; nil: there is none
	BatchCode          codeScheme    // how new batches are numbered
	EvidenceYears      int           // a supplier document older than this is asked for again
	Invented           bool          // demo data says so of itself

	Sheets   map[string]*ingredients.Sheet // by id
	Products []*Product                    // by id
	Batches  []string                      // names of the batch files, sorted
	// BatchRecords are the batches that could be read, in the order of their files.
	BatchRecords []*Batch
	OwnLimits    map[string][]byte // the maker's own limit tables by file name, as typed

	Sources map[string]*source.Source // every file read, by name

	SheetFile map[string]string // sheet id to file name
	Loaded    []finding.Finding
	OwnRows   []*table.Limit // of OwnLimits, in the order of the files

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

// defaultEvidenceYears holds where workshop.yaml does not say.
const defaultEvidenceYears = 3

// Load reads a workshop folder. It never stops at the first mistake: findings
// hold all of them, by file and line. Product types, countries and the like are
// those of the tables.
//
// The workshop is nil when the folder has no workshop.yaml or cannot be opened.
// Nothing outside the folder is read; a link that leads out of it is refused.
func Load(dir string, tables *table.Tables) (*Workshop, []finding.Finding) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		if info, err := os.Stat(dir); err == nil && !info.IsDir() {
			return nil, []finding.Finding{noWorkshop(dir, "file")}
		}
		return nil, []finding.Finding{noWorkshop(dir, "no-folder")}
	}
	defer root.Close()
	return LoadFS(dir, root.FS(), tables)
}

// LoadFS is Load for a file system. dir is used in messages alone.
func LoadFS(dir string, fsys fs.FS, tables *table.Tables) (*Workshop, []finding.Finding) {
	l := &loader{fsys: fsys, w: &Workshop{
		Dir:                dir,
		Law:                tables,
		ResponsiblePersons: map[rows.Market]Party{},
		EvidenceYears:      defaultEvidenceYears,
		BatchCode:          defaultCodeScheme(),
		Sheets:             map[string]*ingredients.Sheet{},
		OwnLimits:          map[string][]byte{},
		Sources:            map[string]*source.Source{},
		SheetFile:          map[string]string{},
	}}
	if !l.readWorkshop() {
		return nil, append(l.findings, noWorkshop(dir, ""))
	}
	l.readAll()
	l.crossCheck()
	l.checkEvidence()
	l.w.LotDate = lotDates(l.w.BatchRecords)
	l.w.Loaded = source.SortFindings(l.findings)
	return l.w, l.w.Loaded
}

func noWorkshop(dir, form string) finding.Finding {
	var values finding.Values
	if form == "file" {
		values = With().Name("folder", filepath.ToSlash(filepath.Dir(dir)))
	}
	f := finding.NewFinding(finding.Stop, codeNoWorkshop, exact.Pos{}, values).As(form).On(dir).By(finding.TheMaker).
		With(finding.Action{Kind: finding.ActionBegin})
	f.Unread = true
	return f
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

// loader fills a workshop.
type loader struct {
	fsys   fs.FS
	w      *Workshop
	sheets []string // names of the sheet files, readable or not
	// productFile holds the ids that belong to the product files, readable or not.
	productFile map[string]bool
	findings    []finding.Finding
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
		src      *source.Source
		sheet    *ingredients.Sheet
		product  *Product
		batch    *Batch
		findings []finding.Finding
	}
	names := slices.Concat(sheets, products, batches)
	results := make([]result, len(names))
	env := newProductEnv(l.w.Markets, l.w.Law)
	parallel.Each(len(names), func(i int) {
		r := &results[i]
		var f *finding.Finding
		if r.src, f = l.open(names[i]); f != nil {
			r.findings = []finding.Finding{*f}
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
			r.src.Canonical(BesideFigures...)
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

func (l *loader) addSheet(file string, s *ingredients.Sheet) {
	id := s.ID
	if id == "" {
		id = IDOfFile(file) // so that the formulas that use it get no finding of their own
	}
	if first := l.w.SheetFile[id]; first != "" {
		l.stop(source.CodeDuplicateID, "", s.Pos, id, With().Name("other", first))
		return
	}
	l.w.Sheets[id] = s
	l.w.SheetFile[id] = file
}

func (l *loader) addProduct(p *Product) {
	if first := l.w.Product(p.ID); first != nil && p.ID != "" {
		l.stop(source.CodeDuplicateID, "", p.Pos, p.ID, With().Name("other", first.Source.Name))
		return
	}
	l.w.Products = append(l.w.Products, p)
}

// stop adds a finding of kind stop that says the files cannot be read as they
// stand.
func (l *loader) stop(code, form string, pos exact.Pos, subject string, v finding.Values) {
	f := finding.NewFinding(finding.Stop, code, pos, v).As(form).On(subject).By(finding.TheMaker)
	f.Unread = true
	l.findings = append(l.findings, f)
}
