package tabular

import (
	"gallipot/dossier/transcribe/dose"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/recipe/columns"
	"gallipot/dossier/transcribe/recipe/raw"
	"gallipot/dossier/transcribe/recipe/terms"
	"gallipot/ingredients/exact"
)

// entry is a row of a table that is a line of the formula.
type entry struct {
	row     raw.Row
	line    formulation.Line
	amounts map[int]dose.Amount // by column
	unit    string              // of a column of units
	phase   int
	after   bool
}

// totalRow is a row that sums what stands above it.
type totalRow struct {
	name    string
	amounts map[int]dose.Amount
	entries int // how many lines stand above
	where   string
	text    string
}

// part is a phase being read.
type part struct {
	terms.Heading
	subtotal map[int]dose.Amount
}

// body is a table being read into a product.
type body struct {
	d       *columns.Finder
	t       *columns.Table
	p       *formulation.Product
	entries []*entry
	parts   []part
	totals  []totalRow
	columns map[columns.Role]int
	notes   []int
	doses   []int               // columns of amounts
	tail    []raw.Row           // what stands below the lines
	left    []formulation.Place // what is not understood
	letters bool                // the phase is the letter of a code: A1, A2, B1
}

// dosesOf sums a column over the lines that count.
func dosesOf(es []*entry, col int) exact.Num {
	var total exact.Num
	for _, e := range es {
		if a, ok := e.amounts[col]; ok && a.Value != "" && !e.line.Struck {
			total = total.Add(figure.Sum(a.Value))
		}
	}
	return total
}
