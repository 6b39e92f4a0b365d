package table

import (
	"errors"
	"io/fs"
	"slices"
	"sync"

	"gallipot/calc/law/claims"
	"gallipot/calc/law/duties"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/safety"
	"gallipot/ingredients"
)

// Tables is the law and guidance, read once and never changed. Rows are shared:
// callers must not change them.
type Tables struct {
	Limits     []*Limit
	Allergens  []*Allergen
	Types      []*ProductType
	Categories []*fragranceCategory
	Standards  []*FragranceStandard
	Materials  []*Material
	Tox        []*safety.Tox
	ToxMore    []*safety.Tox
	Exposure   []*safety.Exposure
	Stability  []*safety.StabilityItem
	Dossier    []*duties.DossierItem
	Fats       []*Fat
	Facts      []*Fact
	synonyms   []*synonym
	Cautions   []*duties.Caution
	TQuantiles []*safety.TQuantile

	ToxUse        []*safety.ToxUse
	traceGuides   []*TraceGuide
	TTCExclusions []*ttcExclusion
	Claims        []*claims.ClaimRule
	LabelRules    []*duties.LabelRule
	Countries     []*duties.Country
	WordRows      []*rows.Word
	prohibited    []*Prohibition
	annexII       []*Limit // rules of Annex II that limits.csv leaves out
	otherLaw      []*OtherRule
	Cramer        []*safety.CramerClass
	polymers      []*Polymer
	byPolymer     map[string]*Polymer
	Masses        []*safety.MolarMass
	substrates    []*substrate
	states        []*lawState
	ByMass        map[string]*safety.MolarMass
	usePhrases    []*usePhrase
	acids         []*acidPreservative
	areaWords     []*areaWord

	words      map[string]*rows.WordList
	Absence    claims.AbsenceWords
	ByType     map[string]*ProductType
	ByExposure map[string]*safety.Exposure
	ByFact     map[string]*Fact
	ByName     map[string][]*Limit
	ByCAS      map[string][]*Limit
	ByEC       map[string][]*Limit
	ByLinked   map[string][]*Limit // names tied to class entries of Annex II
	Place      map[*Limit]int      // order of the table

	rows  map[string][]*rows.Row // the common part of every row, by table
	info  []TableInfo
	Names func() *names

	Lookups      func() *lookups
	prohibitions func() *prohibitions
	otherPlaces  func() placesOf
	CramerPlaces func() placesOf
	Memory       *memory

	versions func() []TableInfo
}

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
	dir, err := dataFiles()
	if err != nil {
		panic(err) // data is a fixed name
	}
	return dir
}

// Read reads every table of a folder. The words of conditions and the product
// codes are those of the program.
//
// Errors: every fault of every table, each a *TableError.
func Read(dir fs.FS) (*Tables, error) { return readAll(dir) }

// tableColumns are the columns of each table.
var tableColumns = map[string]rows.Columns{
	"limits.csv":             limitColumns,
	"allergens.csv":          allergenColumns,
	"product-types.csv":      productTypeColumns,
	"ifra-categories.csv":    categoryColumns,
	"ifra-standards.csv":     standardColumns,
	"materials.csv":          materialColumns,
	"tox-values.csv":         safety.ToxColumns,
	"exposure.csv":           safety.ExposureColumns,
	"stability-micro.csv":    safety.StabilityColumns,
	"dossier-contents.csv":   duties.DossierColumns,
	"saponification.csv":     fatColumns,
	"facts.csv":              factColumns,
	"synonyms.csv":           synonymColumns,
	"cautions.csv":           duties.CautionColumns,
	"t-quantiles.csv":        safety.TColumns,
	"tox-use.csv":            safety.ToxUseColumns,
	"trace-guides.csv":       traceGuideColumns,
	"ttc-exclusions.csv":     ttcExclusionColumns,
	"claims.csv":             claims.ClaimColumns,
	"label-rules.csv":        duties.LabelColumns,
	"countries.csv":          duties.CountryColumns,
	"words.csv":              rows.WordColumns,
	"product-codes.csv":      codeColumns,
	"prohibited.csv":         prohibitedColumns,
	"law-state.csv":          lawStateColumns,
	"substrates.csv":         substrateColumns,
	"other-law.csv":          otherLawColumns,
	"cramer-classes.csv":     safety.CramerColumns,
	"molar-masses.csv":       safety.MolarMassColumns,
	"polymers.csv":           polymerColumns,
	"tox-values-more.csv":    safety.ToxMoreColumns,
	"use-words.csv":          usePhraseColumns,
	"acid-preservatives.csv": acidColumns,
	"area-words.csv":         areaWordColumns,
}

// Remarks returns the columns of a table that are words for people: no figure, no
// verdict and no fingerprint rests on them.
func Remarks(table string) []string { return slices.Clone(tableColumns[table].Remarks) }

// readAll reads every table of a folder, side by side: what a start of the program
// waits for.
func readAll(dir fs.FS) (*Tables, error) {
	t := &Tables{rows: map[string][]*rows.Row{}}
	loads := []func() loaded{
		of(dir, "limits.csv", readLimits, &t.Limits),
		of(dir, "allergens.csv", readAllergens, &t.Allergens),
		of(dir, "product-types.csv", readProductTypes, &t.Types),
		of(dir, "ifra-categories.csv", readFragranceCategories, &t.Categories),
		of(dir, "ifra-standards.csv", readFragranceStandards, &t.Standards),
		of(dir, "materials.csv", readMaterials, &t.Materials),
		of(dir, "tox-values.csv", safety.ReadTox, &t.Tox),
		of(dir, "exposure.csv", safety.ReadExposure, &t.Exposure),
		of(dir, "stability-micro.csv", safety.ReadStability, &t.Stability),
		of(dir, "dossier-contents.csv", duties.ReadDossier, &t.Dossier),
		of(dir, "saponification.csv", readFats, &t.Fats),
		of(dir, "facts.csv", readFacts, &t.Facts),
		of(dir, "synonyms.csv", readSynonyms, &t.synonyms),
		of(dir, "cautions.csv", duties.ReadCautions, &t.Cautions),
		of(dir, "t-quantiles.csv", safety.ReadTQuantiles, &t.TQuantiles),
		of(dir, "tox-use.csv", safety.ReadToxUse, &t.ToxUse),
		of(dir, "trace-guides.csv", readTraceGuides, &t.traceGuides),
		of(dir, "ttc-exclusions.csv", readTTCExclusions, &t.TTCExclusions),
		of(dir, "claims.csv", claims.ReadClaims, &t.Claims),
		of(dir, "label-rules.csv", duties.ReadLabelRules, &t.LabelRules),
		of(dir, "countries.csv", duties.ReadCountries, &t.Countries),
		of(dir, "words.csv", rows.ReadWords, &t.WordRows),
		of(dir, "prohibited.csv", readProhibited, &t.prohibited),
		of(dir, "other-law.csv", readOtherLaw, &t.otherLaw),
		of(dir, "cramer-classes.csv", safety.ReadCramerClasses, &t.Cramer),
		of(dir, "molar-masses.csv", safety.ReadMolarMasses, &t.Masses),
		of(dir, "substrates.csv", readSubstrates, &t.substrates),
		of(dir, "law-state.csv", readLawStates, &t.states),
		of(dir, "polymers.csv", readPolymers, &t.polymers),
		of(dir, "tox-values-more.csv", safety.ReadToxMore, &t.ToxMore),
		of(dir, "use-words.csv", readUsePhrases, &t.usePhrases),
		of(dir, "acid-preservatives.csv", readAcidPreservatives, &t.acids),
		of(dir, "area-words.csv", readAreaWords, &t.areaWords),
		of(dir, "product-codes.csv", readProductCodes, new([]*productCode)),
	}
	done := make([]loaded, len(loads))
	var all sync.WaitGroup
	for i, load := range loads {
		all.Go(func() { done[i] = load() })
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
	t.deriveAnnexII()
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
func of[T interface{ TableRow() *rows.Row }](dir fs.FS, file string, read func(string, []byte) ([]T, error), into *[]T) func() loaded {
	return func() loaded {
		l := loaded{info: TableInfo{Name: file}}
		if l.info.data, l.err = fs.ReadFile(dir, file); l.err != nil {
			return l
		}
		*into, l.err = read(file, l.info.data)
		l.rows = make([]*rows.Row, len(*into))
		for i, v := range *into {
			l.rows[i] = v.TableRow()
			l.info.count(l.rows[i])
		}
		return l
	}
}

// index builds the look-ups. It runs on a table that could not be read too.
func (t *Tables) index() {
	t.ByType, t.ByExposure, t.ByFact = map[string]*ProductType{}, map[string]*safety.Exposure{}, map[string]*Fact{}
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
	t.byPolymer = map[string]*Polymer{}
	for _, p := range t.polymers {
		t.byPolymer[ingredients.NameKey(p.Key)] = p
	}
	t.ByName, t.ByCAS = make(map[string][]*Limit, 4*len(t.prohibited)), make(map[string][]*Limit, 2*len(t.prohibited))
	t.ByEC, t.Place = make(map[string][]*Limit, 2*len(t.prohibited)), make(map[*Limit]int, len(t.prohibited))
	for i, l := range t.Limits {
		t.Place[l] = i
		for _, k := range t.nameKeys(l) {
			t.ByName[k] = append(t.ByName[k], l)
		}
		for _, c := range l.CAS {
			t.ByCAS[c] = append(t.ByCAS[c], l)
		}
		for _, e := range l.EC {
			t.ByEC[e] = append(t.ByEC[e], l)
		}
	}
	t.IndexWords()
	t.Absence = t.absenceWords()
	for i, l := range t.annexII {
		t.Place[l] = len(t.Limits) + i
	}
	t.indexAnnexII()
	if t.Names == nil {
		t.Names = sync.OnceValue(t.buildNames)
	}
	t.Lookups = sync.OnceValue(t.buildLookups)
	t.prohibitions = sync.OnceValue(t.buildProhibitions)
	t.otherPlaces = t.otherPlacesOf()
	t.CramerPlaces = sync.OnceValue(t.buildCramerPlaces)
	t.Memory = &memory{}
	t.versions = sync.OnceValue(t.sumUp)
}

// nameKeys returns the keys that a row is found under: those of its names and, for
// a row of the maker's own, those of the names they stand for.
func (t *Tables) nameKeys(l *Limit) []string {
	var keys []string
	add := func(name string) {
		if k := ingredients.NameKey(name); !slices.Contains(keys, k) {
			keys = append(keys, k)
		}
	}
	for _, n := range l.Names {
		add(n)
		if !l.Own {
			continue
		}
		for _, named := range t.Dictionary().Resolve(n, "", "").Names {
			add(named.Name)
			for _, other := range named.Also {
				add(other)
			}
		}
	}
	return keys
}
