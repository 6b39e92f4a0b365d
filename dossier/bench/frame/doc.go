// Package frame is what all pages of the workbench share: the band at the top and the foot,
// the table of routes, saving a form into a file, marks and figures.
//
// A page is one Go file with a function that takes a [Visit], one template beside it, and a
// row in the table of routes of its package ([Set]); package bench joins the tables. A page
// is made on the server and can be read without script. A form names its fields after the
// place in the file: set:/formula/phases/0/lines/2/amount is a value as typed, text:/name a
// text. [Visit.SaveForm] writes what differs from the file, at its place, and nothing else;
// a button named do takes out, moves or adds an entry of a list. No page is changed by GET.
//
// A finding comes to a page through [Visit.Tell], as sentences with a link to the field that
// settles it, and is set by the templates told-why and told-fix.
package frame
