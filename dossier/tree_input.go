package dossier

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

// pctInput is the input of a content or share in per cent.
func pctInput(title, source string) Input {
	return Input{Most: 100, Title: title, Source: source}
}

// positiveInput is the input of a figure that something is divided by or that
// makes no sense at 0.
func positiveInput(title, source string) Input {
	return Input{Above: true, Title: title, Source: source}
}

// following returns the input as one that holds a formula at first.
func (in Input) following() Input { in.Follows = true; return in }
