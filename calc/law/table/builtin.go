package table

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"errors"
	"io/fs"
	"sync"

	"gallipot/ingredients"
)

//go:embed data/*.csv
var embedded embed.FS

// Tables is the law and guidance, read once and never changed. Rows are shared:
// callers must not change them.
type Tables struct {
	Limits     []*Limit
	Allergens  []*Allergen
	Types      []*ProductType
	Categories []*FragranceCategory
	Standards  []*FragranceStandard
	Materials  []*Material
	Tox        []*Tox
	Exposure   []*Exposure
	Stability  []*StabilityItem
	Dossier    []*DossierItem
	Fats       []*Fat
	Facts      []*Fact
	synonyms   []*synonym
	cautions   []*Caution
	tQuantiles []*TQuantile

	toxUse        []*ToxUse
	traceGuides   []*TraceGuide
	ttcExclusions []*ttcExclusion
	claims        []*claimRule
	labelRules    []*LabelRule
	countries     []*Country

	ByType     map[string]*ProductType
	ByExposure map[string]*Exposure
	ByFact     map[string]*Fact
	ByName     map[string][]*Limit
	ByCAS      map[string][]*Limit
	ByEC       map[string][]*Limit
	Place      map[*Limit]int // order of the table

	rows  map[string][]*Row // the common part of every row, by table
	info  []TableInfo
	Names func() *names

	Lookups func() *lookups
	Memory  *memory
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
	sub, err := fs.Sub(embedded, "data")
	if err != nil {
		return nil, err
	}
	return readAll(sub)
})

// readAll reads every table of a folder.
func readAll(dir fs.FS) (*Tables, error) {
	t := &Tables{rows: map[string][]*Row{}}
	err := errors.Join(
		load(t, dir, "limits.csv", readLimits, &t.Limits, rowOf[*Limit]),
		load(t, dir, "allergens.csv", readAllergens, &t.Allergens, rowOf[*Allergen]),
		load(t, dir, "product-types.csv", readProductTypes, &t.Types, rowOf[*ProductType]),
		load(t, dir, "ifra-categories.csv", readFragranceCategories, &t.Categories, rowOf[*FragranceCategory]),
		load(t, dir, "ifra-standards.csv", readFragranceStandards, &t.Standards, rowOf[*FragranceStandard]),
		load(t, dir, "materials.csv", readMaterials, &t.Materials, rowOf[*Material]),
		load(t, dir, "tox-values.csv", readTox, &t.Tox, rowOf[*Tox]),
		load(t, dir, "exposure.csv", readExposure, &t.Exposure, rowOf[*Exposure]),
		load(t, dir, "stability-micro.csv", readStability, &t.Stability, rowOf[*StabilityItem]),
		load(t, dir, "dossier-contents.csv", readDossier, &t.Dossier, rowOf[*DossierItem]),
		load(t, dir, "saponification.csv", readFats, &t.Fats, rowOf[*Fat]),
		load(t, dir, "facts.csv", readFacts, &t.Facts, rowOf[*Fact]),
		load(t, dir, "synonyms.csv", readSynonyms, &t.synonyms, rowOf[*synonym]),
		load(t, dir, "cautions.csv", readCautions, &t.cautions, rowOf[*Caution]),
		load(t, dir, "t-quantiles.csv", readTQuantiles, &t.tQuantiles, rowOf[*TQuantile]),
		load(t, dir, "tox-use.csv", readToxUse, &t.toxUse, rowOf[*ToxUse]),
		load(t, dir, "trace-guides.csv", readTraceGuides, &t.traceGuides, rowOf[*TraceGuide]),
		load(t, dir, "ttc-exclusions.csv", readTTCExclusions, &t.ttcExclusions, rowOf[*ttcExclusion]),
		load(t, dir, "claims.csv", readClaims, &t.claims, rowOf[*claimRule]),
		load(t, dir, "label-rules.csv", readLabelRules, &t.labelRules, rowOf[*LabelRule]),
		load(t, dir, "countries.csv", readCountries, &t.countries, rowOf[*Country]),
		load(t, dir, "product-codes.csv", readProductCodes, new([]*productCode), rowOf[*productCode]),
	)
	t.borrowFactors()
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
	t.ByType, t.ByExposure, t.ByFact = map[string]*ProductType{}, map[string]*Exposure{}, map[string]*Fact{}
	for _, p := range t.Types {
		t.ByType[p.Key] = p
	}
	for _, e := range t.Exposure {
		t.ByExposure[e.Key] = e
	}
	for _, f := range t.Facts {
		t.ByFact[f.Key] = f
	}
	t.ByName, t.ByCAS, t.ByEC = map[string][]*Limit{}, map[string][]*Limit{}, map[string][]*Limit{}
	t.Place = map[*Limit]int{}
	for i, l := range t.Limits {
		t.Place[l] = i
		for _, n := range l.Names {
			k := ingredients.NameKey(n)
			t.ByName[k] = append(t.ByName[k], l)
		}
		for _, c := range l.CAS {
			t.ByCAS[c] = append(t.ByCAS[c], l)
		}
		for _, e := range l.EC {
			t.ByEC[e] = append(t.ByEC[e], l)
		}
	}
	t.Names = sync.OnceValue(t.buildNames)
	t.Lookups = sync.OnceValue(t.buildLookups)
	t.Memory = &memory{}
}

// borrowFactors gives the rows whose note says "Factors as V/9" the factors of
// that entry.
func (t *Tables) borrowFactors() {
	for _, l := range t.Limits {
		m := sameFactor.FindStringSubmatch(l.Note)
		if m == nil || l.Basis.Factors != nil {
			continue
		}
		for _, other := range t.Limits {
			if other.Annex+"/"+other.Entry == m[1] && other.Basis.Factors != nil && other.Basis.Text == l.Basis.Text {
				l.Basis.Factors = other.Basis.Factors
				break
			}
		}
	}
}
