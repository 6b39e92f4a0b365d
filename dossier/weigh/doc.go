// Package weigh makes the weighing sheet of a batch. Start at [Weigh].
package weigh
