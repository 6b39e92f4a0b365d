// Package running reads running text into products: lists, notes, mails. A [Line] is a
// line of text as one line of a formula, a [Block] the lines that make one formula.
package running
