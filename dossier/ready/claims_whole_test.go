package ready_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/ready"
	"gallipot/dossier/words/wordstest"
	"gallipot/dossier/workshop/workshoptest"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// claimsOf returns the findings on the wording of the full workshop's cream with
// some edits, as "severity code: words".
func claimsOf(t *testing.T, edits ...string) (said []string, fs []finding.Finding) {
	t.Helper()
	files := workshoptest.FullFiles()
	for i := 0; i < len(edits); i += 3 {
		require.Contains(t, files[edits[i]], edits[i+1])
		files[edits[i]] = strings.Replace(files[edits[i]], edits[i+1], edits[i+2], 1)
	}
	fs = ready.ClaimsOfFiling(ready.Questioned(assessFiles(t, files)))
	for _, f := range fs {
		said = append(said, f.Severity.String()+" "+f.Code)
	}
	return said, fs
}

func TestClaimFindings(t *testing.T) {
	const product, claim, proof = "products/cream.yaml", "leaves skin soft",
		"  - {kind: claim, file: evidence/claim.txt, dated: 2026-02-03}\n"
	for _, c := range []struct {
		name  string
		edits []string
		want  []string
	}{
		{"what a cosmetic may say", nil, nil},
		{"medicine", []string{product, claim, "heals dry skin"}, []string{"stop claim-medicinal"}},
		{"biocide", []string{product, claim, "kills all germs"}, []string{"stop claim-biocidal", "ask claim-biocidal"}},
		{"authority", []string{product, claim, "approved by the authorities"}, []string{"stop claim-authority"}},
		{"mere compliance", []string{product, claim, "complies with cosmetics law"}, []string{"stop claim-authority"}},
		{"free from what is banned", []string{product, claim, "free from lead"}, []string{"stop claim-free-from"}},
		{"runs others down", []string{product, claim, "paraben-free"}, []string{"stop claim-free-from"}},
		{"asks only", []string{product, claim, "free from palm oil"}, []string{"ask claim-free-from"}},
		{"contradicted by the formula", []string{product, claim, "fragrance-free"}, []string{"stop claim-free-from"}},
		{"contradicted by a preservative", []string{product, claim, "without preservatives"},
			[]string{"stop claim-free-from"}},
		{"not contradicted", []string{product, claim, "fragrance-free", product,
			"{ingredient: scent, amount: 0.5}, ", ""}, []string{"note claim-free-from"}},
		{"animals, with all statements", []string{product, claim, "cruelty-free"}, []string{"note claim-animal-testing"}},
		{"animals, a statement missing",
			[]string{product, claim, "cruelty-free", "ingredients/blend.yaml",
				"  - {kind: animal-testing, file: evidence/animal-testing.txt, dated: 2026-02-03}\n", ""},
			[]string{"ask claim-animal-testing"}},
		{"absolute", []string{product, claim, "100 % safe"}, []string{"ask claim-absolute"}},
		{"settled by a paper", []string{product, claim, "lasts for 24 hours"}, nil},
		{"no paper", []string{product, claim, "lasts for 24 hours", product, proof, ""},
			[]string{"ask claim-proof", "ask claim-proof"}},
		{"any claim wants proof", []string{product, proof, ""}, []string{"ask claim-proof"}},
		{"the name too", []string{product, "name: Cream", "name: Anti-inflammatory Cream"}, []string{"stop claim-medicinal"}},
		{"directions as well", []string{product, "directions: Rub in.", "directions: Rub in to relieve eczema."},
			[]string{"stop claim-medicinal"}},
		{"directions may warn", []string{product, "directions: Rub in.",
			"directions: Not for children. Stop using it if a rash appears."}, nil},
		{"for babies, meant for adults", []string{product, claim, "for babies", product, proof, ""},
			[]string{"ask claim-proof", "ask claim-proof"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			raised, fs := claimsOf(t, c.edits...)
			assert.Equal(t, c.want, raised)
			for _, f := range fs {
				assert.NotEmpty(t, wordstest.Said(f).Why)
				assert.NotEmpty(t, wordstest.Said(f).Fix)
				assert.False(t, f.Pos.IsZero())
			}
		})
	}
}

// TestClaimPlace wants the caret under the words and the reason with its row.
func TestClaimPlace(t *testing.T) {
	_, fs := claimsOf(t, "products/cream.yaml", "leaves skin soft", "soothes, and heals all")
	require.Len(t, fs, 1)
	f := fs[0]
	assert.Equal(t, exact.Pos{File: "products/cream.yaml", Line: 12, Col: 23, Len: 5}, f.Pos)
	assert.Contains(t, wordstest.Said(f).Message, "“heals”")
	assert.Contains(t, wordstest.Said(f).Why, "claims.csv, row M02")
}

// TestClaimInAVariantsName is about that variant alone.
func TestClaimInAVariantsName(t *testing.T) {
	const variants = "complaints: []\nvariants: [{id: plain, name: Unscented, fill: {}}, {id: moor, name: Moor, fill: {perfume: scent}}]\n"
	_, fs := claimsOf(t, "products/cream.yaml", "complaints: []\n", variants, "products/cream.yaml",
		"{ingredient: scent, amount: 0.5}", "{slot: perfume, amount: 0.5}")
	require.Len(t, fs, 1)
	assert.Equal(t, finding.Note, fs[0].Severity)
	assert.Equal(t, []string{"cream/plain"}, fs[0].Variants)

	_, fs = claimsOf(t, "products/cream.yaml", "complaints: []\n",
		strings.Replace(variants, "name: Moor", "name: Unscented moor", 1), "products/cream.yaml",
		"{ingredient: scent, amount: 0.5}", "{slot: perfume, amount: 0.5}")
	require.Len(t, fs, 2)
	assert.Equal(t, finding.Stop, fs[1].Severity)
	assert.Contains(t, wordstest.Said(fs[1]).Message, "the product contains Scent")
}
