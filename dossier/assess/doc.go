// Package assess computes one product on one day: a result for each variant and
// market, the fingerprint of what the figures rest on, and the findings of all of
// them joined. Start at [Run]. What papers, records and labels leave open is asked by
// the checks that are handed in.
package assess
