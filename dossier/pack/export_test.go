package pack

// What the tests that stand outside this package look at.

var LocalDoseTable = localDoseTable
var ReadinessChart = readinessChart
var ReadyAnchor = readyAnchor
