// Package headroom finds the highest content at which every rule still holds, and the
// contents at which the label changes.
//
// # Decisions
//
// 2026-11-25, headroom. A material grows at the cost of the q.s. line, or without one of
// all others in proportion; every content is then a straight line in its amount, and
// each rule is solved exactly. The q.s. line has no headroom of its own.
package headroom
