package finding

// Counts is how many findings there are of each kind. Every count that is printed
// comes from here.
type Counts struct{ Stop, Ask, Note, Decided int }

// Count counts findings by their kind.
func Count(fs []Finding) Counts {
	var c Counts
	for i := range fs {
		switch fs[i].Severity {
		case Stop:
			c.Stop++
		case Ask:
			c.Ask++
		case Note:
			c.Note++
		case Decided:
			c.Decided++
		}
	}
	return c
}
