// Package show narrows an assessment to what one document shows, and holds the cells
// that several documents print alike. Start at [Show].
//
// # Decisions
//
// 2026-11-25, many variants. Up to six stand side by side. A longer range shows what is
// common once, what differs as lowest to highest, the worst with its variant, and a few
// lines for each; the full tables stand in the workbook (Table.InWorkbook).
package show
