// Package formula turns a product and its sheets into compositions: it resolves lines,
// slots, portions and additions to shares of raw materials, tightens the contents of
// each material, and multiplies them out to substances with their contributions.
// [Input] is everything that one assessment depends on.
package formula
