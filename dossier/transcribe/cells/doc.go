// Package cells finds rows, tables and columns of text on the pages of a paper. It
// knows the heads of columns by the words of the lexicon and nothing else of what
// a paper means.
//
// [Read] gives the paper's items in the order in which a person reads them: rows
// of running text, and tables whose columns have roles. A row of a table may have
// taken several printed lines: lines drawn on the page part the rows where there
// are any, otherwise the gaps between the lines, otherwise what stands in the
// columns. Text that runs in two columns side by side is read one column after the
// other.
//
// Decisions:
//   - 2026-11-29: a head needs two known heads of columns, one of which promises a
//     number; a table without a head is given as rows of text.
//   - 2026-12-01: between two lines drawn on the page one value makes one row, whatever
//     numbers stand beside it; lines of text alone are joined there only where the cells of
//     all columns share their middle.
//   - 2026-11-29: two tables side by side under repeated heads are parted where the
//     heads begin again.
package cells
