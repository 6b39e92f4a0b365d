package exposure

// What the tests that stand outside this package look at.

const AggregateUVPart = aggregateUVPart

var InternalPoD = internalPoD
