package transcribe_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/transcribe/reading"
)

// Kinds of print that papers of several suppliers share; each paper is invented.
func TestKinds(t *testing.T) {
	t.Run("what the style of a page hides is asked about", func(t *testing.T) {
		r := readText(t, "a.html", "<head><style>@media print{.shown{display:none}} .off, td.gone { display : none }</style></head>"+
			"<h1>Allergen declaration</h1><p>Product: Fell</p><p class='shown'>Linalool 1.2 %</p><p class='x off'>Citral 9.9 %</p>")
		require.Len(t, r.Allergens.Rows, 1)
		require.Equal(t, "linalool", r.Allergens.Rows[0].Key)
		require.Contains(t, codes(r.Asks), "hidden-value")
	})
	t.Run("legends of several signs in one sentence", func(t *testing.T) {
		for legend, limits := range map[string][2]string{
			"absent: < 1 ppm; traces: <= 10 ppm":                                                     {"0.0001", "0.001"},
			"Absent: not detected, below 10 mg/kg. Traces: between 10 and 20 mg/kg.":                 {"0.001", "0.002"},
			"absent = not detected (< 0.001 %)":                                                      {"0.001", ""},
			"absent = not detected (limit of detection 5 ppm), traces = less than 10 ppm":            {"0.0005", "0.001"},
			"absent: limit of detection 10 ppm\nTraces: below the limit of quantification (50 ppm).": {"0.001", "0.005"},
		} {
			r := readText(t, "a.txt", "ALLERGEN DECLARATION\nProduct name: Fell\n\nAllergen        CAS         Content (%)\n"+
				"Linalool        78-70-6     1.5\nCitral          5392-40-5   absent\nCoumarin        91-64-5     traces\n\n"+legend+"\n")
			require.Len(t, r.Allergens.Rows, 3)
			require.Equal(t, limits[0], reading.ValueOf(r.Allergens.Rows[1].High), legend)
			require.Equal(t, limits[1], reading.ValueOf(r.Allergens.Rows[2].High), legend)
		}
	})
	t.Run("a certificate in Polish", func(t *testing.T) {
		r := readText(t, "a.html", "<h1>Certyfikat zgodności ze standardami IFRA</h1><p>Łąka Aromaty Sp. z o.o.</p>"+
			"<p>zgodna ze Standardami IFRA (51. Poprawka) oraz z prawem, jeżeli nie jest stosowana inaczej</p><p>Nazwa kompozycji: MIRT</p><table>"+
			"<tr><th>Kategoria IFRA</th><th>Maksymalne stężenie w produkcie gotowym</th></tr><tr><td>Kategoria 1</td><td>nie dopuszcza się</td></tr>"+
			"<tr><td>Kategoria 5A</td><td>0,92 %</td></tr><tr><td>Kategoria 12</td><td>bez ograniczeń</td></tr></table>")
		require.Equal(t, "pl", r.Document.Language)
		require.Equal(t, "ifra-certificate", r.Document.Kind)
		require.Equal(t, "MIRT", r.Document.TradeName.Value)
		var got []string
		for _, l := range r.IFRA.Rows {
			got = append(got, l.Category+" "+l.Status+" "+reading.ValueOf(l.Max))
		}
		require.Equal(t, []string{"1 not-permitted ", "5A limit 0.92", "12 no-restriction "}, got)
	})
	t.Run("two names share an upper bound or what was not found, and no content", func(t *testing.T) {
		r := readText(t, "a.txt", "Statement\nSkerry Extracts (invented)\nProduct: Try\n\nImpurities:\n- Lead and cadmium each below 0.05 mg/kg\n"+
			"- Nickel and arsenic are not detected (limit of detection 0.1 mg/kg)\n- Mercury and antimony 0.3 ppm\n")
		require.Equal(t, []string{"Antimony = 0.3 ppm", "Arsenic n.d. [not detected (limit of detection 0.1 mg/kg)] mg/kg",
			"Cadmium < 0.05 mg/kg", "Lead < 0.05 mg/kg", "Nickel n.d. [not detected (limit of detection 0.1 mg/kg)] mg/kg"}, results(r))
		require.Contains(t, codes(r.Asks), "figure-of-several", "how much mercury nobody has said")
	})
	t.Run("labels of numbers are no names, codes no companies, and a code with a colon goes before one without", func(t *testing.T) {
		r := readText(t, "a.csv", "Certificate of analysis\nProduct Name;A.R. No.;NKF/0418\nBatch No.;N-1\n")
		require.Nil(t, r.Document.TradeName)
		r = readText(t, "a.html", "<h1>Fiche technique</h1><p>Réf. FT-0388, indice E</p><p>Produit : Ajonc GB</p><p>Code article : AG-2210 | Actif</p>")
		require.Equal(t, "AG-2210", r.Document.Code.Value)
		require.Nil(t, r.Document.Supplier)
	})
	t.Run("questions with boxes to tick are no heads and no constituents", func(t *testing.T) {
		r := readText(t, "a.html", "<h1>Questionario</h1><p>Product: Try</p><h2>Composizione</h2><table><tr><th>INCI</th><th>CAS</th><th>%</th></tr>"+
			"<tr><td>Aqua</td><td>7732-18-5</td><td>100</td></tr></table><p>Domande</p><table><tr><td>Contiene conservanti?</td><td>☐</td><td>☒</td><td></td></tr>"+
			"<tr><td>Contiene allergeni dell’allegato III (Reg. UE 2023/1545)?</td><td>☒</td><td>☐</td><td>Limonene 0,015 %; Linalool &lt; 0,001 %</td></tr>"+
			"<tr><td>Contiene OGM?</td><td>☐</td><td>☒</td><td>soglia 0,9 %</td></tr>"+
			"<tr><td>Contiene nitrosammine?</td><td>☐</td><td>☒</td><td>&lt; 50 ppb</td></tr></table>")
		require.Len(t, r.Composition, 1)
		require.Len(t, r.Allergens.Rows, 2)
		require.Equal(t, "0.015 0.001", reading.ValueOf(r.Allergens.Rows[0].High)+" "+reading.ValueOf(r.Allergens.Rows[1].High))
		require.Equal(t, []string{"N-Nitrosamines < 50 ppb"}, results(r))
	})
	t.Run("one line with two properties gives neither the figure of the other", func(t *testing.T) {
		r := readText(t, "a.html", "<h1>Technical data sheet</h1><p>Product: Try</p><h2>Typical composition</h2><p>Sorbitan Olivate (CAS 92044-87-6): 28 to 34 %</p>"+
			"<h2>Properties</h2><p>Nickel: below 1 mg/kg; lead: below 2 mg/kg</p><p>Viscosity (Brookfield: spindle 3, 20 rpm): 500 mPa·s</p>")
		require.Equal(t, []string{"Lead < 2 mg/kg", "Nickel < 1 mg/kg", "viscosity = 500 mPa·s"}, results(r))
		require.Len(t, r.Composition, 1)
		require.Equal(t, "28 34", reading.ValueOf(r.Composition[0].Low)+" "+reading.ValueOf(r.Composition[0].High))
	})
	t.Run("the limit in a row of its own holds for no other row", func(t *testing.T) {
		for _, own := range []string{"< LOQ (LOQ = 0.01 mg/kg)", "not detected (limit of detection 0.01 mg/kg)"} {
			r := readText(t, "a.html", "<h1>Allergen declaration</h1><p>Product name: Fell</p><table><tr><th>Allergen</th><th>CAS</th><th>Content (%)</th></tr>"+
				"<tr><td>Linalool</td><td>78-70-6</td><td>1.5</td></tr><tr><td>Citral</td><td>5392-40-5</td><td>n.d.</td></tr></table>"+
				"<h2>Impurities</h2><p>Lead: "+strings.ReplaceAll(own, "<", "&lt;")+"</p>")
			require.Nil(t, r.Allergens.Rows[1].High, own)
			require.Equal(t, []string{"Lead n.d. [" + own + "] mg/kg"}, results(r))
		}
	})
	t.Run("a temperature below constituents is no content", func(t *testing.T) {
		r := readText(t, "a.html", "<h1>Composition</h1><p>Product: Fell</p><h2>Composition</h2><p>Glycerin 50 %</p><p>Range unchanged at 66 – 71 °C</p>")
		require.Len(t, r.Composition, 1)
		require.NotContains(t, codes(r.Asks), "no-unit")
	})
	t.Run("a company under a mail ends in its legal form", func(t *testing.T) {
		r := readText(t, "a.eml", "From: J <j@ziltenzoon.example>\nSubject: x\n\nLinalool 1.2 %\n\nMet vriendelijke groet,\nJoris\nZilt & Zoon Grondstoffen B.V.\nKade 4, Slikkum\n")
		require.Equal(t, "Zilt & Zoon Grondstoffen B.V.", r.Document.Supplier.Value)
	})
	t.Run("properties in a sentence below the constituents", func(t *testing.T) {
		r := readText(t, "a.html", "<h1>Composition statement</h1><p>Product: Fell</p><table><tr><th>INCI</th><th>CAS</th><th>%</th></tr>"+
			"<tr><td>Butylene Glycol</td><td>107-88-0</td><td>20</td></tr></table><p>pH 4.6 – 5.4. Density 1.02 – 1.05 g/ml at 20 °C.</p>")
		require.Equal(t, []string{"density range 1.02..1.05 g/ml", "pH range 4.6..5.4"}, results(r))
		require.Len(t, r.Composition, 1)
	})
	t.Run("a list of properties with letters", func(t *testing.T) { // Regulation (EU) 2020/878 Annex II part B, section 9.1
		r := readText(t, "a.txt", "Safety data sheet\nProduct: Fell\nSECTION 9: Physical and chemical properties\n"+
			"(d) Melting point/freezing point: -2 °C\n(e) Boiling point or initial boiling point and boiling range: 101 - 104 °C\n"+
			"(f) Flammability: not applicable\n(g) Lower and upper explosion limit: not applicable\n(h) Flash point: > 100 °C (closed cup)\n"+
			"(k) pH: 7.5 - 8.5 (10 % solution, 20 °C)\n")
		require.Equal(t, []string{"Flammability [not applicable]", "Lower and upper explosion limit [not applicable]",
			"boiling point range 101..104 °C", "flash point > 100.. °C", "melting point = -2 °C", "pH range 7.5..8.5"}, results(r))
	})
	t.Run("heads over heads begin below what stands over them, and a unit is no figure", func(t *testing.T) {
		r := readText(t, "a.html", "<h1>Composition</h1><p>Product: Fell</p><table><tr><td colspan=2>Révision</td><td colspan=2>B</td></tr>"+
			"<tr><td colspan=2>Ingrédient</td><td colspan=2>Teneur (g/100 g)</td></tr>"+
			"<tr><td>INCI UE</td><td>INCI US</td><td>mini</td><td>maxi</td></tr><tr><td>AQUA</td><td>WATER</td><td>8</td><td>10</td></tr></table>"+
			"<table><tr><th>Impuretés</th><th>Limite</th><th>Unité</th></tr><tr><td>1,4-dioxane</td><td>&lt; 5</td><td>ppm</td></tr>"+
			"<tr><td>pH à 20 °C</td><td>4,8</td><td>5,4</td></tr></table>")
		require.Len(t, r.Composition, 1)
		c := r.Composition[0]
		require.Equal(t, "AQUA 8 10", c.INCI+" "+reading.ValueOf(c.Low)+" "+reading.ValueOf(c.High))
		require.Equal(t, "B", r.Document.Version.Value)
		require.Equal(t, []string{"1,4-Dioxane < 5 ppm | < 5"}, results(r))
		require.Contains(t, codes(r.Asks), "two-figures")
	})
	t.Run("a previous issue gives neither date nor version of the paper", func(t *testing.T) {
		r := readText(t, "a.html", "<h1>Composition</h1><p>Product: Fell</p><p>Previous issue: 15-Jan-2024 (Rev. No. 02)</p>")
		require.Nil(t, r.Document.Issued)
		require.Nil(t, r.Document.Version)
		require.Equal(t, "2024-01-15", r.Document.Replaces.Value)
		r = readText(t, "a.html", "<h1>Composition</h1><p>Rev. No.: 03</p><p>Product: Fell</p><p>Previous issue: 15-Jan-2024 (Rev. No. 02)</p>"+
			"<p>Issue Date: 07-Apr-2026</p>")
		require.Equal(t, "2026-04-07", r.Document.Issued.Value)
		require.Equal(t, "03", r.Document.Version.Value)
	})
	t.Run("words for a bound stand between a name with its number and the figure", func(t *testing.T) {
		r := readText(t, "a.html", "<h1>Composition statement</h1><p>Product: Fell</p><h2>Composition</h2><ul>"+
			"<li>Glyceryl Stearate (CAS 31566-31-1) – up to 60 %</li><li>Tocopherol (CAS 10191-41-0) – below 0.05 %</li>"+
			"<li>Cetyl Alcohol (CAS 36653-82-4): at least 20 %</li><li>BHT (CAS 128-37-0): max. 0.01 %</li>"+
			"<li>Lactic Acid (CAS 50-21-5) not more than 0.2 %</li><li>Sodium Cetearyl Sulfate (CAS 59186-41-3) – approx. 4 %</li></ul>"+
			"<p>Contains: Glycerin up to 5 %, Propanediol at least 2 %</p>")
		var got []string
		for _, c := range r.Composition {
			got = append(got, c.Name+": "+reading.ValueOf(c.Low)+" .. "+reading.ValueOf(c.High)+" ~ "+c.Typical)
		}
		require.ElementsMatch(t, []string{"Glyceryl Stearate: 0 .. 60 ~ ", "Tocopherol: 0 .. 0.05 ~ ", "Cetyl Alcohol: 20 ..  ~ ",
			"BHT: 0 .. 0.01 ~ ", "Lactic Acid: 0 .. 0.2 ~ ", "Sodium Cetearyl Sulfate:  ..  ~ 4", "Glycerin: 0 .. 5 ~ ",
			"Propanediol: 2 ..  ~ "}, got)
		r = readText(t, "a.html", "<h1>Allergen declaration</h1><p>Product: Fell</p><ul><li>Linalool (CAS 78-70-6) – up to 1.2 %</li>"+
			"<li>Citral (5392-40-5): below 0.05 %</li></ul>")
		require.Len(t, r.Allergens.Rows, 2)
		for i, want := range []string{"0 1.2 below", "0 0.05 below"} {
			a := r.Allergens.Rows[i]
			require.Equal(t, want, reading.ValueOf(a.Low)+" "+reading.ValueOf(a.High)+" "+a.Status)
		}
	})
	t.Run("the answer no, over and over, makes no language", func(t *testing.T) {
		r := readText(t, "a.csv", "Declaration of the fragrance\nProduct;Fell\nContains CMR;No\nContains palm;No\nContains nano;No\nTested on animals;No\n")
		require.Equal(t, "en", r.Document.Language)
	})
	t.Run("headings and labels in two languages", func(t *testing.T) {
		r := readText(t, "a.html", "<h1>Certificato di analisi / Certificate of analysis</h1><table><tr><td>Prodotto / Product</td><td>Fell 5</td></tr>"+
			"<tr><td>Lotto / Batch</td><td>H-7/B</td></tr><tr><td>Codice wymyślony / Code</td><td>K-19</td></tr></table>"+
			"<h2>B. Zanieczyszczenia / Impurities</h2><p>Zorbite: &lt; 2 ppm</p>")
		require.Equal(t, "Fell 5", r.Document.TradeName.Value)
		require.Equal(t, "H-7/B", r.Document.Batch.Value)
		require.Equal(t, "K-19", r.Document.Code.Value)
		require.Equal(t, []string{"Zorbite < 2 ppm"}, results(r))
	})
	t.Run("a date of its own that is not understood keeps another from standing in", func(t *testing.T) {
		r := readText(t, "a.html", "<h1>Composition</h1><p>Form 12 of 01.06.2024</p><p>Product: Fell</p><p>Date: 30 zorbember 2026</p>")
		require.Nil(t, r.Document.Issued)
		r = readText(t, "a.html", "<h1>Composition</h1><p>Form 12 of 01.06.2024</p><p>Product: Fell</p>")
		require.Equal(t, "2024-06-01", r.Document.Issued.Value)
	})
	t.Run("the water of a partition coefficient is no water", func(t *testing.T) {
		r := readText(t, "a.txt", "Safety data sheet\nProduct: Fell\nSECTION 9: Physical and chemical properties\n"+
			"Partition coefficient n-octanol/water 0.401 (log Pow)\nFlash point: ca. -18 °C\n")
		require.Equal(t, []string{"flash point = -18 °C"}, results(r))
	})
	t.Run("properties one behind the other", func(t *testing.T) {
		r := readText(t, "a.eml", "From: Rhona <r@ashgill.example>\nSubject: x\n\nDensity 20 °C: 0.810, refractive index 20 °C: 1.4520, flash point > 200 °C.\n")
		require.Equal(t, []string{"density = 0.810", "flash point > 200.. °C", "refractive index = 1.4520"}, results(r))
	})
	t.Run("a bound in words before a share, and figures before their names", func(t *testing.T) {
		r := readText(t, "a.txt", "Composition\nSkerry Extracts (invented)\nProduct: Try\n\nIt contains 4 - 7 % water and up to 1.2 % sodium sulfate.\n")
		require.Len(t, r.Composition, 2)
		require.Equal(t, "water 4 7", r.Composition[0].Name+" "+*r.Composition[0].Low+" "+*r.Composition[0].High)
		require.Equal(t, "sodium sulfate 0 1.2", r.Composition[1].Name+" "+*r.Composition[1].Low+" "+*r.Composition[1].High)
		require.Empty(t, r.Physical)
	})
	t.Run("shares in brackets that explain the first list nothing", func(t *testing.T) {
		text := "Antioxidant: 500 ppm tocopherol (in sunflower oil 1:1, that is 250 ppm pure tocopherol and 250 ppm oil)."
		r := readText(t, "a.txt", "Skerry Extracts (invented)\nProduct: Try\n\n"+text+"\n")
		require.Empty(t, r.Composition)
		require.NotEmpty(t, passed(r))
	})
	t.Run("a row whose members stand below it is asked about", func(t *testing.T) {
		r := readText(t, "a.csv", "Composition\nProduct name;Fell\nINCI;CAS;%\nAqua;7732-18-5;99\nPreservatives, of which;;1\n"+
			"– Phenoxyethanol;122-99-6;0.9\n– Ethylhexylglycerin;70445-33-9;0.1\n")
		require.Equal(t, "members-below", r.Composition[1].Ask)
		require.Equal(t, "Phenoxyethanol", r.Composition[2].Name)
		require.Equal(t, "Phenoxyethanol", r.Composition[2].INCI)
	})
	t.Run("the contents that a fragrance certificate lists are allergens", func(t *testing.T) {
		r := readText(t, "a.csv", "IFRA certificate of conformity\nProduct name;Fell\nMaterial;CAS;Concentration (%)\nCitral;5392-40-5;0.84\n"+
			"Coumarin;91-64-5;1.1\nLinalool;78-70-6;3.4\n")
		require.Empty(t, r.Composition)
		require.Len(t, r.Allergens.Rows, 3)
	})
	t.Run("an index number is no name", func(t *testing.T) {
		r := readText(t, "a.csv", "Composition\nProduct name;Fell\nIdentification;%\nINDEX : 605-019-00-3;1\n")
		for _, c := range r.Composition {
			require.NotContains(t, c.Name, "605")
		}
	})
}
