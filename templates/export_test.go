package templates

// What the tests that stand outside this package look at.

var LetterNames = letterNames
