// Package labelling says what the law asks a label to bear.
package labelling
