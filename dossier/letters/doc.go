// Package letters asks suppliers, laboratories and the assessor for what is missing.
package letters
