// Package listing puts ingredients in the order of the law and says which allergens
// the label has to name.
package listing
