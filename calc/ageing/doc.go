// Package ageing fits lines through readings, estimates how long a product keeps, and
// judges counts and challenge tests.
package ageing
