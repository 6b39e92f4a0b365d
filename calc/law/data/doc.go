// Package data holds the tables of law and published guidance as they stand: CSV with
// a source on every row, embedded. Their readers know what the columns mean.
package data

import "io/fs"

// Read returns one table inside the program, such as limits.csv.
//
// Errors: that of the file.
func Read(name string) (string, error) {
	dir, err := Files()
	if err != nil {
		return "", err
	}
	return Text(dir, name)
}

// Inside says whether a folder is the one of the tables inside the program.
func Inside(dir fs.FS) bool {
	_, inside := dir.(interface{ Text(name string) string })
	return inside
}

// Text returns one table of a folder: those inside the program without a copy.
//
// Errors: that of the file.
func Text(dir fs.FS, name string) (string, error) {
	if kept, ok := dir.(interface{ Text(name string) string }); ok {
		if text := kept.Text(name); text != "" {
			return text, nil
		}
	}
	data, err := fs.ReadFile(dir, name)
	return string(data), err
}
