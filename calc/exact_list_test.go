package calc

// lowest is the smallest Σ weight × content over all contents within their
// bounds that add up to 100. By the duality of linear programmes it is the
// highest value, over all prices of a per cent of content, of
//
//	100 × price + Σ (weight − price) × the bound that makes it smallest
//
// and a best price is among the weights. TestLowestAtEveryCorner tries the
// corners of the programme itself.
func lowest(parts []exactPart, weight []int64) rat {
	var best rat
	for _, price := range []int64{-1, 0, 1} {
		sum := q(100*price, 1)
		for i, p := range parts {
			w := q(weight[i]-price, 1)
			sum = plus(sum, least(times(w, p.pct.lo), times(w, p.pct.hi)))
		}
		if best == nil || sum.Cmp(best) > 0 {
			best = sum
		}
	}
	return best
}
