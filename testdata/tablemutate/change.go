package main

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
)

// change is one cell with another content.
type change struct {
	table    *table
	row, col int
	old, new string
	unjudged bool // no outside source can judge the row
	outcome  outcome
	by       string // test that noticed
}

type outcome int

const (
	undecided outcome = iota
	noticed
	refused // by the reader of the table
	missed
	unjudged // no outside source can judge the row: not tried
)

// place names the cell: table, key of the row, column.
func (c *change) place() string {
	r := c.table.rows[c.row]
	return fmt.Sprintf("%s:%d %s %s", c.table.name, c.row+2, r[0], c.table.header[c.col])
}

// makers make other contents of a cell, by kind; "" where the cell has none.
var makers = map[string]func(cell string, col []string, rng *rand.Rand) string{
	"figure": func(cell string, _ []string, rng *rand.Rand) string { return otherFigure(cell, rng) },
	"date":   func(cell string, _ []string, rng *rand.Rand) string { return otherDate(cell, rng) },
	"market": otherWord, "word": otherWord,
	"number":    otherNumber,
	"condition": otherCondition,
	"within":    func(cell string, _ []string, rng *rand.Rand) string { return otherWithin(cell, rng) },
}

// otherFigure changes a number as a slip would: by a fifth, by ten, by a digit.
func otherFigure(cell string, rng *rand.Rand) string {
	f, err := strconv.ParseFloat(cell, 64)
	if err != nil {
		return ""
	}
	if f == 0 {
		return "1"
	}
	decimals := 0
	if _, d, ok := strings.Cut(cell, "."); ok {
		decimals = len(d)
	}
	for range 20 {
		switch rng.IntN(4) {
		case 0:
			f2 := f * 1.2
			if s := strconv.FormatFloat(f2, 'f', decimals+1, 64); s != cell && f2 <= 100 || f > 100 && s != cell {
				return s
			}
		case 1:
			return strconv.FormatFloat(f/10, 'f', decimals+1, 64)
		case 2:
			if f*10 <= 100 || f > 100 {
				return strconv.FormatFloat(f*10, 'f', decimals, 64)
			}
		case 3:
			digits := regexp.MustCompile(`[1-9]`).FindAllStringIndex(cell, -1)
			at := digits[rng.IntN(len(digits))][0]
			d := (int(cell[at]-'0')+rng.IntN(8))%9 + 1
			if s := cell[:at] + strconv.Itoa(d) + cell[at+1:]; s != cell {
				return s
			}
		}
	}
	return ""
}

func otherDate(cell string, rng *rand.Rand) string {
	d, err := time.Parse(time.DateOnly, cell)
	if err != nil {
		return ""
	}
	switch rng.IntN(4) {
	case 0:
		d = d.AddDate(0, 0, 1)
	case 1:
		d = d.AddDate(0, 0, -1)
	case 2:
		d = d.AddDate(0, 1, 0)
	default:
		d = d.AddDate(1, 0, 0)
	}
	return d.Format(time.DateOnly)
}

// otherWord takes another word of the column.
func otherWord(cell string, col []string, rng *rand.Rand) string {
	if cell == "" {
		return ""
	}
	words := slices.Compact(slices.Sorted(slices.Values(col)))
	words = slices.DeleteFunc(words, func(w string) bool { return w == cell || w == "" })
	if len(words) == 0 {
		return ""
	}
	return words[rng.IntN(len(words))]
}

var numberForm = regexp.MustCompile(`\b\d{2,7}-\d\d-\d\b|\b\d{3}-\d{3}-\d\b`)

// otherNumber changes a digit of one number and, mostly, its check digit with
// it, or puts the number of another row in its place.
func otherNumber(cell string, col []string, rng *rand.Rand) string {
	at := numberForm.FindAllStringIndex(cell, -1)
	if len(at) == 0 {
		return ""
	}
	p := at[rng.IntN(len(at))]
	old := cell[p[0]:p[1]]
	for range 40 {
		b := []byte(old)
		i := rng.IntN(len(b) - 2)
		if b[i] < '0' || b[i] > '9' || i == 0 && b[i] == '1' {
			continue
		}
		d := byte('1' + rng.IntN(9))
		if d == b[i] {
			continue
		}
		b[i] = d
		if rng.IntN(5) > 0 && !correct(b) {
			continue
		}
		return cell[:p[0]] + string(b) + cell[p[1]:]
	}
	return ""
}

// correct sets the check digit; false where the number can have none.
func correct(b []byte) bool {
	var digits []int
	for _, c := range b {
		if c != '-' {
			digits = append(digits, int(c-'0'))
		}
	}
	n, sum := len(digits)-1, 0
	if len(b) == 9 && b[3] == '-' && b[7] == '-' { // EC
		for i := range n {
			sum += digits[i] * (i + 1)
		}
		if sum %= 11; sum > 9 {
			return false
		}
		b[len(b)-1] = byte('0' + sum)
		return true
	}
	for i := range n {
		sum += digits[n-1-i] * (i + 1)
	}
	b[len(b)-1] = byte('0' + sum%10)
	return true
}

// otherCondition changes a word of a condition, leaves a clause out or an
// exception.
func otherCondition(cell string, col []string, rng *rand.Rand) string {
	if cell == "" {
		return ""
	}
	clauses := strings.Split(cell, " & ")
	switch i := rng.IntN(len(clauses)); {
	case len(clauses) > 1 && rng.IntN(2) == 0:
		return strings.Join(slices.Delete(slices.Clone(clauses), i, i+1), " & ")
	case strings.Contains(clauses[i], "|") && rng.IntN(2) == 0:
		kind, list, _ := strings.Cut(clauses[i], "=")
		items := strings.Split(list, "|")
		k := rng.IntN(len(items))
		clauses[i] = kind + "=" + strings.Join(slices.Delete(items, k, k+1), "|")
		return strings.Join(clauses, " & ")
	}
	swap := map[string]string{"rinse-off": "leave-on", "leave-on": "rinse-off", "all": "rinse-off"}
	for i, c := range clauses {
		if s := swap[c]; s != "" {
			clauses[i] = s
			return strings.Join(clauses, " & ")
		}
	}
	return otherWord(cell, col, rng)
}

// otherWithin changes one number inside a cell of several, such as factors.
func otherWithin(cell string, rng *rand.Rand) string {
	at := regexp.MustCompile(`(?:=|<=|>=|<|>|-|^)(\d+(?:\.\d+)?)`).FindAllStringSubmatchIndex(cell, -1)
	if len(at) == 0 {
		return ""
	}
	p := at[rng.IntN(len(at))]
	f := otherFigure(cell[p[2]:p[3]], rng)
	if f == "" {
		return ""
	}
	return cell[:p[2]] + f + cell[p[3]:]
}

// draw picks changes by chance until n are found of rows that can be judged; a
// cell is changed once. Every cell that a kind can change has the same chance.
func draw(tables []*table, n int, rng *rand.Rand) []*change {
	var cells []*change
	for _, t := range tables {
		for col := range t.kinds {
			for row, r := range t.rows {
				if r[col] != "" && !t.idle[row] {
					cells = append(cells,
						&change{table: t, row: row, col: col, old: r[col], unjudged: !t.judged(row, col)})
				}
			}
		}
	}
	slices.SortFunc(cells, func(a, b *change) int {
		if c := strings.Compare(a.table.name, b.table.name); c != 0 {
			return c
		}
		if a.row != b.row {
			return a.row - b.row
		}
		return a.col - b.col
	})
	rng.Shuffle(len(cells), func(i, k int) { cells[i], cells[k] = cells[k], cells[i] })
	var out []*change
	judged := 0
	for _, c := range cells {
		if judged == n {
			break
		}
		var column []string
		for _, r := range c.table.rows {
			column = append(column, r[c.col])
		}
		c.new = makers[c.table.kinds[c.col]](c.old, column, rng)
		if c.new == "" || c.new == c.old {
			continue
		}
		if !c.unjudged {
			judged++
		}
		out = append(out, c)
	}
	return out
}
