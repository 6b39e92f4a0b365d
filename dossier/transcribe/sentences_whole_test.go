package transcribe_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/transcribe/reading"
)

// What a sentence says the material holds, in the six languages; all invented.
func TestSentences(t *testing.T) {
	type held map[string]string
	for text, want := range map[string]held{
		"Contains 0.3 % potassium sorbate as preservative.": {"potassium sorbate": "0.3"},
		"The extract contains 0.5 % sodium benzoate and 0.25 % potassium sorbate.": {"sodium benzoate": "0.5",
			"potassium sorbate": "0.25"},
		"It is preserved with sodium benzoate (0.5 %) and potassium sorbate (0.2 %).": {"sodium benzoate": "0.5",
			"potassium sorbate": "0.2"},
		"Tocopherol is added as an antioxidant at 0.05 %.":    {"Tocopherol": "0.05"},
		"Sodium benzoate (0.3 %) is added as a preservative.": {"Sodium benzoate": "0.3"},
		"Added antioxidant: Tocopherol (mixed), 0.05 %.":      {"Tocopherol (mixed)": "0.05"},
		"The product consists of 60 % glycerin, 38.2 % water and 1.8 % seaweed extract.": {"glycerin": "60",
			"water": "38.2", "seaweed extract": "1.8"},
		"Enthält 0,3 % Kaliumsorbat als Konservierungsmittel.": {"Kaliumsorbat": "0.3"},
		"Natriumbenzoat wurde zugesetzt: 0,30 %.":              {"Natriumbenzoat": "0.3"},
		"Konserviert mit Natriumbenzoat 0,25 % und Kaliumsorbat 0,15 %.": {"Natriumbenzoat": "0.25",
			"Kaliumsorbat": "0.15"},
		"Der Extrakt besteht aus 70 % Glycerin, 27 % Wasser und 3 % Birkenblattextrakt.": {"Glycerin": "70",
			"Wasser": "27", "Birkenblattextrakt": "3"},
		"Contient 0,3 % de sorbate de potassium comme conservateur.": {"sorbate de potassium": "0.3"},
		"Le produit est conservé avec du benzoate de sodium 0,3 %.":  {"benzoate de sodium": "0.3"},
		"Il contient 0,02 % d'acide citrique.":                       {"acide citrique": "0.02"},
		"Du benzoate de sodium est ajouté : 0,30 %.":                 {"benzoate de sodium": "0.3"},
		"Contiene lo 0,3 % di potassio sorbato come conservante.":    {"potassio sorbato": "0.3"},
		"Conservato con sodio benzoato 0,25 % e potassio sorbato 0,15 %.": {"sodio benzoato": "0.25",
			"potassio sorbato": "0.15"},
		"È stato aggiunto sodio benzoato: 0,30 %.":                {"sodio benzoato": "0.3"},
		"Contiene un 0,3 % de sorbato potásico como conservante.": {"sorbato potásico": "0.3"},
		"Conservado con benzoato sódico 0,25 % y sorbato potásico 0,15 %.": {"benzoato sódico": "0.25",
			"sorbato potásico": "0.15"},
		"Se ha añadido benzoato sódico: 0,30 %.":          {"benzoato sódico": "0.3"},
		"Bevat 0,3 % kaliumsorbaat als conserveermiddel.": {"kaliumsorbaat": "0.3"},
		"Natriumbenzoaat is toegevoegd: 0,30 %.":          {"Natriumbenzoaat": "0.3"},
		"Geconserveerd met natriumbenzoaat 0,25 % en kaliumsorbaat 0,15 %.": {"natriumbenzoaat": "0.25",
			"kaliumsorbaat": "0.15"},
		"We recommend 0.3 % potassium sorbate as preservative in the finished product.": {},
		"The acid value is 0.3 % and the batch contains no preservative.":               {},
		"Preservative: none.": {},
	} {
		t.Run(text, func(t *testing.T) {
			r := readText(t, "a.txt", "Skerry Extracts (invented)\nProduct: Try\n\n"+text+"\n")
			got := held{}
			for _, c := range r.Composition {
				require.NotNil(t, c.Low, c.Name)
				require.Equal(t, *c.Low, *c.High)
				got[c.Name] = *c.Low
			}
			require.Equal(t, want, got)
		})
	}
}

// What a sentence says may be present besides is an impurity and no constituent, a measure
// is a measure; all invented.
func TestBesides(t *testing.T) {
	for text, want := range map[string][]string{
		"Diethylene glycol may be present as an impurity, max. 500 ppm.":               {"Diethylene glycol <= 500 ppm"},
		"Ethylene oxide may be contained as a trace impurity (< 1 ppm).":               {"Ethylene oxide < 1 ppm"},
		"Contains a maximum of 5 ppm dichloroacetic acid as impurity.":                 {"Dichloroacetic acid <= 5 ppm"},
		"Als Verunreinigung kann Diethylenglykol enthalten sein, max. 500 ppm.":        {"Diethylene glycol <= 500 ppm"},
		"Kann Spuren von Ethylenoxid enthalten (< 1 ppm).":                             {"Ethylene oxide < 1 ppm"},
		"Enthält herstellungsbedingt bis zu 0,1 % Methanol als Verunreinigung.":        {"Methanol <= 0.1 %"},
		"Peut contenir du diéthylène glycol comme impureté, max. 500 ppm.":             {"Diethylene glycol <= 500 ppm"},
		"Può contenere tracce di ossido di etilene (< 1 ppm).":                         {"Ethylene oxide < 1 ppm"},
		"Puede contener óxido de etileno como impureza, máx. 1 ppm.":                   {"Ethylene oxide <= 1 ppm"},
		"Kan sporen van ethyleenoxide bevatten (< 1 ppm).":                             {"Ethylene oxide < 1 ppm"},
		"The product may contain up to 0.2 % of tripropylene glycol as a by-product.":  nil,
		"Lead < 1 ppm and arsenic < 0.5 ppm may be present as unavoidable impurities.": {"Arsenic < 0.5 ppm", "Lead < 1 ppm"},
		"pH (1 % in water): 5.5 - 7.0":                                                 {"pH (1 % in water) range 5.5..7.0"},
		"pH (1 % in water)     5.5 - 7.0":                                              {"pH (1 % in water) range 5.5..7.0"},
		"Viscosity (20 °C)     300 mPa·s":                                              {"viscosity at 20 °C = 300 mPa·s"},
	} {
		t.Run(text, func(t *testing.T) {
			r := readText(t, "a.txt", "Composition\nSkerry Extracts (invented)\nProduct: Try\n\nGlycerin   99 %\n"+text+"\n")
			require.Len(t, r.Composition, 1, "no constituent")
			require.Equal(t, want, results(r))
			require.Equal(t, want == nil, slices.Contains(codes(r.Asks), "impurity-sentence"))
		})
	}
	t.Run("a pH among the rows of a table of constituents", func(t *testing.T) {
		r := readText(t, "a.csv", "Composition\nProduct name;Try\nINCI;CAS;%\nAqua;7732-18-5;60\npH (1 % in water);;5.5 - 7.0\n"+
			"Glycerin;56-81-5;40\n")
		require.Len(t, r.Composition, 2)
		require.Equal(t, []string{"pH (1 % in water) range 5.5..7.0"}, results(r))
	})
}

// What a sentence says is not there keeps its names, each with the limit that it gives; all
// invented.
func TestAbsent(t *testing.T) {
	for text, want := range map[string][]string{
		"Citral is present at 0.42 %. Eugenol and coumarin are not detected (limit of detection 0.001 %).": {
			"citral 0.42 value", "eugenol 0.001 not-detected", "coumarin 0.001 not-detected"},
		"Linalool 1.2 %, geraniol and citral not detected.": {"linalool 1.2 value", "geraniol  not-detected",
			"citral  not-detected"},
		"Eugenol und Cumarin sind nicht nachweisbar (< 10 ppm).": {"eugenol 0.001 not-detected",
			"coumarin 0.001 not-detected"},
		"Linalool and limonene are natural.": nil,
	} {
		t.Run(text, func(t *testing.T) {
			r := readText(t, "a.txt", "ALLERGEN DECLARATION\nSkerry Extracts Ltd (invented)\nProduct: Try\n\n"+text+"\n")
			var got []string
			if r.Allergens != nil {
				for _, a := range r.Allergens.Rows {
					got = append(got, a.Key+" "+reading.ValueOf(a.High)+" "+a.Status)
				}
			}
			require.Equal(t, want, got)
		})
	}
}
