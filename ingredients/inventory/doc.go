// Package inventory is the inventory of cosmetic ingredient names: 35,210 official
// names with their CAS and EC numbers, functions and annex entries, and the other
// names that official lists give them.
//
// The lists themselves stand in data/ as CSV tables, with their sources and
// caveats in data/README.md. pack turns them into data/inventory.bin, which is
// embedded: names for finding in place (package namelist), everything else in
// compressed blocks of 256 names, so that one name unpacks one block.
// UPDATE=1 go test ./ingredients/inventory makes the file again; else the test compares.
//
// What the inventory says is advice: a number that differs from it is no error
// (most official rows list several numbers, and only the first is kept), one number
// often serves a whole plant, and a name in it is no authorisation.
package inventory
