// Package plain prints a document as text for a terminal. Start at [Write].
package plain
