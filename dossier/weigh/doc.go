// Package weigh makes the weighing sheet of a batch. Start at [Weigh].
//
// # Decisions
//
// 2026-11-25, weighing sheets. All lines of one balance are rounded together by the
// largest remainder, so that the total is the batch exactly. With a second balance each
// group keeps its own sum, and the whole may differ by less than a division of the
// coarse one; the sheet says so. A batch in portions has as its base what most shared
// lines have in proportion; what a portion has beyond that, such as the water of an
// empty slot, is weighed into it. Phases stand in vessels of their own until steps come
// back to an earlier one or the last of the base is weighed: only then a mass in the pot
// is printed. Tables of a phase stay whole on a page (Table.Whole), a caution is told in
// full once and by name again, and the cost is one line, with the materials in the
// workbook.
package weigh
