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
//
// 2026-11-29, two pages for twelve lines. The sheet is set in small type with room for a
// figure where something is written; the steps of a phase stand beside what is weighed for
// it, with temperature, time and speed in the words of the step; the cautions of a phase
// are one paragraph that names each material, in front of both. Where the workshop keeps
// lots the one to take is named on each line, the one that expires first before the
// others, and what is short is said before the start.
package weigh
