package preservation

// What the tests that stand outside this package look at.

var LowRiskList = lowRiskList
var LowRiskWords = lowRiskWords
