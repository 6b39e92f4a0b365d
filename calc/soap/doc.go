// Package soap computes the reaction of fats with lye, and the product as sold.
//
// # Decisions
//
// 2026-11-25, soap. Lye is a formula line like any other; its mass is never chosen by
// the program, which says how much the fats take. What reacts becomes one material of
// the mixture whose parts add up to 100, and order, limits and exposure see the product
// as sold ([Saponify], called once for each assessment). All fats react to the same
// degree: an assumption. Waxes may not react at all, the cautious side for free lye. Lye
// that only may be left over is a trace: it counts for limits and stays out of the list.
// Names shared by several rows (olive and olive pomace) take the range of all; a value
// from the lot's certificate replaces them. The pouring loss is per cent of the mass
// poured.
package soap
