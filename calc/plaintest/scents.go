package plaintest

import (
	"math/big"
	"strings"
)

// scentUse is the use of a scent against its certificate.
type scentUse struct {
	Material, where, Status string
	Use, Ratio              Rat
}

// Scents compares the highest use of each with its certificate, and adds the
// Shares of the limits that each mixture uses up.
func (x *Run) Scents() (uses []scentUse, sums []Rat) {
	for range x.Mixes {
		sums = append(sums, new(big.Rat))
	}
	for _, m := range x.Materials {
		if x.Mixes[0].Use(m.Id).Sign() == 0 || m.Scent == "" && m.Function != "fragrance" && m.Certificate == "" {
			continue
		}
		u := scentUse{Material: m.Id}
		share, where := x.Worst(func(i int) Span { return only(x.Mixes[i].Use(m.Id)) })
		u.Use, u.where = share.Hi, where
		category := x.book.types[x.Kind]["ifra_category"]
		covered := m.Category == category || m.Category != "" && m.Category == strings.TrimRight(category, "ABCD")
		switch {
		case m.Certificate == "":
			u.Status = "no certificate"
		case !covered:
			u.Status = "not covered"
		case m.Certificate == "closed":
			u.Status = "not permitted"
		case m.Certificate == "open":
			u.Status = "no limit"
		default:
			u.Ratio = Over(u.Use, m.Limit)
			u.Status = "kept"
			if u.Ratio.Cmp(Q(1, 1)) > 0 {
				u.Status = "exceeded"
			}
			for i, mix := range x.Mixes {
				sums[i] = Plus(sums[i], Over(mix.Use(m.Id), m.Limit))
			}
		}
		uses = append(uses, u)
	}
	return uses, sums
}
