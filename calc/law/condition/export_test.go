package condition

// What the tests that stand outside this package look at.

var PopulationWords = populationWords
