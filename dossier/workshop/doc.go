// Package workshop is the maker's folder as read: sheets, products, batches, own
// limits and papers, every value with its file and line. Start at [Load]; every
// mistake of every file comes back as a finding, none hides another.
package workshop
