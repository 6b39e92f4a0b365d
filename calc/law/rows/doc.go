// Package rows has what every table of the law has: the cells of a row with their place, its
// key and source, whether it was checked against that source, markets, and word lists.
package rows
