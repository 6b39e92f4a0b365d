// Package otherlaw compares a product with rules outside Annexes II to VI: other law that
// binds the market, opinions that are not law, classifications proposed, and synthetic
// polymer particles.
//
// # Decisions
//
// 2026-11-29, a room of its own beside calc/limits: an opinion never lifts or sets a limit,
// and its verdicts are others.
package otherlaw
