package stability

// What the tests that stand outside this package look at.

const FitSteps = fitSteps

var Due = due
var GoodWeeks = goodWeeks
var LifeWords = lifeWords
var StabilityJSONOfAssessment = stabilityJSONOfAssessment
var SupportedLife = supportedLife
var TrendCharts = trendCharts
var Trends = trends
