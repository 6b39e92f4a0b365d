package rows

// Bars returns the items of a cell joined by bars: chemical names hold commas
// and semicolons.
func (r *Record) Bars(col string) []string { return r.Table.split(r.Text(col), "|") }
