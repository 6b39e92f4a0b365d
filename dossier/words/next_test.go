package words

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

func TestNext(t *testing.T) {
	f := func(sev finding.Severity, code, file string) finding.Finding {
		return finding.Finding{Severity: sev, Code: code, Pos: exact.Pos{File: file}}
	}
	content := func(code string) finding.Finding {
		x := f(finding.Stop, code, "products/x")
		x.Sum = []finding.Term{{Key: "share"}}
		return x
	}
	all := []finding.Finding{f(finding.Note, "old-stock", "x"), f(finding.Ask, "no-stability", "x"),
		f(finding.Decided, "old-document", "x"), f(finding.Ask, "no-stability", "y"),
		f(finding.Stop, "claim-medicinal", "products/x"), f(finding.Stop, "claim-medicinal", "products/x"),
		content("fragrance-over"), content("over-limit"), f(finding.Stop, "lot-expired", "batches/x")}
	codes := func(n int) (list []string) {
		for _, x := range Next(all, n) {
			list = append(list, x.Code+" "+x.Pos.File)
		}
		return list
	}
	assert.Equal(t, []string{"lot-expired batches/x", "over-limit products/x", "fragrance-over products/x"}, codes(3))
	assert.Equal(t, []string{"lot-expired batches/x", "over-limit products/x", "fragrance-over products/x",
		"claim-medicinal products/x", "no-stability x", "no-stability y"}, codes(9),
		"notes and what is decided are nothing to do")
	assert.Empty(t, Next(nil, 3))
}
