package batch_test

import (
	"testing"

	"gallipot/dossier/batch"
	"gallipot/dossier/weigh"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/source"
)

func FuzzReadBatch(f *testing.F) {
	s := demoSheet(f, "heath-wash", "duo", weigh.WeighOptions{BatchG: grams(f, "2kg"), Code: "F1"})
	f.Add(batch.RecordText(s))
	f.Add([]byte("code: F1\nproduct: x\ndate: 2026-03-01\nlines: [{ingredient: water, lots: [{lot: A, g: 1}]}]\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		b, fs := workshop.ReadBatch(source.NewSource("batches/F1.yaml", data))
		if b == nil && len(fs) == 0 {
			t.Fatal("neither batch nor finding")
		}
	})
}
