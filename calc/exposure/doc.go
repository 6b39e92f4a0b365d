// Package exposure computes exposure, systemic dose, points of departure, margins,
// thresholds of concern, local and inhaled doses, aggregate exposure and traces.
package exposure
