package document

import (
	"gallipot/dossier/words"
)

// Input says what may be typed into a cell of a spreadsheet. Such a cell is
// marked and unlocked; everything else is protected from slips.
type Input struct {
	Least float64 // lowest value taken, in the unit of the cell
	Most  float64 // highest value taken; 0: no upper bound
	Above bool    // Least itself is not taken
	// Follows says that the cell holds a formula until something is typed over it.
	Follows bool
	Title   string // what it is, shown when the cell is chosen: a few words
	Source  string // where its value comes from, shown below
}

// PctInput is the input of a content or share in per cent.
func PctInput(title, source string) Input {
	return Input{Most: 100, Title: title, Source: source}
}

// PositiveInput is the input of a figure that something is divided by or that
// makes no sense at 0.
func PositiveInput(title, source string) Input {
	return Input{Above: true, Title: title, Source: source}
}

// Following returns the input as one that holds a formula at first.
func (in Input) Following() Input { in.Follows = true; return in }

// The lengths of what a program shows beside a cell, in characters.
const (
	MostInputTitle = 32
	MostInputText  = 255
	MostErrorText  = 225
)

// CutText fits a text into what a program shows.
func CutText(s string, most int) string {
	rs := []rune(words.Printable(s))
	if len(rs) > most {
		rs = append(rs[:most-1], '…')
	}
	return string(rs)
}
