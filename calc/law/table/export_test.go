package table

// What the tests that stand outside this package look at.

const TablesState = tablesState
