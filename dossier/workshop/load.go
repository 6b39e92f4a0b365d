package workshop

import (
	"bytes"
	"cmp"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/dossier/batchcode"
	"gallipot/dossier/parallel"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

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
			return nil, []finding.Finding{notAFolder(dir)}
		}
		return nil, []finding.Finding{noWorkshop(dir, "no-folder", nil)}
	}
	defer root.Close()
	return LoadFS(dir, root.FS(), tables)
}

// Again reads a folder whose workshop was read before: of sheets, products, batches and
// lots only those files that may have changed, and keeps those whose bytes did not. Papers
// that were on hand still are where they are untouched: nothing was done to them, not even
// to who may read them.
func Again(old *Workshop, changed, untouched func(name string) bool) (*Workshop, []finding.Finding) {
	root, err := os.OpenRoot(old.Dir)
	if err != nil {
		return Load(old.Dir, old.Law)
	}
	defer root.Close()
	return load(old.Dir, root.FS(), old.Law, &before{old, changed, untouched})
}

// LoadFS is Load for a file system. dir is used in messages alone.
func LoadFS(dir string, fsys fs.FS, tables *table.Tables) (*Workshop, []finding.Finding) {
	return load(dir, fsys, tables, &before{w: &Workshop{}})
}

func load(dir string, fsys fs.FS, tables *table.Tables, old *before) (*Workshop, []finding.Finding) {
	l := &loader{fsys: fsys, old: old, w: &Workshop{
		Dir: dir, Law: tables,
		ResponsiblePersons: map[rows.Market]Party{},
		EvidenceYears:      defaultEvidenceYears, BatchCode: batchcode.Default(),
		Sheets: map[string]*ingredients.Sheet{}, OwnLimits: map[string][]byte{},
		Sources: map[string]*source.Source{}, SheetFile: map[string]string{}, onHand: map[string]bool{},
	}}
	if !l.readWorkshop() {
		return nil, append(l.findings, noWorkshop(dir, "", nil))
	}
	l.sameEnv = slices.Equal(old.w.Markets, l.w.Markets)
	l.readAll()
	l.crossCheck()
	l.checkEvidence()
	l.w.LotDate = lotDates(l.w.BatchRecords)
	l.w.Loaded = source.SortFindings(l.findings)
	return l.w, l.w.Loaded
}

// notAFolder names the workshop that a file is in: in its own folder, as workshop.yaml, or
// in the folder above, as a sheet or a product.
func notAFolder(file string) finding.Finding {
	folder := filepath.Dir(file)
	for _, dir := range []string{folder, filepath.Join(folder, "..")} {
		if info, err := os.Stat(filepath.Join(dir, "workshop.yaml")); err == nil && !info.IsDir() {
			return noWorkshop(file, "file", With().Name("folder", filepath.ToSlash(dir)))
		}
	}
	return noWorkshop(file, "other-file", nil)
}

func noWorkshop(dir, form string, values finding.Values) finding.Finding {
	f := finding.NewFinding(finding.Stop, codeNoWorkshop, exact.Pos{},
		values).As(form).On(dir).By(finding.TheMaker).
		With(finding.Action{Kind: finding.ActionBegin})
	f.Unread = true
	return f
}

// readAll reads every sheet and product, several at a time, and enters them in
// the order of their names, so that the result does not depend on which was
// ready first.
func (l *loader) readAll() {
	l.noteStrangers()
	sheets, products, batches, lots := l.list("ingredients"), l.list("products"), l.list("batches"),
		l.list("lots")
	l.sheets = sheets
	l.productFile = productFiles(products)
	names := slices.Concat(sheets, products, batches, lots)
	results := make([]fileRead, len(names))
	env := newProductEnv(l.w.Markets, l.w.Law)
	parallel.Each(len(names), func(i int) {
		r := &results[i]
		old, known := l.old.w.files[names[i]]
		known = known && (old.product == nil || l.sameEnv)
		if known && !l.old.changed(names[i]) {
			*r = old
			return
		}
		src, f := l.open(names[i])
		if r.src = src; f != nil {
			r.findings = []finding.Finding{*f}
			return
		}
		if known && bytes.Equal(old.src.Bytes, src.Bytes) {
			*r = old
			return
		}
		r.src.Keep()
		defer r.src.Release()
		switch {
		case i < len(sheets):
			r.sheet, r.findings = ingredients.ReadSheet(r.src)
			r.src.Canonical(ingredients.BesideFigures...)
		case i < len(sheets)+len(products):
			r.product, r.findings = readProduct(r.src, env)
			r.src.Canonical(BesideFigures...)
		case i < len(names)-len(lots):
			r.batch, r.findings = ReadBatch(r.src)
		default:
			r.lot, r.findings = readGoods(r.src)
		}
	})
	l.w.files = make(map[string]fileRead, len(names))
	for i, r := range results {
		l.findings = append(l.findings, r.findings...)
		if r.src != nil {
			l.w.files[names[i]] = r
			l.w.Sources[names[i]] = r.src
		}
		switch {
		case r.sheet != nil:
			l.addSheet(names[i], r.sheet)
		case r.product != nil:
			l.addProduct(r.product)
		case r.batch != nil:
			l.addBatch(r.batch)
		case r.lot != nil:
			l.addLot(r.lot)
		}
	}
	slices.SortStableFunc(l.w.Products, func(a, b *Product) int { return cmp.Compare(a.ID, b.ID) })
	l.w.Batches, l.w.LotFiles = batches, lots
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
