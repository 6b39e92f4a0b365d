package pack

// What the tests that stand outside this package look at.

var LocalDoseTable = localDoseTable
var NextSteps = nextSteps
var PackPlaces = packPlaces
var ReadinessChart = readinessChart
var ReadyAnchor = readyAnchor
