package preservation

// What the tests that stand outside this package look at.

var LowRiskCriteria = lowRiskCriteria
var LowRiskWords = lowRiskWords
var IsWater = isWater
