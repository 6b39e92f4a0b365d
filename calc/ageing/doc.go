// Package ageing fits lines through readings, estimates how long a product keeps, and
// judges counts and challenge tests.
//
// # Decisions
//
// 2026-11-25, shelf life. Warm tests are compared with the upper end of room
// temperature, and the shorter of real time and estimate is what the data support. A
// line through readings is a description with its 95 % range, no model of ageing.
package ageing
