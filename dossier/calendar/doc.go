// Package calendar gathers what is due, from every part of a workshop, into one list by
// date. Start at [Of].
//
// # Decisions
//
// 2026-11-29. What is due is taken from where it is known: coming law and serious effects
// from the findings of an assessment, readings from the storage tests, lots from the
// books. Days that have passed and are still open come first. A paper is due on the last
// day on which it counts, by evidence_years. The product file is kept ten years from the
// last day on which packs of a batch were sent or, where no day is written down, from the
// day of its release, or of its making; what is not recorded as sold counts from there,
// which is the later end. Each entry is known by what it is about and not by its day.
package calendar
