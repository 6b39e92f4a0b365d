package table

import (
	"errors"
	"io/fs"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/claims"
	"gallipot/calc/law/condition"
	"gallipot/calc/law/data"
	"gallipot/calc/law/duties"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/safety"
	"gallipot/calc/law/trade"
	"gallipot/ingredients"
)

// Builtin returns the tables inside the program. It panics if an embedded table
// cannot be read, which the tests of this package rule out.
func Builtin() *Tables {
	t, err := builtin()
	if err != nil {
		panic(err)
	}
	return t
}

// builtin reads the tables inside the program, once.
//
// Errors: every fault of every table, each a *TableError.
var builtin = sync.OnceValues(func() (*Tables, error) {
	return Read(Files())
})

// Files returns the tables inside the program as they stand there.
func Files() fs.FS {
	dir, err := data.Files()
	if err != nil {
		panic(err) // data is a fixed name
	}
	return dir
}

// Read reads every table of a folder. The words of conditions and the product
// codes are those of the program.
//
// Errors: every fault of every table, each a *TableError.
func Read(dir fs.FS) (*Tables, error) {
	return readAll(dir)
}

// Remarks returns the columns of a table that are words for people: no figure, no
// verdict and no fingerprint rests on them.
func Remarks(table string) []string { return slices.Clone(tableColumns[table].Remarks) }

// readAll reads every table of a folder, side by side: what a start of the program
// waits for.
func readAll(dir fs.FS) (*Tables, error) {
	t := &Tables{rows: map[string][]*rows.Row{}, ready: readyFor(dir, readyText)}
	var prohibited []*annex.Prohibition
	var later *rows.Later[*annex.Prohibition]
	readProhibited := of(dir, prohibitedTable, annex.ReadProhibited, &prohibited)
	if t.ready != nil {
		readProhibited = ofLater(dir, prohibitedTable, annex.ReadProhibitedLater, &later)
	}
	loads := []func() loaded{
		of(dir, "limits.csv", annex.ReadLimits, &t.Limits),
		of(dir, "allergens.csv", annex.ReadAllergens, &t.Allergens),
		of(dir, "product-types.csv", trade.ReadProductTypes, &t.Types),
		of(dir, "ifra-categories.csv", trade.ReadFragranceCategories, &t.Categories),
		of(dir, "ifra-standards.csv", trade.ReadFragranceStandards, &t.Standards),
		of(dir, "materials.csv", trade.ReadMaterials, &t.Materials),
		of(dir, "tox-values.csv", safety.ReadTox, &t.Tox),
		of(dir, "exposure.csv", safety.ReadExposure, &t.Exposure),
		of(dir, "stability-micro.csv", safety.ReadStability, &t.Stability),
		of(dir, "dossier-contents.csv", duties.ReadDossier, &t.Dossier),
		of(dir, "saponification.csv", trade.ReadFats, &t.Fats),
		of(dir, "facts.csv", trade.ReadFacts, &t.Facts),
		of(dir, "synonyms.csv", trade.ReadSynonyms, &t.synonyms),
		of(dir, "cautions.csv", duties.ReadCautions, &t.Cautions),
		of(dir, "t-quantiles.csv", safety.ReadTQuantiles, &t.TQuantiles),
		of(dir, "tox-use.csv", safety.ReadToxUse, &t.ToxUse),
		of(dir, "trace-guides.csv", trade.ReadTraceGuides, &t.traceGuides),
		of(dir, "ttc-exclusions.csv", trade.ReadTTCExclusions, &t.TTCExclusions),
		of(dir, "claims.csv", claims.ReadClaims, &t.Claims),
		of(dir, "label-rules.csv", duties.ReadLabelRules, &t.LabelRules),
		of(dir, "countries.csv", duties.ReadCountries, &t.Countries),
		of(dir, "words.csv", rows.ReadWords, &t.WordRows),
		readProhibited,
		of(dir, "other-law.csv", annex.ReadOtherLaw, &t.otherLaw),
		of(dir, "cramer-classes.csv", safety.ReadCramerClasses, &t.Cramer),
		of(dir, "molar-masses.csv", safety.ReadMolarMasses, &t.Masses),
		of(dir, "substrates.csv", trade.ReadSubstrates, &t.substrates),
		of(dir, "law-state.csv", annex.ReadLawStates, &t.states),
		of(dir, "polymers.csv", trade.ReadPolymers, &t.polymers),
		of(dir, "tox-values-more.csv", safety.ReadToxMore, &t.ToxMore),
		of(dir, "use-words.csv", trade.ReadUsePhrases, &t.usePhrases),
		of(dir, "acid-preservatives.csv", trade.ReadAcidPreservatives, &t.acids),
		of(dir, "area-words.csv", trade.ReadAreaWords, &t.areaWords),
		of(dir, "product-codes.csv", condition.ReadProductCodes, new([]*condition.ProductCode)),
	}
	done := make([]loaded, len(loads))
	var all sync.WaitGroup
	var next atomic.Int32
	for range runtime.GOMAXPROCS(0) { // no more: each would have to grow a stack of its own
		all.Go(func() {
			for i := next.Add(1) - 1; int(i) < len(loads); i = next.Add(1) - 1 {
				done[i] = loads[i]()
			}
		})
	}
	all.Wait()
	var errs []error
	for _, l := range done {
		if l.rows != nil {
			t.info, t.rows[l.info.Name] = append(t.info, l.info), l.rows
		}
		errs = append(errs, l.err)
	}
	t.Tox = append(t.Tox, t.ToxMore...)
	t.enterEntries(prohibited, later)
	for _, l := range t.Limits {
		l.States = t.states
	}
	t.markLimits()
	for i := range t.info {
		if t.ready != nil {
			t.info[i].Meaning, _ = t.ready.meaning.Find(t.info[i].Name)
		}
	}
	t.index()
	return t, errors.Join(errs...)
}

// loaded is what there is to say of a table that was read.
type loaded struct {
	info TableInfo
	rows []*rows.Row
	err  error
}

// of returns what reads one table into a slice of its rows.
func of[T interface{ TableRow() *rows.Row }](dir fs.FS, file string, read func(string, string) ([]T, error),
	into *[]T) func() loaded {
	return func() loaded {
		l := loaded{info: TableInfo{Name: file}}
		if l.info.text, l.err = data.Text(dir, file); l.err != nil {
			return l
		}
		*into, l.err = read(file, l.info.text)
		l.rows = make([]*rows.Row, len(*into))
		for i, v := range *into {
			l.rows[i] = v.TableRow()
			l.info.count(l.rows[i])
		}
		return l
	}
}

// ofLater returns what opens a table whose rows are read when they are asked for.
func ofLater[T interface{ TableRow() *rows.Row }](dir fs.FS, file string,
	open func(string, string) (*rows.Later[T], error), into **rows.Later[T]) func() loaded {
	return func() loaded {
		l := loaded{info: TableInfo{Name: file}}
		if l.info.text, l.err = data.Text(dir, file); l.err != nil {
			return l
		}
		table, err := open(file, l.info.text)
		if *into, l.err = table, err; err != nil {
			return l
		}
		l.rows = []*rows.Row{}
		l.info.late = func() []*rows.Row {
			all := make([]*rows.Row, table.Len())
			for i := range all {
				all[i] = table.Row(i).TableRow()
			}
			return all
		}
		return l
	}
}

// Prepare builds what every assessment looks up in the tables, side by side. Whatever is asked for
// meanwhile waits for its own part alone; without it each part is built when it is first
// asked for.
func (t *Tables) Prepare() {
	var all sync.WaitGroup
	all.Go(func() { t.ByLimit() })
	all.Go(func() { t.meanings() })
	all.Go(func() { t.Names() })
	all.Go(func() { t.entryPlants() })
	all.Go(func() { t.Lookups() })
	all.Wait()
}

// index builds the look-ups. It runs on a table that could not be read too.
func (t *Tables) index() {
	t.ByType, t.ByExposure, t.ByFact = map[string]*trade.ProductType{}, map[string]*safety.Exposure{},
		map[string]*trade.Fact{}
	for _, p := range t.Types {
		t.ByType[p.Key] = p
	}
	for _, e := range t.Exposure {
		t.ByExposure[e.Key] = e
	}
	for _, f := range t.Facts {
		t.ByFact[f.Key] = f
	}
	t.ByMass = map[string]*safety.MolarMass{}
	for _, m := range t.Masses {
		t.ByMass[ingredients.NameKey(m.Key)] = m
	}
	t.byPolymer = map[string]*trade.Polymer{}
	for _, p := range t.polymers {
		t.byPolymer[ingredients.NameKey(p.Key)] = p
	}
	t.IndexWords()
	t.Absence = t.absenceWords()
	t.Names = sync.OnceValue(t.buildNames)
	t.ByLimit = sync.OnceValue(t.indexLimits)
	t.Lookups = sync.OnceValue(t.buildLookups)
	t.prohibitions = sync.OnceValue(t.buildProhibitions)
	t.otherPlaces = t.otherPlacesOf()
	t.CramerPlaces = sync.OnceValue(t.buildCramerPlaces)
	t.entryPlants = sync.OnceValue(t.buildEntryPlants)
	t.Memory = &memory{}
	t.meanings, t.versions = sync.OnceValue(t.sumMeanings), sync.OnceValue(t.sumUp)
}
