// Package figure reads the figures of suppliers' papers: bounds and whether they
// belong, signs in symbols and in words, ranges, units, and the words that stand
// where a figure would ("n.d.", "traces", "q.s.").
//
// A figure keeps its text. What cannot be decided is said so ([Figure].Open) and
// never guessed: "1,250 ppm" in a paper that shows no decimal sign elsewhere may be
// one or a thousand.
//
// Decisions:
//   - 2026-11-29: a comma or point before exactly three digits is a decimal sign
//     where the part before it is 0, where the paper uses that sign as decimal sign
//     and the other nowhere, and in a percentage, because a thousand per cent is no
//     content. It parts thousands where the paper uses the other sign as decimal
//     sign. Otherwise it is asked about.
//   - 2026-11-29: "n.d." without a stated limit has no upper bound.
package figure
