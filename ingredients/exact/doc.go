// Package exact holds numbers without rounding ([Num], [Range], [Amount]), dates, and
// numbers that identify: CAS and EC with their check digits.
package exact
