// Package pieces takes the printed texts of suppliers' papers apart: lines joined,
// words with their places, names without brackets, sentences, and the CAS and EC
// numbers that a text holds. It knows nothing of what a paper means.
package pieces
