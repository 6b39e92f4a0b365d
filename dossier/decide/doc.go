// Package decide settles what is asked by what a person answerable has decided in
// writing, and writes such decisions. Start at [Settle] and [Write].
//
// # Decisions
//
// 2026-11-29. A decision names the code and the subject of an ask and holds for the
// values that were before the one who decided: it carries a mark of them ([Mark]), and
// the ask is open again once the values are others, or from the day named as until. A
// decision without the mark settles nothing, since nobody can tell what was decided on.
// The mark leaves out where a value stands, so that a line more in a file opens nothing,
// and in which markets and variants the ask was found: those a decision names itself,
// and one that names none is for all. Stops and notes cannot be decided, and neither can
// what stands in the way of reading a file.
//
// 2026-11-30. What is open in the record of a batch can be decided too, by the batch as
// the subject: what nobody wrote down on the day cannot be filled in later, and would
// otherwise be asked for ever. So can what is asked about a lot, in workshop.yaml and by
// the number of the lot as the subject: a lot is of no one product.
//
// What is decided stays on every list, as a kind of its own. Decisions change no figure
// and no fingerprint. Those in workshop.yaml count for every product.
package decide
