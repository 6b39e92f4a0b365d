package recalc

// The table of the aggregate exposure, by its ID, and its sheet.
const (
	aggregateSheet = "Recalc aggregate"
	tableAggregate = "recalc-aggregate"
)

// The tables of allergens, by their IDs, and their sheets.
const (
	allergenSheet   = "Recalc allergens"
	declareSheet    = "Recalc declare"
	tableThresholds = "recalc-thresholds"
	tableDeclare    = "recalc-declare"
)

// The tables of contents and substances, by their IDs, and their sheets; % w/w, the same rows in three.
const (
	contentsOfSheet = "Recalc contents"
	substanceSheet  = "Recalc substances"
	tableContents   = "recalc-contents"
	TableMost       = "recalc-substances-max"
	TableTypical    = "recalc-substances-typ"
	TableLeast      = "recalc-substances-min"
)

// The tables of exposure, by their IDs, their sheet, and the names of the cells
// that other sheets use.
const (
	exposureSheet   = "Recalc exposure"
	tableExposure   = "recalc-exposure"
	tableInhalation = "recalc-inhalation"

	nameAmount     = "Exposure_amount_g"
	nameRetention  = "Exposure_retention"
	nameStays      = "Exposure_stays_g"
	nameBodyWeight = "Exposure_body_weight_kg"
	nameUserWeight = "Exposure_user_weight_kg"
	nameChild      = "Exposure_child_factor"
	nameStated     = "Exposure_E_bw_stated"
	nameEbw        = "Exposure_E_bw"
	nameArea       = "Exposure_area_cm2"
	namePerDay     = "Exposure_uses_per_day"
	nameInhaled    = "Inhaled_per_kg"
)

// The tables of the formula, by their IDs, and the sheet they stand on.
const (
	formulaSheet   = "Recalc formula"
	tableWritten   = "recalc-lines"
	tableShares    = "recalc-slot-shares"
	tableAdded     = "recalc-added"
	tablePortions  = "recalc-portions"
	tableUse       = "recalc-use"
	toleranceName  = "Rule_sum_tolerance_pct"
	okWords        = "100"
	not100Words    = "not 100"
	nothingForRest = "nothing left for q.s."
)

// The tables of margins, by their IDs, and their sheets; doses in mg/kg bw/d.
const (
	marginSheet  = "Recalc margins"
	mixtureSheet = "Recalc MoS"
	TableMargins = "recalc-margins"
	tableDoses   = "recalc-doses"
	tableMoS     = "recalc-mos"
	tableSources = "recalc-sources"
	sourceSheet  = "Recalc sources"

	noPoDWords      = "no PoD"
	noExposureWords = "no exposure"
	noDoseWords     = "no dose"
)
