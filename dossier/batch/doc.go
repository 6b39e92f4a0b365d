// Package batch judges the record of a made batch, plans the next one, and follows
// lots through batches. Start at [Review] and [TraceLot].
//
// # Decisions
//
// 2026-11-25, batch records are forms. A key without a value is still to be filled in
// and no mistake, unlike in every other file (source.Mapping.Filled). Records outlive
// formulas and sheets: a product or sheet that is gone is asked about and stops nothing.
// weigh --record is the one way to start a record, and nothing is ever overwritten.
//
// 2026-11-25, release. A batch is never called released by the program. batch lists what
// in the files speaks against it, the product's own stops among them; check stops where
// a batch was released although its own record is open. An assessment covers a batch
// when it is for the figures the batch was planned with, or for today's while the
// formula is at the batch's revision, and is signed no later than the first release or
// sale (assessed.go). What weighing can change is run again on every batch
// (calc/masses.CheckMade): lye, allergens, certificates, limits.
//
// 2026-11-28, sums of a batch. What cannot be is a stop, what is unusual an ask. Base
// divided into portions is held against the base weighed in; where more came out than
// went in, no content is computed (calc/masses.BalanceBase). The usual yield ends at 100
// % and what the steps of the balance explain. Net content is that of a pack as sold, so
// packs, batch and fill of a soap count the water that dries off (calc/masses), and a
// record says whether its filled mass was weighed wet or dry: nothing is guessed from
// the figure. filled_units counts rejected packs and not the kept sample. Of one lot
// with several dates the date that most lines have is held to be right, so that one slip
// in twenty records is one question.
package batch
