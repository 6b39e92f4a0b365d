// Package preservation asks whether a product in which germs can grow is preserved.
package preservation
