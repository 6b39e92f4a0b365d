// Package stability reads what the record of a product says over time: storage tests
// and their trends, counts, challenge tests, undesirable effects, and the calendar of
// readings that are due.
package stability
