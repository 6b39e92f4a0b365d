package ready

// What the tests that stand outside this package look at.

var Claims = claims
var DossierRules = dossierRules
var DossierSection = dossierSection
var SaidElsewhere = saidElsewhere
