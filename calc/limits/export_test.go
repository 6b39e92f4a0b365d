package limits

// What the tests that stand outside this package look at.

const CheckNone = checkNone
const CheckTogether = checkTogether

type RowMatch = rowMatch

var BasisTerm = basisTerm
var MatcherOf = matcherOf
var MissingWords = missingWords
