package rows

// Market is where a product is sold, as far as the tables tell markets apart.
type Market string

// The markets of the tables. Northern Ireland follows the EU annexes.
const (
	GB Market = "GB"
	EU Market = "EU"
	NI Market = "NI"
)

// Annexes returns the market whose annexes hold in m: EU for NI, else m itself.
func (m Market) Annexes() Market {
	if m == NI {
		return EU
	}
	return m
}

// Valid says whether the tables know the market.
func (m Market) Valid() bool { return m == GB || m == EU || m == NI }

// The contents of a market cell; rows share them and nobody changes them.
var (
	onlyEU = []Market{EU}
	onlyGB = []Market{GB}
	both   = []Market{EU, GB}
)

// Markets reads a market cell: EU, GB or EU+GB.
func (r *Record) Markets(col string) []Market {
	switch r.Word(col, "EU", "GB", "EU+GB") {
	case "EU":
		return onlyEU
	case "GB":
		return onlyGB
	}
	return both
}
