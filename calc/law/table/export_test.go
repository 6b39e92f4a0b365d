package table

// What the tests that stand outside this package look at.

var CodeTable = codeTable
var Embedded = embedded
var Flatten = flatten
var PopulationWords = populationWords
var ReadAll = readAll

const RefiningUnknown = refiningUnknown
const TablesState = tablesState
