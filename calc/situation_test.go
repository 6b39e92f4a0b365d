package calc

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// Every function of the common raw materials is understood.
func TestFunctionsOfMaterialsAreUnderstood(t *testing.T) {
	for _, m := range law.Builtin().Materials() {
		for _, f := range m.Functions {
			_, ok := functionOf(f)
			assert.True(t, ok, "%s: %q", m.Key, f)
		}
	}
}

func TestFunctionOf(t *testing.T) {
	for wording, want := range map[string]string{
		"preservative": fnPreservative, "Preserving": fnPreservative, "UV FILTER": fnUVFilter, "colour": fnColorant, "PERFUMING": fnFragrance,
		"pH adjuster": "ph-adjuster", "buffering": "ph-adjuster", "denaturant": "denaturant", "antioxidant": fnOther, "cleansing": fnOther,
		"ANTIMICROBIAL": fnOther, "essential oil": fnFragrance, "carrier oil": fnOther, "peroxide stabiliser": "peroxide-stabiliser",
	} {
		got, ok := functionOf(wording)
		assert.True(t, ok, wording)
		assert.Equal(t, want, got, wording)
	}
	_, ok := functionOf("makes it nice")
	assert.False(t, ok)
}

// A claim counts where a sentence plainly makes it.
func TestClaims(t *testing.T) {
	of := func(text string) []string { return claimsOf([]Claim{{Text: text}}) }
	assert.Equal(t, []string{"sun-protection"}, of("with SPF 15"))
	assert.Equal(t, []string{"sun-protection"}, of("protects from the sun"))
	assert.Equal(t, []string{"bronzing"}, of("a gentle self-tanning milk"))
	assert.Equal(t, []string{"uv-exposure"}, of("for the sunbed"))
	assert.Empty(t, of("contains no SPF"))
	assert.Empty(t, of("this is not a sunscreen"))
	assert.Empty(t, of("smells of a sunny shore"))
}

// The product file adds to the product type and takes nothing away.
func TestSituationOfProduct(t *testing.T) {
	pt, ok := law.Builtin().ProductType("baby-lotion")
	require.True(t, ok)
	in := &Input{Product: &Product{IntendedFor: Adults, BodyAreas: []string{"face"}}, Type: pt}
	s := baseSituation(in)
	assert.Contains(t, s.Areas, "face")
	assert.Contains(t, s.Areas, "body")
	assert.Equal(t, &law.Ages{From: 0, To: 1200}, s.Ages) // babies by type, adults by file
	assert.Equal(t, law.Unknown, s.Professional)
}

func TestNatural(t *testing.T) {
	assert.True(t, isBotanical("Citrus Limon Peel Oil"))
	assert.True(t, isBotanical("Rosa Damascena Flower Water"))
	assert.False(t, isBotanical("Mineral Oil"))
	assert.False(t, isBotanical("Aqua"))
	r := limitCase{product: "body-lotion"}.of(t, declared(t, material(t, "oil", "fragrance", "Rosa Damascena Flower Oil", "100"), ingredients.List2023, "Methyl Eugenol", "1"), "0.1")
	s := r.Whole().Find("Methyl Eugenol")
	require.NotNil(t, s)
	assert.Equal(t, law.Yes, naturalOf(r.Input, s))
}
