package ready

// What the tests that stand outside this package look at.

var ClaimsOfFiling = claimsOfFiling
var DossierRules = dossierRules
var DossierSection = dossierSection
var SaidElsewhere = saidElsewhere
var Suppliers = suppliers
