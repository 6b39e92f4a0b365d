package standards

// What the tests that stand outside this package look at.

var PreparationNamed = preparationNamed
