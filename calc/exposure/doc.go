// Package exposure computes exposure, systemic dose, points of departure, margins,
// thresholds of concern, local and inhaled doses, aggregate exposure and traces.
//
// # Decisions
//
// 2026-11-25, several studies. The lowest usable value before the duration factor
// governs; the others are listed. A dermal study becomes internal by dermal absorption.
// Where an opinion names its own target margin, that one is used and said.
//
// 2026-11-25, exposure stand-ins. A leave-on stand-in without a printed figure per body
// weight counts with retention 1, and rare uses count as one a day. Aggregate exposure
// adds the product's own where the published parts do not count it.
//
// 2026-11-28, rare uses. Where a row of the exposure table is a mean over the year, one
// use a day is taken, whether the row is the product's own or a stand-in: an eye cream
// used by a fifth of all people a day is used every day by those who use it. The maker's
// own figures under exposure come before it.
package exposure
