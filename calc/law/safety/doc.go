// Package safety reads the tables that margins of safety rest on: exposure, toxicological
// values, classes for thresholds of concern, molar masses, storage tests.
package safety
