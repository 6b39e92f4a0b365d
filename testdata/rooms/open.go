package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"
)

// known are the faults of open.csv, under their keys, each with what is to be done.
type known map[string]string

var openColumns = []string{"kind", "package", "what", "todo"}

// readOpen reads the list of known faults. A list that is not there is an empty one.
func readOpen(path string) (known, error) {
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	} else if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, err
	}
	if len(rows) == 0 || !slices.Equal(rows[0], openColumns) {
		return nil, fmt.Errorf("%s: the first line must be %v", path, openColumns)
	}
	out := known{}
	for i, row := range rows[1:] {
		key := fault{kind: row[0], pkg: row[1], what: row[2]}.key()
		switch {
		case row[3] == "":
			return nil, fmt.Errorf("%s:%d: say what is to be done", path, i+2)
		case out[key] != "":
			return nil, fmt.Errorf("%s:%d: stands there twice", path, i+2)
		}
		out[key] = row[3]
	}
	return out, nil
}

// compare returns the faults that are not known, and the known ones that are no more.
func (k known) compare(found []fault) []fault {
	var out []fault
	there := map[string]bool{}
	for _, f := range found {
		there[f.key()] = true
		if k[f.key()] == "" {
			out = append(out, f)
		}
	}
	var gone []string
	for key := range k {
		if !there[key] {
			gone = append(gone, key)
		}
	}
	slices.Sort(gone)
	for _, key := range gone {
		out = append(out, fault{kind: "mended", what: key, text: "take the line off the list"})
	}
	return out
}
