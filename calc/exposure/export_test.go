package exposure

// What the tests that stand outside this package look at.

const AggregateUVPart = aggregateUVPart

var InternalPoD = internalPoD

type MarginFigures = marginFigures

func MarginWith(f MarginFigures) Margin { return Margin{marginFigures: &f} }
