package table

import (
	"crypto/sha256"
	"encoding/hex"
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

// readAll reads every table of a folder.
func readAll(dir fs.FS) (*Tables, error) {
	t := &Tables{rows: map[string][]*rows.Row{}}
	err := errors.Join(
		load(t, dir, "limits.csv", readLimits, &t.Limits, rowOf[*Limit]),
		load(t, dir, "allergens.csv", readAllergens, &t.Allergens, rowOf[*Allergen]),
		load(t, dir, "product-types.csv", readProductTypes, &t.Types, rowOf[*ProductType]),
		load(t, dir, "ifra-categories.csv", readFragranceCategories, &t.Categories, rowOf[*fragranceCategory]),
		load(t, dir, "ifra-standards.csv", readFragranceStandards, &t.Standards, rowOf[*FragranceStandard]),
		load(t, dir, "materials.csv", readMaterials, &t.Materials, rowOf[*Material]),
		load(t, dir, "tox-values.csv", safety.ReadTox, &t.Tox, rowOf[*safety.Tox]),
		load(t, dir, "exposure.csv", safety.ReadExposure, &t.Exposure, rowOf[*safety.Exposure]),
		load(t, dir, "stability-micro.csv", safety.ReadStability, &t.Stability, rowOf[*safety.StabilityItem]),
		load(t, dir, "dossier-contents.csv", duties.ReadDossier, &t.Dossier, rowOf[*duties.DossierItem]),
		load(t, dir, "saponification.csv", readFats, &t.Fats, rowOf[*Fat]),
		load(t, dir, "facts.csv", readFacts, &t.Facts, rowOf[*Fact]),
		load(t, dir, "synonyms.csv", readSynonyms, &t.synonyms, rowOf[*synonym]),
		load(t, dir, "cautions.csv", duties.ReadCautions, &t.Cautions, rowOf[*duties.Caution]),
		load(t, dir, "t-quantiles.csv", safety.ReadTQuantiles, &t.TQuantiles, rowOf[*safety.TQuantile]),
		load(t, dir, "tox-use.csv", safety.ReadToxUse, &t.ToxUse, rowOf[*safety.ToxUse]),
		load(t, dir, "trace-guides.csv", readTraceGuides, &t.traceGuides, rowOf[*TraceGuide]),
		load(t, dir, "ttc-exclusions.csv", readTTCExclusions, &t.TTCExclusions, rowOf[*ttcExclusion]),
		load(t, dir, "claims.csv", claims.ReadClaims, &t.Claims, rowOf[*claims.ClaimRule]),
		load(t, dir, "label-rules.csv", duties.ReadLabelRules, &t.LabelRules, rowOf[*duties.LabelRule]),
		load(t, dir, "countries.csv", duties.ReadCountries, &t.Countries, rowOf[*duties.Country]),
		load(t, dir, "words.csv", rows.ReadWords, &t.WordRows, rowOf[*rows.Word]),
		load(t, dir, "prohibited.csv", readProhibited, &t.prohibited, rowOf[*Prohibition]),
		load(t, dir, "other-law.csv", readOtherLaw, &t.otherLaw, rowOf[*OtherRule]),
		load(t, dir, "cramer-classes.csv", safety.ReadCramerClasses, &t.Cramer, rowOf[*safety.CramerClass]),
		load(t, dir, "molar-masses.csv", safety.ReadMolarMasses, &t.Masses, rowOf[*safety.MolarMass]),
		load(t, dir, "substrates.csv", readSubstrates, &t.substrates, rowOf[*substrate]),
		load(t, dir, "law-state.csv", readLawStates, &t.states, rowOf[*lawState]),
		load(t, dir, "polymers.csv", readPolymers, &t.polymers, rowOf[*Polymer]),
		load(t, dir, "tox-values-more.csv", safety.ReadToxMore, &t.ToxMore, rowOf[*safety.Tox]),
		load(t, dir, "use-words.csv", readUsePhrases, &t.usePhrases, rowOf[*usePhrase]),
		load(t, dir, "acid-preservatives.csv", readAcidPreservatives, &t.acids, rowOf[*acidPreservative]),
		load(t, dir, "area-words.csv", readAreaWords, &t.areaWords, rowOf[*areaWord]),
		load(t, dir, "product-codes.csv", readProductCodes, new([]*productCode), rowOf[*productCode]),
	)
	t.Tox = append(t.Tox, t.ToxMore...)
	t.deriveAnnexII()
	t.index()
	return t, err
}

func rowOf[T interface{ TableRow() *rows.Row }](v T) *rows.Row { return v.TableRow() }

func load[T any](t *Tables, dir fs.FS, file string, read func(string, []byte) ([]T, error), into *[]T, row func(T) *rows.Row) error {
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
	t.ByName, t.ByCAS, t.ByEC = map[string][]*Limit{}, map[string][]*Limit{}, map[string][]*Limit{}
	t.Place = map[*Limit]int{}
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
