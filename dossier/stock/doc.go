// Package stock keeps the books of what was received: what was used, thrown away and
// counted of each lot, what is left, and what a planned batch lacks. Start at [Of].
//
// # Decisions
//
// 2026-11-29, one file for each lot. A lot is born on one day and then only read, but for
// what is thrown away, counted or put on hold, which belongs to it alone. A file of its
// own is written once and never opened again by the next delivery, two people can enter
// goods at once, the name of the file keeps numbers from being given twice, and a lot can
// be handed to an inspector as it is. One file a year would have to be rewritten with
// every delivery. What was weighed stands in the batch records and nowhere else.
//
// 2026-11-29, the books. What is left is what was received, less what batch records weigh
// of it and what was thrown away; a count takes the place of what the books had at the end
// of its day, and the difference is shown as unaccounted for. A use without a mass leaves
// at most what is shown. A lot that a record names by the supplier's number alone is found
// where one lot of the material has that number.
//
// Lots are asked for from the day of the first one on: older records keep working. A
// material that is not bought by the lot, such as water of one's own or a base of one's
// own making, says so in its sheet (purchase: {by_lot: false}), or is named in a record by
// the batch that it is. No lot, price or count changes a figure or the fingerprint.
//
// 2026-11-30, packaging to order. What a pack takes stands once, under costs in the
// product's file, and serves cost and order; how many packs a batch is to fill stands in
// its record, since the books weigh nothing and know no density.
//
// First expired, first used: of the lots that may be used on a day the one whose date
// comes first is taken first, then the one received first. A lot that is expired, on hold
// or due for a new test is never proposed.
package stock
