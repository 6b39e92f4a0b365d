package inventory

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"encoding/csv"
	"fmt"
	"slices"
	"strings"

	"gallipot/ingredients/namelist"
)

// Layout of the packed inventory. All numbers are little-endian.
//
//	names      packed list of official and other names
//	others     names that are not official, for each substance of each: uint16 place, one byte
//	           for its kind, uint16 place of the official name; in the order of places
//	cas, ec    uint32 number without its check digit, uint16 place, in order
//	lines      packed lines, one for each place: what the inventory says of the name
//	functions  the function table as it is
const (
	secNames = iota
	secOthers
	secCAS
	secEC
	secLines
	secFunctions
	sections
)

const layout = "inv3\n"

// row is one name on its way into the packed file.
type row struct {
	name    string
	kind    Kind
	targets []int  // rows of the official names
	line    string // the record of an official name
	cas, ec []string
}

// kindOf reads the kind column of the synonym table.
var kindOf = map[string]Kind{"INN": inn, "PhEur": pharmacopoeia, "chemical": chemical,
	"annex name": annexName, "EFSA name": foreignName, "SDS or trade-neutral": sheetName}

// pack makes the packed inventory of the three tables: names, other names and
// functions, as they stand in data/.
//
// It fails for a table without the columns asked for, for another name of a
// substance that is not listed, and for a kind of name that is unknown.
func pack(names, synonyms, functions []byte) ([]byte, error) {
	rows, err := readNames(names)
	if err != nil {
		return nil, err
	}
	if rows, err = addOthers(rows, synonyms); err != nil {
		return nil, err
	}
	texts := make([]string, len(rows))
	for i, r := range rows {
		texts[i] = r.name
	}
	list, place, err := namelist.Build(texts)
	if err != nil {
		return nil, err
	}
	at := make([]row, len(rows))
	for i, r := range rows {
		for j, t := range r.targets {
			r.targets[j] = place[t]
		}
		slices.Sort(r.targets)
		r.targets = slices.Compact(r.targets)
		at[place[i]] = r
	}
	var secs [sections][]byte
	secs[secNames], secs[secFunctions] = list, functions
	for i, r := range at {
		if r.kind == Official {
			continue
		}
		for _, t := range r.targets {
			secs[secOthers] = binary.LittleEndian.AppendUint16(secs[secOthers], uint16(i))
			secs[secOthers] = append(secs[secOthers], byte(r.kind))
			secs[secOthers] = binary.LittleEndian.AppendUint16(secs[secOthers], uint16(t))
		}
	}
	secs[secCAS] = packNumbers(at, func(r row) []string { return r.cas }, casNumber)
	secs[secEC] = packNumbers(at, func(r row) []string { return r.ec }, ecNumber)
	lines := make([]string, len(at))
	for i, r := range at {
		lines[i] = r.line
	}
	if secs[secLines], err = namelist.PackLines(lines); err != nil {
		return nil, err
	}
	return namelist.PackSections(layout, secs[:]...), nil
}

// table reads a CSV table and calls each with its rows by column.
func table(data []byte, columns []string, each func(cell map[string]string) error) error {
	records, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		return err
	}
	if len(records) == 0 || !slices.Equal(records[0], columns) {
		return fmt.Errorf("the columns should be %s", strings.Join(columns, ","))
	}
	cell := map[string]string{}
	for i, r := range records[1:] {
		for j, c := range columns {
			cell[c] = r[j]
		}
		if err := each(cell); err != nil {
			return fmt.Errorf("row %d: %w", i+2, err)
		}
	}
	return nil
}

func readNames(data []byte) ([]row, error) {
	var rows []row
	err := table(data, []string{"inci", "cas", "ec", "functions", "annex_refs", "updated", "note"},
		func(c map[string]string) error {
			line := strings.Join([]string{c["cas"], c["ec"], c["functions"], c["annex_refs"], c["updated"],
				c["note"]}, "\t")
			if strings.Contains(line, "\n") {
				return fmt.Errorf("%s: a cell of two lines", c["inci"])
			}
			rows = append(rows, row{name: c["inci"], targets: []int{len(rows)}, line: line, cas: cut(c["cas"]),
				ec: cut(c["ec"])})
			return nil
		})
	return rows, err
}

// addOthers adds the other names. What has the key of an official name is left
// out: that name says it already.
func addOthers(rows []row, data []byte) ([]row, error) {
	official, keys, other := map[string]int{}, map[string]bool{}, map[string]int{}
	for i, r := range rows {
		official[r.name] = i
		keys[namelist.Key(r.name)] = true
	}
	add := func(name string, kind Kind, target int) {
		key := namelist.Key(name)
		if key == "" || keys[key] {
			return
		}
		if i, met := other[key]; met {
			rows[i].targets = append(rows[i].targets, target)
			return
		}
		other[key] = len(rows)
		rows = append(rows, row{name: name, kind: kind, targets: []int{target}})
	}
	for i, r := range slices.Clone(rows) {
		if now, before, renamed := strings.Cut(strings.TrimSuffix(r.name, ")"), " (FORMERLY "); renamed {
			add(now, former, i)
			add(before, former, i)
		}
	}
	err := table(data, []string{"inci", "synonym", "kind", "source", "seen", "note"},
		func(c map[string]string) error {
			target, listed := official[c["inci"]]
			kind, known := kindOf[c["kind"]]
			switch {
			case !listed:
				return fmt.Errorf("%s is not in the list of names", c["inci"])
			case !known:
				return fmt.Errorf("%q is no kind of name", c["kind"])
			}
			add(c["synonym"], kind, target)
			return nil
		})
	return rows, err
}

func cut(cell string) []string {
	if cell == "" {
		return nil
	}
	return strings.Split(cell, "|")
}

// packNumbers packs the numbers whose check digit is right; the others are
// misprints of the sources and lead nowhere.
func packNumbers(at []row, of func(row) []string, read func(string) (uint32, bool)) []byte {
	type pair struct {
		number uint32
		place  int
	}
	var pairs []pair
	for i, r := range at {
		for _, text := range of(r) {
			if n, ok := read(text); ok {
				pairs = append(pairs, pair{n, i})
			}
		}
	}
	slices.SortFunc(pairs, func(a, b pair) int {
		if d := cmp.Compare(a.number, b.number); d != 0 {
			return d
		}
		return a.place - b.place
	})
	var out []byte
	for _, p := range slices.Compact(pairs) {
		out = binary.LittleEndian.AppendUint32(out, p.number)
		out = binary.LittleEndian.AppendUint16(out, uint16(p.place))
	}
	return out
}
