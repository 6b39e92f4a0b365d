package rows

// row lets every table row be asked for the part all have in common.
// TableRow is the row itself, for what reads any table.
func (r *Row) TableRow() *Row { return r }
