package weigh_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/weigh"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/source"
)

func TestParseMass(t *testing.T) {
	for text, want := range map[string]string{"2kg": "2000", "500 g": "500", "1.5KG": "1500", "0.25 kg": "250",
		"12.3g": "12.3"} {
		n, err := weigh.ParseMass(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, n.Exact())
	}
	for _, bad := range []string{"", "2", "kg", "-2kg", "0g", "2,5kg", "2 lb", "two kg"} {
		_, err := weigh.ParseMass(bad)
		assert.Error(t, err, bad)
	}
}

// TestCautions: which rows of the caution table a material calls up.
func TestCautions(t *testing.T) {
	tables := table.Builtin()
	rows := func(text string, b assess.Bench, others ...string) []string {
		b.Law = tables
		parse := func(text string) *formula.Material {
			s, fs := ingredients.ReadSheet(source.NewSource("ingredients/m.yaml", []byte("id: m\n"+text)))
			require.Empty(t, fs, text)
			return formula.Prepare(s, tables.Dictionary())
		}
		m := parse(text)
		b.Others = []*formula.Material{m}
		for _, o := range others {
			b.Others = append(b.Others, parse(o))
		}
		var out []string
		for _, c := range b.Cautions(m) {
			out = append(out, c.Key)
		}
		return out
	}
	const whole = "composition: {complete: true, constituents: [{inci: %, pct: 100}]}\n"
	of := func(inci, more string) string { return "name: M\n" + more + strings.Replace(whole, "%", inci, 1) }
	hot := exact.Int(70)

	assert.Equal(t, []string{"H04", "H05", "H06"}, rows(of("Sodium Hydroxide", "form: solid\n"), assess.Bench{}))
	assert.Equal(t, []string{"H04", "H05", "H06", "H07"},
		rows(of("Potassium Hydroxide", "form: solid\n"), assess.Bench{Soap: true}))
	assert.Equal(t, []string{"H01", "H02", "H03"},
		rows(of("Sodium Lauryl Sulfoacetate", "form: powder\nfunctions: [foaming]\n"), assess.Bench{}))
	assert.Equal(t, []string{"H01"}, rows(of("Sodium Cocoyl Isethionate", "form: solid\n"), assess.Bench{}))
	assert.Equal(t, []string{"H03"}, rows(of("Kaolin", "form: powder\n"), assess.Bench{}))
	assert.Equal(t, []string{"H12", "H13"},
		rows(of("Butyrospermum Parkii Butter", "form: solid\n"), assess.Bench{HeatC: &hot}))
	assert.Equal(t, []string{"H12", "H13"},
		rows(of("Cetearyl Alcohol", "form: solid\nphysical: {melting_c: 52}\n"), assess.Bench{HeatC: &hot}))
	for _, fat := range []string{"Cera Alba", "Cetearyl Alcohol", "Caprylic/Capric Triglyceride", "Petrolatum",
		"Helianthus Annuus Seed Oil"} { // no melting point on the sheet
		assert.Equal(t, []string{"H12", "H13"}, rows(of(fat, "form: solid\n"), assess.Bench{HeatC: &hot}), fat)
	}
	sixty, less := exact.Int(60), exact.Int(59)
	assert.Equal(t, []string{"H12", "H13"}, rows(of("Cera Alba", "form: solid\n"), assess.Bench{HeatC: &sixty}))
	assert.Empty(t, rows(of("Cera Alba", "form: solid\n"), assess.Bench{HeatC: &less}))
	assert.Empty(t, rows(of("PEG-40 Hydrogenated Castor Oil", "form: liquid\n"), assess.Bench{HeatC: &hot}), "no fat")
	assert.Empty(t, rows(of("Butyrospermum Parkii Butter", "form: solid\n"), assess.Bench{}))
	assert.Equal(t, []string{"H14"}, rows(of("Aqua", "form: liquid\n"), assess.Bench{HeatC: &hot}))
	assert.Equal(t, []string{"H03", "H15"}, rows(of("Citric Acid", "form: powder\n"), assess.Bench{}))
	assert.Equal(t, []string{"H03", "H15", "H16"},
		rows(of("Citric Acid", "form: powder\n"), assess.Bench{}, of("Sodium Bicarbonate", "form: powder\n")))
	assert.Equal(t, []string{"H17"}, rows(of("Alcohol Denat.", "form: liquid\n"), assess.Bench{}))
	assert.Equal(t, []string{"H17"}, rows(of("Dimethyl Ether", "form: liquid\nphysical: {flash_c: 60}\n"), assess.Bench{}))
	assert.Equal(t, []string{"H19"},
		rows(of("Phenoxyethanol", "form: liquid\nfunctions: [preservative]\n"), assess.Bench{}))
	assert.Equal(t, []string{"H23"}, rows(of("Butane", "form: gas\n"), assess.Bench{}))
	assert.Equal(t, []string{"H09", "H10", "H11"}, rows("name: M\nform: liquid\nlabel_as: parfum\n", assess.Bench{}))
}
