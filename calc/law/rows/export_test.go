package rows

// What the tests that stand outside this package look at.

const WordsFunction = wordsFunction
