package condition

import (
	"slices"
	"sync"

	"gallipot/calc/law/data"
	"gallipot/calc/law/rows"
)

// ProductCode is one word of the product= clauses.
//
// Source: product-codes.csv, the vocabulary of limits.csv.
type ProductCode struct {
	rows.Row          // Key is the code
	Parents  []string // codes that also match
	Same     string   // area the code means, and that means the code
	Area     string   // area a product with this code always has; empty: none follows
}

var CodeColumns = rows.Columns{Meaning: []string{"code", "parents", "same_as_area", "in_area", "seen"},
	Remarks: []string{"source", "note"}}

func ReadProductCodes(file string, text string) ([]*ProductCode, error) {
	areas := append([]string{""}, AreaWords...)
	return rows.ReadTable(file, text, CodeColumns, func(r *rows.Record) *ProductCode {
		return &ProductCode{
			Row: r.Head(r.Text("code")), Parents: r.List("parents"),
			Same: r.Word("same_as_area", areas...), Area: r.Word("in_area", areas...),
		}
	})
}

var productCodes = sync.OnceValues(func() (map[string]*ProductCode, error) {
	m := map[string]*ProductCode{}
	table, err := data.Read("product-codes.csv") // needed to read a condition
	if err != nil {
		return m, err
	}
	rows, err := ReadProductCodes("product-codes.csv", table)
	for _, c := range rows {
		m[c.Key] = c
	}
	return m, err
})

// CodeTable returns the vocabulary; a fault in the embedded file is a
// programmer's mistake and is caught by the tests.
func CodeTable() map[string]*ProductCode {
	m, err := productCodes()
	if err != nil {
		panic(err)
	}
	return m
}

// Expand adds to areas and codes everything that follows from them: parents of
// a code, the area a code is used on, the code that means an area, and skin
// where a part of the skin is named.
func Expand(areas, codes []string) (allAreas, allCodes []string) {
	table := CodeTable()
	var addCode, addArea func(string)
	addArea = func(a string) {
		if a == "" || slices.Contains(allAreas, a) {
			return
		}
		allAreas = append(allAreas, a)
		switch a {
		case "face", "hand", "body", "eye", "nappy":
			addArea("skin")
		}
		for _, c := range sameCodes(a) {
			addCode(c)
		}
	}
	addCode = func(c string) {
		if slices.Contains(allCodes, c) {
			return
		}
		allCodes = append(allCodes, c)
		if row := table[c]; row != nil {
			addArea(row.Area)
			for _, p := range row.Parents {
				addCode(p)
			}
		}
	}
	for _, a := range areas {
		addArea(a)
	}
	for _, c := range codes {
		addCode(c)
	}
	slices.Sort(allAreas)
	slices.Sort(allCodes)
	return allAreas, allCodes
}

// sameCodes lists the codes that mean an area, in any order.
func sameCodes(area string) []string { return codesByArea()[area] }

var codesByArea = sync.OnceValue(func() map[string][]string {
	by := map[string][]string{}
	for _, c := range CodeTable() {
		if c.Same != "" {
			by[c.Same] = append(by[c.Same], c.Key)
		}
	}
	return by
})
