package chart

// What the tests that stand outside this package look at.

const MostDrawing = mostDrawing
const StackHeight = stackHeight

var Axes = axes
var Axis = axis
var Chunks = chunks
var LegendHBarLog = legendHBarLog
var Names = names
var Whole = whole
