package table

import (
	"gallipot/calc/law/annex"
	"gallipot/calc/law/claims"
	"gallipot/calc/law/duties"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/safety"
	"gallipot/calc/law/trade"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"sync"
)

// Tables is the law and guidance, read once and never changed. Rows are shared:
// callers must not change them.
type Tables struct {
	Limits     []*annex.Limit
	Allergens  []*annex.Allergen
	Types      []*trade.ProductType
	Categories []*trade.FragranceCategory
	Standards  []*trade.FragranceStandard
	Materials  []*trade.Material
	Tox        []*safety.Tox
	ToxMore    []*safety.Tox
	Exposure   []*safety.Exposure
	Stability  []*safety.StabilityItem
	Dossier    []*duties.DossierItem
	Fats       []*trade.Fat
	Facts      []*trade.Fact
	synonyms   []*trade.Synonym
	Cautions   []*duties.Caution
	TQuantiles []*safety.TQuantile

	ToxUse        []*safety.ToxUse
	traceGuides   []*trade.TraceGuide
	TTCExclusions []*trade.TTCExclusion
	Claims        []*claims.ClaimRule
	LabelRules    []*duties.LabelRule
	Countries     []*duties.Country
	WordRows      []*rows.Word
	entries       *entries // of Annex II
	otherLaw      []*annex.OtherRule
	Cramer        []*safety.CramerClass
	polymers      []*trade.Polymer
	byPolymer     map[string]*trade.Polymer
	Masses        []*safety.MolarMass
	substrates    []*trade.Substrate
	states        []*annex.LawState
	ByMass        map[string]*safety.MolarMass
	usePhrases    []*trade.UsePhrase
	acids         []*trade.AcidPreservative
	areaWords     []*trade.AreaWord

	words      map[string]*rows.WordList
	Absence    claims.AbsenceWords
	ByType     map[string]*trade.ProductType
	ByExposure map[string]*safety.Exposure
	ByFact     map[string]*trade.Fact

	rows  map[string][]*rows.Row // the common part of every row, by table
	info  []TableInfo
	Names func() *names

	ByLimit      func() *limitIndex
	Lookups      func() *lookups
	prohibitions func() *prohibitions
	otherPlaces  func() placesOf
	CramerPlaces func() placesOf
	entryPlants  func() entryPlants
	Memory       *memory

	ready    *ready // nil: nothing is
	meanings func() []TableInfo
	versions func() []TableInfo
}

// names holds what is known of names, built once.
type names struct {
	Dict *ingredients.Dictionary
	// other holds the further keys of a substance: its synonyms.
	other map[*ingredients.Substance][]string
	// loose holds the numbers that a label name or an unordered row ties to a
	// name without saying that they are its own.
	loose map[string]map[string]bool
	// labels and allergenCAS hold every label and member name of the allergens.
	labels      map[string]string
	allergenCAS map[string]bool
	// colour holds, for each name that only one entry of the colourant annex has,
	// the name to list it under; empty where several entries have it.
	colour map[string]string
	// standards holds, by substance, the Standards that are another spelling of a name.
	standards map[string]string
	// known remembers what same found, by the key of the name asked for.
	mu    sync.RWMutex
	known map[string]map[string]bool
}

// lookups find the rows of a name or number without going through a table. They
// are built once, on first use.
type lookups struct {
	Tox       placesOf
	Standards placesOf
	// toxUse holds the readings by the key of their substance, in the order of the
	// table; toxUseName the key of the label name of each.
	ToxUse     map[string][]*safety.ToxUse
	ToxUseName map[*safety.ToxUse]string
}

// placesOf holds the places of a table's rows by name key and by CAS number.
type placesOf struct{ byName, byCAS map[string][]int }

// memory remembers answers that depend on a set of tables alone: tables are
// never changed, and products share most of their substances.
type memory struct {
	Limits sync.Map // limitsKey → []Match
	Listed sync.Map // listedKey → bool
	Claims sync.Map // word of a text → []*ClaimRule
}

type LimitsKey struct{ INCI, CAS, EC string }

type ListedKey struct {
	Annex, INCI, CAS string
	Market           rows.Market
	Day              exact.Date
}

// prohibitions finds entries of Annex II by name and number.
type prohibitions struct {
	byName, byLinked, byCAS, byEC map[string][]int
}

// TableInfo says which state of a table the program holds.
type TableInfo struct {
	Name   string
	Rows   int
	Seen   int // rows whose figures were read in their source
	Memory int // rows that rest on memory in part or whole
	// Newest is the latest day or year a source of the table bears, YYYY-MM-DD or
	// YYYY; empty where no source bears any.
	Newest       string
	NewestSource string // the source that bears it
	SHA256       string // of the table's bytes
	// Meaning is a hash of what the rows mean, whatever their order: sources, notes
	// and other remarks do not change it.
	Meaning string

	text string             // the table, which SHA256 is made of when it is asked for
	rows []*rows.Row        // that mean something
	late func() []*rows.Row // all of them, where they are not counted yet; else nil
}
