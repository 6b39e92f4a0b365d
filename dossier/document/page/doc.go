// Package page prints a document as a web page. Start at [Write].
package page
