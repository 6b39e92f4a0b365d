// Package standards holds fragrances against their certificates and disclosed contents
// against the fragrance Standards.
//
// # Decisions
//
// 2026-11-25: Fragrance Standards are self-regulation and disclosed contents a lower
// bound: an excess that a row read in its source proves is a stop, one that was not read
// in its source an ask, and a blank is "limit not in the tables".
package standards
