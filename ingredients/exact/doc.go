// Package exact holds numbers without rounding ([Num], [Range], [Amount]), dates, and
// numbers that identify: CAS and EC with their check digits.
//
// # Decisions
//
// 2026-11-25, numbers. Percentages are exact fractions ([Num]): two int64 while they
// fit, math/big.Rat beyond. Formulas in grams and scaled typical values are thirds and
// sevenths, so a decimal or scaled integer would need an error bound and a rule for
// ties; a fraction needs neither. The benchmarks of this package compare the cost.
//
// 2026-11-25, percent, not fractions of one. Inside and outside, figures are % w/w:
// every number in the code is the number on the supplier's paper and in the law.
//
// 2026-11-25, check digits. A CAS or EC number whose check digit is wrong is asked about
// and kept; one that cannot be such a number by its form is refused. The figures go by
// name either way.
package exact
