package law

import "testing"

func TestTablesParse(t *testing.T) {
	if _, err := Load(); err != nil {
		t.Fatal(err)
	}
}
