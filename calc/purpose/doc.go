// Package purpose says what a substance is in a product for, and what else the conditions
// of the law ask of it there: the functions of the sheets that bring it in, whether it comes
// with natural materials alone, in pieces, with a refining history; and what product type and
// product file say of all of them.
package purpose
