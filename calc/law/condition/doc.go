// Package condition reads when a rule of the law holds: clauses of a fixed vocabulary
// such as "product=shampoo & area=hair", and the product codes that stand in them.
//
// Start at [Parse]. Whether a condition holds for a product is judged in calc/law.
package condition
