// Package reading is what was read of a supplier's paper: what the paper says of
// itself, composition, allergens, certificate, impurities, physical data, statements,
// each value with its place, and what is asked about.
//
// A [Reading] is the whole. Its JSON is what `gallipot transcribe --json` prints. A
// value that is not decided says why ([How].Ask) and is no proposal.
package reading
