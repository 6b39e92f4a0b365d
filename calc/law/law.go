package law

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io/fs"
	"slices"
	"sync"

	"gallipot/ingredients"
)

// Tables is the law and guidance, read once and never changed. Rows are shared:
// callers must not change them.
type Tables struct {
	limits     []*Limit
	allergens  []*Allergen
	types      []*ProductType
	categories []*FragranceCategory
	standards  []*FragranceStandard
	materials  []*Material
	tox        []*Tox
	toxMore    []*Tox
	exposure   []*Exposure
	stability  []*StabilityItem
	dossier    []*DossierItem
	fats       []*Fat
	facts      []*Fact
	synonyms   []*synonym
	cautions   []*Caution
	tQuantiles []*TQuantile

	toxUse        []*ToxUse
	traceGuides   []*TraceGuide
	ttcExclusions []*TTCExclusion
	claims        []*ClaimRule
	labelRules    []*LabelRule
	countries     []*Country
	wordRows      []*Word
	prohibited    []*Prohibition
	annexII       []*Limit // rules of Annex II that limits.csv leaves out
	otherLaw      []*OtherRule
	cramer        []*CramerClass
	polymers      []*Polymer
	byPolymer     map[string]*Polymer
	masses        []*MolarMass
	substrates    []*substrate
	states        []*LawState
	byMass        map[string]*MolarMass
	usePhrases    []*UsePhrase
	acids         []*AcidPreservative
	areaWords     []*AreaWord

	words      map[string]*WordList
	absence    absenceWords
	byType     map[string]*ProductType
	byExposure map[string]*Exposure
	byFact     map[string]*Fact
	byName     map[string][]*Limit
	byCAS      map[string][]*Limit
	byEC       map[string][]*Limit
	byLinked   map[string][]*Limit // names tied to class entries of Annex II
	place      map[*Limit]int      // order of the table

	rows  map[string][]*Row // the common part of every row, by table
	info  []TableInfo
	names func() *names

	lookups      func() *lookups
	prohibitions func() *prohibitions
	otherPlaces  func() placesOf
	cramerPlaces func() placesOf
	memory       *memory

	versions func() []TableInfo
}

// Builtin returns the tables inside the program. It panics if an embedded table
// cannot be read, which the tests of this package rule out.
func Builtin() *Tables {
	t, err := Load()
	if err != nil {
		panic(err)
	}
	return t
}

// Load returns the tables inside the program, read once.
//
// Errors: every fault of every table, each a *TableError.
func Load() (*Tables, error) { return builtin() }

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
var tableColumns = map[string]columns{
	"limits.csv":             limitColumns,
	"allergens.csv":          allergenColumns,
	"product-types.csv":      productTypeColumns,
	"ifra-categories.csv":    categoryColumns,
	"ifra-standards.csv":     standardColumns,
	"materials.csv":          materialColumns,
	"tox-values.csv":         toxColumns,
	"exposure.csv":           exposureColumns,
	"stability-micro.csv":    stabilityColumns,
	"dossier-contents.csv":   dossierColumns,
	"saponification.csv":     fatColumns,
	"facts.csv":              factColumns,
	"synonyms.csv":           synonymColumns,
	"cautions.csv":           cautionColumns,
	"t-quantiles.csv":        tColumns,
	"tox-use.csv":            toxUseColumns,
	"trace-guides.csv":       traceGuideColumns,
	"ttc-exclusions.csv":     ttcExclusionColumns,
	"claims.csv":             claimColumns,
	"label-rules.csv":        labelColumns,
	"countries.csv":          countryColumns,
	"words.csv":              wordColumns,
	"product-codes.csv":      codeColumns,
	"prohibited.csv":         prohibitedColumns,
	"other-law.csv":          otherLawColumns,
	"cramer-classes.csv":     cramerColumns,
	"molar-masses.csv":       molarMassColumns,
	"polymers.csv":           polymerColumns,
	"tox-values-more.csv":    toxMoreColumns,
	"use-words.csv":          usePhraseColumns,
	"acid-preservatives.csv": acidColumns,
	"area-words.csv":         areaWordColumns,
}

// Remarks returns the columns of a table that are words for people: no figure, no
// verdict and no fingerprint rests on them.
func Remarks(table string) []string { return slices.Clone(tableColumns[table].remarks) }

// readAll reads every table of a folder.
func readAll(dir fs.FS) (*Tables, error) {
	t := &Tables{rows: map[string][]*Row{}}
	err := errors.Join(
		load(t, dir, "limits.csv", readLimits, &t.limits, rowOf[*Limit]),
		load(t, dir, "allergens.csv", readAllergens, &t.allergens, rowOf[*Allergen]),
		load(t, dir, "product-types.csv", readProductTypes, &t.types, rowOf[*ProductType]),
		load(t, dir, "ifra-categories.csv", readFragranceCategories, &t.categories, rowOf[*FragranceCategory]),
		load(t, dir, "ifra-standards.csv", readFragranceStandards, &t.standards, rowOf[*FragranceStandard]),
		load(t, dir, "materials.csv", readMaterials, &t.materials, rowOf[*Material]),
		load(t, dir, "tox-values.csv", readTox, &t.tox, rowOf[*Tox]),
		load(t, dir, "exposure.csv", readExposure, &t.exposure, rowOf[*Exposure]),
		load(t, dir, "stability-micro.csv", readStability, &t.stability, rowOf[*StabilityItem]),
		load(t, dir, "dossier-contents.csv", readDossier, &t.dossier, rowOf[*DossierItem]),
		load(t, dir, "saponification.csv", readFats, &t.fats, rowOf[*Fat]),
		load(t, dir, "facts.csv", readFacts, &t.facts, rowOf[*Fact]),
		load(t, dir, "synonyms.csv", readSynonyms, &t.synonyms, rowOf[*synonym]),
		load(t, dir, "cautions.csv", readCautions, &t.cautions, rowOf[*Caution]),
		load(t, dir, "t-quantiles.csv", readTQuantiles, &t.tQuantiles, rowOf[*TQuantile]),
		load(t, dir, "tox-use.csv", readToxUse, &t.toxUse, rowOf[*ToxUse]),
		load(t, dir, "trace-guides.csv", readTraceGuides, &t.traceGuides, rowOf[*TraceGuide]),
		load(t, dir, "ttc-exclusions.csv", readTTCExclusions, &t.ttcExclusions, rowOf[*TTCExclusion]),
		load(t, dir, "claims.csv", readClaims, &t.claims, rowOf[*ClaimRule]),
		load(t, dir, "label-rules.csv", readLabelRules, &t.labelRules, rowOf[*LabelRule]),
		load(t, dir, "countries.csv", readCountries, &t.countries, rowOf[*Country]),
		load(t, dir, "words.csv", readWords, &t.wordRows, rowOf[*Word]),
		load(t, dir, "prohibited.csv", readProhibited, &t.prohibited, rowOf[*Prohibition]),
		load(t, dir, "other-law.csv", readOtherLaw, &t.otherLaw, rowOf[*OtherRule]),
		load(t, dir, "cramer-classes.csv", readCramerClasses, &t.cramer, rowOf[*CramerClass]),
		load(t, dir, "molar-masses.csv", readMolarMasses, &t.masses, rowOf[*MolarMass]),
		load(t, dir, "substrates.csv", readSubstrates, &t.substrates, rowOf[*substrate]),
		load(t, dir, "law-state.csv", readLawStates, &t.states, rowOf[*LawState]),
		load(t, dir, "polymers.csv", readPolymers, &t.polymers, rowOf[*Polymer]),
		load(t, dir, "tox-values-more.csv", readToxMore, &t.toxMore, rowOf[*Tox]),
		load(t, dir, "use-words.csv", readUsePhrases, &t.usePhrases, rowOf[*UsePhrase]),
		load(t, dir, "acid-preservatives.csv", readAcidPreservatives, &t.acids, rowOf[*AcidPreservative]),
		load(t, dir, "area-words.csv", readAreaWords, &t.areaWords, rowOf[*AreaWord]),
		load(t, dir, "product-codes.csv", readProductCodes, new([]*ProductCode), rowOf[*ProductCode]),
	)
	t.tox = append(t.tox, t.toxMore...)
	t.deriveAnnexII()
	t.index()
	return t, err
}

// row lets every table row be asked for the part all have in common.
func (r *Row) row() *Row { return r }

func rowOf[T interface{ row() *Row }](v T) *Row { return v.row() }

func load[T any](t *Tables, dir fs.FS, file string, read func(string, []byte) ([]T, error), into *[]T, row func(T) *Row) error {
	data, err := fs.ReadFile(dir, file)
	if err != nil {
		return err
	}
	rows, err := read(file, data)
	*into = rows
	sum := sha256.Sum256(data)
	info := TableInfo{Name: file, SHA256: hex.EncodeToString(sum[:])}
	for _, v := range rows {
		info.count(row(v))
		t.rows[file] = append(t.rows[file], row(v))
	}
	t.info = append(t.info, info)
	return err
}

// index builds the look-ups. It runs on a table that could not be read too.
func (t *Tables) index() {
	t.byType, t.byExposure, t.byFact = map[string]*ProductType{}, map[string]*Exposure{}, map[string]*Fact{}
	for _, p := range t.types {
		t.byType[p.Key] = p
	}
	for _, e := range t.exposure {
		t.byExposure[e.Key] = e
	}
	for _, f := range t.facts {
		t.byFact[f.Key] = f
	}
	t.byMass = map[string]*MolarMass{}
	for _, m := range t.masses {
		t.byMass[ingredients.NameKey(m.Key)] = m
	}
	t.byPolymer = map[string]*Polymer{}
	for _, p := range t.polymers {
		t.byPolymer[ingredients.NameKey(p.Key)] = p
	}
	t.byName, t.byCAS, t.byEC = map[string][]*Limit{}, map[string][]*Limit{}, map[string][]*Limit{}
	t.place = map[*Limit]int{}
	for i, l := range t.limits {
		t.place[l] = i
		for _, k := range t.nameKeys(l) {
			t.byName[k] = append(t.byName[k], l)
		}
		for _, c := range l.CAS {
			t.byCAS[c] = append(t.byCAS[c], l)
		}
		for _, e := range l.EC {
			t.byEC[e] = append(t.byEC[e], l)
		}
	}
	t.indexWords()
	t.absence = t.absenceWords()
	for i, l := range t.annexII {
		t.place[l] = len(t.limits) + i
	}
	t.indexAnnexII()
	if t.names == nil {
		t.names = sync.OnceValue(t.buildNames)
	}
	t.lookups = sync.OnceValue(t.buildLookups)
	t.prohibitions = sync.OnceValue(t.buildProhibitions)
	t.otherPlaces = t.otherPlacesOf()
	t.cramerPlaces = sync.OnceValue(t.buildCramerPlaces)
	t.memory = &memory{}
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
