package sections

// What the tests that stand outside this package look at.

var LocalDoseTable = localDoseTable
var ReadinessChart = readinessChart
