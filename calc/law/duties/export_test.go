package duties

// What the tests that stand outside this package look at.

const LabelShortfall = labelShortfall
const LabelUnit = labelUnit
