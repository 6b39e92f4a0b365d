package workshop

// Codes of the findings that reading a workshop can raise beside those of
// package ingredients. They are of kind stop and mark the file as not readable
// as it stands, except where the comment says otherwise.
const (
	codeNoWorkshop         = "no-workshop"          // the folder holds no workshop.yaml
	codeBadCountry         = "bad-country"          // not a two-letter country code
	codeUnknownIngredient  = "unknown-ingredient"   // a formula names a sheet that is not there
	codeUnknownProductType = "unknown-product-type" // not a key of the product-type table
	codeUnknownSlot        = "unknown-slot"         // a variant fills a slot that the formula does not have
	// kind ask: a step names a phase that the formula does not have
	codeUnknownPhase = "unknown-phase"
	// a formula line with neither or both of ingredient and slot
	codeLineMaterial = "line-material"
	// a formula line with a range: what is weighed is one number
	codeRangeInFormula  = "range-in-formula"
	codeSlotFilledTwice = "slot-filled-twice" // a slot filled by the variant and by its portion
	codeShareSum        = "share-sum"         // shares that do not add up to 100
	codeFileIgnored     = "file-ignored"      // kind note: a file that looks meant and is not read
	// a batch code that cannot be a file name and stand on a pack
	codeBatchCode       = "batch-code"
	codeBatchCodeScheme = "batch-code-scheme" // a scheme for batch codes that cannot make one
	codeLotSum          = "lot-sum"           // the lots of a line do not make its mass
	// a lot that is of a material and of packaging, or in the other's unit
	codeLotKind = "lot-kind"
	// a batch line names a portion that the record does not have
	codeUnknownPortion = "unknown-portion"
	// kind ask: a batch record names a product or variant that is not there
	codeUnknownProduct  = "unknown-product"
	CodeEvidenceMissing = "evidence-missing" // kind ask: a paper is named and not in the folder
	// a paper outside the workshop: it would not travel with it
	CodeEvidenceOutside = "evidence-outside"
)
