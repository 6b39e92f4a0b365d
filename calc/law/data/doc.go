// Package data holds the tables of law and published guidance as they stand: CSV with
// a source on every row, embedded. Their readers know what the columns mean.
package data

import "io/fs"

// Read returns one table, such as limits.csv.
//
// Errors: that of the file.
func Read(name string) ([]byte, error) {
	dir, err := Files()
	if err != nil {
		return nil, err
	}
	return fs.ReadFile(dir, name)
}
