package claims

// What the tests that stand outside this package look at.

var ParseClaimPattern = parseClaimPattern
