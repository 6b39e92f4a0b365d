// Package raw is a formula document before anything in it is understood: sheets of
// rows of cells, whatever the form of the file. Bars and tabs of a text part cells, the
// pages of a PDF run on.
package raw
