// Package certificate reads fragrance conformity certificates: the amendment and the
// limit of each category, and asks about limits that a message only tells of.
//
// Decisions:
//   - 2026-11-29: category 11 alone stands for 11A and 11B; any other category
//     without its letter is asked about. Of several lines in one category the lowest
//     counts.
package certificate
