// Package masses plans the masses of a batch on a balance, and judges them as weighed.
package masses
