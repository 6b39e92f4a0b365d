package table

import (
	"gallipot/calc/law/annex"
	"gallipot/calc/law/claims"
	"gallipot/calc/law/condition"
	"gallipot/calc/law/duties"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/safety"
	"gallipot/calc/law/trade"
)

// tableColumns are the columns of each table.
var tableColumns = map[string]rows.Columns{
	"limits.csv":             annex.LimitColumns,
	"allergens.csv":          annex.AllergenColumns,
	"product-types.csv":      trade.ProductTypeColumns,
	"ifra-categories.csv":    trade.CategoryColumns,
	"ifra-standards.csv":     trade.StandardColumns,
	"materials.csv":          trade.MaterialColumns,
	"tox-values.csv":         safety.ToxColumns,
	"exposure.csv":           safety.ExposureColumns,
	"stability-micro.csv":    safety.StabilityColumns,
	"dossier-contents.csv":   duties.DossierColumns,
	"saponification.csv":     trade.FatColumns,
	"facts.csv":              trade.FactColumns,
	"synonyms.csv":           trade.SynonymColumns,
	"cautions.csv":           duties.CautionColumns,
	"t-quantiles.csv":        safety.TColumns,
	"tox-use.csv":            safety.ToxUseColumns,
	"trace-guides.csv":       trade.TraceGuideColumns,
	"ttc-exclusions.csv":     trade.TTCExclusionColumns,
	"claims.csv":             claims.ClaimColumns,
	"label-rules.csv":        duties.LabelColumns,
	"countries.csv":          duties.CountryColumns,
	"words.csv":              rows.WordColumns,
	"product-codes.csv":      condition.CodeColumns,
	"prohibited.csv":         annex.ProhibitedColumns,
	"law-state.csv":          annex.LawStateColumns,
	"substrates.csv":         trade.SubstrateColumns,
	"other-law.csv":          annex.OtherLawColumns,
	"cramer-classes.csv":     safety.CramerColumns,
	"molar-masses.csv":       safety.MolarMassColumns,
	"polymers.csv":           trade.PolymerColumns,
	"tox-values-more.csv":    safety.ToxMoreColumns,
	"use-words.csv":          trade.UsePhraseColumns,
	"acid-preservatives.csv": trade.AcidColumns,
	"area-words.csv":         trade.AreaWordColumns,
}
