// Package soap computes the reaction of fats with lye, and the product as sold.
package soap
