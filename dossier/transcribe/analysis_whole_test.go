package transcribe_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/transcribe/reading"
)

// results are the rows of an analysis: name, sign, value, unit and what is wanted.
func results(r *reading.Reading) (out []string) {
	for _, list := range [][]reading.Property{r.Physical, r.Impurities} {
		for _, p := range list {
			name, value := p.Substance+p.Property, p.Value
			if p.Low != "" || p.High != "" {
				value = p.Low + ".." + p.High
			}
			if p.Low == p.High && p.Low != "" {
				value = p.Low
			}
			if p.Op == "statement" || value == "" {
				value = "[" + p.Printed + "]"
			}
			text := strings.Join(strings.Fields(name+" "+p.Op+" "+value+" "+p.Unit), " ")
			if p.Spec != "" {
				text += " | " + p.Spec
			}
			out = append(out, text)
		}
	}
	slices.Sort(out)
	return out
}

// told are the questions of a reading that hold results to what is wanted.
func told(r *reading.Reading) (out []string) {
	for _, a := range r.Asks {
		if strings.HasPrefix(a.Code, "result-") {
			out = append(out, a.Code+" "+a.Values["name"]+": "+a.Values["text"]+" | "+a.Values["wanted"])
		}
	}
	slices.Sort(out)
	return out
}

// Certificates of analysis in layouts of their own; all invented. What each holds was
// written before it was read.
func TestAnalyses(t *testing.T) {
	head := "Certificate of Analysis\nHolmbeck Naturals Ltd (invented)\nProduct name: Try\nBatch number: H-1\n\n"
	for _, c := range []struct {
		name, text string
		rows, told []string
	}{
		{"labels and words, limits in brackets", "Appearance: pale yellow solid\nOdour: faint, characteristic\n" +
			"Peroxide value: 6.2 meq O2/kg (max. 5.0)\nLead: not detected\nSalmonella: absent/25 g\n" +
			"S. aureus: not detected in 10 g\n",
			[]string{"Lead n.d. [not detected]", "Peroxide value = 6.2 meq O2/kg | max. 5.0", "Salmonella absent [absent/25 g]",
				"Staphylococcus aureus n.d. [not detected in 10 g]", "appearance statement [pale yellow solid]",
				"odour statement [faint, characteristic]"},
			[]string{"result-outside Peroxide value: 6.2 meq O2/kg | max. 5.0"}},
		{"heads that are no words of the tables", "Checkpoint              House rule                   As tested\n" +
			"Appearance              Brown liquid                 Conforms\npH(25°C)                4.0-6.0                      3.62\n" +
			"Specific gravity        1.150-1.250                  1.198\nArsenic                 NMT 2ppm                     <0.5ppm\n",
			[]string{"Arsenic < 0.5 ppm | NMT 2ppm", "appearance statement [Conforms] | Brown liquid",
				"pH at 25 °C = 3.62 | 4.0-6.0", "relative density = 1.198 | 1.150-1.250"},
			[]string{"result-outside pH(25°C): 3.62 | 4.0-6.0"}},
		{"lowest, highest and value",
			"Parameter        Unit        Min     Max     Value\nAcid value       mg KOH/g    12      22      23.6\n" +
				"Lead             mg/kg               2       0.3\nMelting point    °C          68.5            70.1\n",
			[]string{"Acid value = 23.6 mg KOH/g | 12 - 22", "Lead = 0.3 mg/kg | ≤ 2", "melting point = 70.1 °C | ≥ 68.5"},
			[]string{"result-outside Acid value: 23.6 mg KOH/g | 12 - 22"}},
		{"units that differ", "Test          Specification     Result\nLead          max. 0.1 mg/kg    0.000025 %\n" +
			"Mercury       max. 100 µg/kg    < 0.05 ppm\nArsenic       max. 1 ppm        < 2 ppm\n" +
			"Viscosity     200 - 400 mPa·s   310 mm²/s\nAcid value    NMT 0.5 mg KOH/g  0.1\n",
			[]string{"Acid value = 0.1 mg KOH/g | NMT 0.5 mg KOH/g", "Arsenic < 2 ppm | max. 1 ppm",
				"Lead = 0.000025 % | max. 0.1 mg/kg", "Mercury < 0.05 ppm | max. 100 µg/kg",
				"viscosity = 310 mm²/s | 200 - 400 mPa·s"},
			[]string{"result-outside Lead: 0.000025 % | max. 0.1 mg/kg",
				"result-unlike Viscosity: 310 mm²/s | 200 - 400 mPa·s",
				"result-unshown Arsenic: < 2 ppm | max. 1 ppm"}},
		{"a heading within the table, results with marks",
			"Test                Unit     Result    Min.   Max.\nGlycerol            %        99.78     99.7\n" +
				"Lead                mg/kg    < LOQb           1\nMicrobiology\n" +
				"Total plate count   cfu/g    < 10             1000\nZorbella            cfu/g    20               100\n",
			[]string{"Glycerol = 99.78 % | ≥ 99.7", "Lead n.d. [< LOQb] | ≤ 1", "Total plate count < 10 cfu/g | ≤ 1000",
				"Zorbella = 20 cfu/g | ≤ 100"}, nil},
		{"words that say that it fails",
			"Test             Limits          Results\nColour           white           does not comply\n" +
				"E. coli          absent in 1 g   detected\nSalmonella       absent in 25 g  not detected in 25 g\n" +
				"Total plate count  max. 100 cfu/g  10 cfu/g\n",
			[]string{"Escherichia coli statement [detected] | absent in 1 g",
				"Salmonella n.d. [not detected in 25 g] | absent in 25 g",
				"Total plate count = 10 cfu/g | max. 100 cfu/g", "colour statement [does not comply] | white"},
			[]string{"result-outside Colour: does not comply | white", "result-outside E. coli: detected | absent in 1 g"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := readText(t, "a.txt", head+c.text)
			require.Equal(t, c.rows, results(r))
			require.Equal(t, c.told, told(r))
		})
	}
	t.Run("the assay of the material itself is no declaration, a listed by-product is", func(t *testing.T) {
		r := readText(t, "a.txt", "Certificate of Analysis\nProduct name: Benzyl Alcohol\n\nTest                  Limits        Results\n"+
			"Benzyl alcohol (GC)   min. 99.0 %   98.2 %\nBenzaldehyde (GC)     max. 0.1 %    0.2 %\n")
		require.Equal(t, []string{"Benzyl alcohol (GC) = 98.2 % | min. 99.0 %"}, results(r))
		require.Len(t, r.Allergens.Rows, 1)
		require.Equal(t, "benzaldehyde", r.Allergens.Rows[0].Key)
		require.Equal(t, []string{"result-outside Benzaldehyde (GC): 0.2 % | max. 0.1 %",
			"result-outside Benzyl alcohol (GC): 98.2 % | min. 99.0 %"}, told(r))
	})
}
