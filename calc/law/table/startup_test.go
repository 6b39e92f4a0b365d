package table

import "testing"

// BenchmarkRead is what a start of the program pays for the tables.
func BenchmarkRead(b *testing.B) {
	dir := Files()
	for b.Loop() {
		if _, err := Read(dir); err != nil {
			b.Fatal(err)
		}
	}
}
