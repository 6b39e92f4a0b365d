package transcribe_test

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/transcribe"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/transcribe/reading"
)

// readText reads a paper given as text, without a resolver of names.
func readText(t *testing.T, name, text string) *reading.Reading {
	reader, err := transcribe.New(table.Builtin(), nil)
	require.NoError(t, err)
	files := paper.NewReader()
	t.Cleanup(files.Close)
	f, err := files.Read(name, []byte(text))
	require.NoError(t, err)
	return reader.Read(f)
}

func passed(r *reading.Reading) (out []string) {
	for _, p := range r.NotUnderstood {
		out = append(out, p.Text)
	}
	return out
}

func codes(list []reading.Ask) (out []string) {
	for _, a := range list {
		out = append(out, a.Code)
	}
	return out
}

// Layouts that the set of papers does not have; each paper is invented.
func TestLayouts(t *testing.T) {
	t.Run("names over their numbers, in Italian, and the section after them", func(t *testing.T) {
		data, err := os.ReadFile("testdata/names-above.txt")
		require.NoError(t, err)
		r := readText(t, "a.txt", string(data))
		require.Len(t, r.Composition, 3)
		require.Equal(t, "Alcool C12-14 etossilato", r.Composition[0].Name)
		require.Equal(t, "20", *r.Composition[0].Low)
		require.Equal(t, "30", *r.Composition[0].High)
		require.False(t, r.Composition[0].HighIn)
		require.Equal(t, "Glicerina", r.Composition[1].Name)
		require.Equal(t, "Fenossietanolo", r.Composition[2].Name)
		require.Equal(t, "1", *r.Composition[2].High, "not the concentration limit beside it")
		require.Len(t, r.Physical, 3)
		require.Equal(t, "2025-02-15", r.Document.Issued.Value, "not the print date")
	})
	t.Run("a content or an impurity below zero is asked about", func(t *testing.T) {
		r := readText(t, "a.csv", "Composition\nINCI;CAS;%\nAqua;7732-18-5;60 - 70\nGlycerin;56-81-5;<-5\nCitric Acid;77-92-9;-2\n")
		require.Len(t, r.Composition, 3)
		for _, c := range r.Composition[1:] {
			require.Nil(t, c.Low, c.Name)
			require.Nil(t, c.High, c.Name)
			require.Equal(t, "not-read", c.Ask)
		}
		require.Contains(t, codes(r.Asks), "not-read")
		r = readText(t, "a.txt", "Impurities\nLead: < -5 ppm\n")
		require.Len(t, r.Impurities, 1)
		require.Empty(t, r.Impurities[0].Value)
		require.Equal(t, "not-read", r.Impurities[0].Ask)
	})
	t.Run("a name below its number is not taken for that of the next", func(t *testing.T) {
		r := readText(t, "a.txt", "Composition\nProduct name: x\nName           Content (%)\nCAS: 56-81-5   10 - 15\nGlycerin\nCAS: 122-99-6  0.5 - 1\nPhenoxyethanol\n")
		for _, c := range r.Composition {
			require.Empty(t, c.Name)
		}
		require.Contains(t, codes(r.Asks), "name-of-number")
	})
	t.Run("a table with separators pasted into a text", func(t *testing.T) {
		r := readText(t, "a.txt", "ALLERGEN DECLARATION\nProduct name: Fell Mint\nAllergen;CAS;Content (%)\nLinalool;78-70-6;1.5\nLimonene;;0.4\nCitral;5392-40-5;<0.01\n")
		require.Len(t, r.Allergens.Rows, 3)
		require.Equal(t, "0.4", *r.Allergens.Rows[1].High)
		require.Empty(t, r.Allergens.Rows[1].CAS, "an empty cell keeps its column")
	})
	t.Run("a table that lies on its side is listed and not lost", func(t *testing.T) {
		r := readText(t, "a.html", "<h1>Allergen declaration</h1><p>Product: Fell</p><table><tr><th></th><th>Linalool</th><th>Citral</th></tr>"+
			"<tr><td>CAS</td><td>78-70-6</td><td>5392-40-5</td></tr><tr><td>ppm</td><td>12</td><td>1,200</td></tr></table>")
		require.True(t, r.Allergens == nil || len(r.Allergens.Rows) == 0)
		require.Contains(t, passed(r), "CAS  78-70-6  5392-40-5")
		require.Contains(t, passed(r), "ppm  12  1,200")
		require.Contains(t, codes(r.Asks), "no-rows")
	})
	t.Run("the title behind the company's name is no part of it", func(t *testing.T) {
		r := readText(t, "a.html", "<table><tr><td>Tensidwerk Oker GmbH Zusammensetzung</td></tr></table><p>Handelsname: Okersoft</p>")
		require.Equal(t, "Tensidwerk Oker GmbH", r.Document.Supplier.Value)
	})
	t.Run("an amount to a pH is no rest to 100", func(t *testing.T) {
		r := readText(t, "a.csv", "Composition\nProduct name;Okersoft\nINCI;CAS;%\nAqua;7732-18-5;ad 100\nSodium Chloride;7647-14-5;0.5\nCitric Acid;77-92-9;q.s. pH\n")
		require.Len(t, r.Composition, 3)
		require.Equal(t, "qs", r.Composition[0].Status)
		require.Equal(t, "to-ph", r.Composition[2].Status)
	})
	t.Run("a sentence that tells of a change is asked about", func(t *testing.T) {
		r := readText(t, "a.eml", "From: Rhona <r@ashgill.example>\nSubject: x\n\nLinalool went up from 1.2% to 1.45 %.\nFor cat 5A the max is now 0.8%.\n")
		require.Len(t, r.Allergens.Rows, 1)
		require.Equal(t, "from-to", r.Allergens.Rows[0].Ask)
		require.Nil(t, r.Allergens.Rows[0].High)
		require.Contains(t, passed(r), "For cat 5A the max is now 0.8%.")
	})
	t.Run("a sentence before the company's name is no part of it", func(t *testing.T) {
		r := readText(t, "a.html", "<h1>Certificate of Analysis</h1><p>Product: Coco Betaine 30</p><p>Released by QA. Kesgrave Surfactants PLC, Ipswich</p>")
		require.Equal(t, "Kesgrave Surfactants PLC", r.Document.Supplier.Value)
	})
	t.Run("the supplier's name is not the material's", func(t *testing.T) {
		r := readText(t, "a.txt", "IFRA CERTIFICATE OF CONFORMITY\n51st Amendment\nAshgill Aromatics Ltd      Ref AA 90-12\nIssued 1st August 2026\n")
		require.Equal(t, "Ashgill Aromatics Ltd", r.Document.Supplier.Value)
		require.Nil(t, r.Document.TradeName)
		require.Contains(t, codes(r.Asks), "name-missing")
	})
	t.Run("a column of units holds for its row, over the unit of the paper", func(t *testing.T) {
		r := readText(t, "a.html", "<h1>Composition</h1><p>Product: Fell. Figures in % w/w.</p><table><tr><th>Ingredient</th><th>CAS</th>"+
			"<th>Content</th><th>Unit</th></tr><tr><td>Glycerin</td><td>56-81-5</td><td>48 - 52</td><td>%</td></tr>"+
			"<tr><td>Sodium Benzoate</td><td>532-32-1</td><td>3000</td><td>ppm</td></tr>"+
			"<tr><td>Citric Acid</td><td>77-92-9</td><td>2</td><td>drops</td></tr></table>")
		require.Len(t, r.Composition, 3)
		require.Equal(t, "48", *r.Composition[0].Low)
		require.Equal(t, "0.3", *r.Composition[1].High)
		require.Nil(t, r.Composition[2].High, "drops are no share")
		require.Equal(t, "no-unit", r.Composition[2].Ask)
	})
	t.Run("raised marks of footnotes are no figures of the content", func(t *testing.T) {
		r := readText(t, "a.html", "<h1>Composition</h1><p>Product: Fell</p><table><tr><th>INCI</th><th>CAS</th><th>%</th></tr>"+
			"<tr><td>Hydrolyzed Silk<sup>1</sup></td><td>96690-41-4</td><td>12.5<sup>2</sup></td></tr>"+
			"<tr><td>Aqua</td><td>7732-18-5</td><td>10<sup>2</sup></td></tr></table>")
		require.Equal(t, "Hydrolyzed Silk", r.Composition[0].Name)
		require.Equal(t, "12.5", *r.Composition[0].High)
		require.Equal(t, "raised-figure", r.Composition[1].Ask, "ten with a mark, or a hundred")
		require.Contains(t, codes(r.Warnings), "footnote")
	})
	t.Run("the limit of a sign in running text", func(t *testing.T) {
		r := readText(t, "a.txt", "ALLERGEN DECLARATION\nProduct name: Fell\nContents in % w/w. ND = not detected (< 0.001 %). Page 1\n"+
			"Allergen        CAS         Content (%)\nLinalool        78-70-6     1.5\nCitral          5392-40-5   ND\n")
		require.Equal(t, "0.001", *r.Allergens.Rows[1].High)
	})
	t.Run("names behind the label INCI", func(t *testing.T) {
		r := readText(t, "a.txt", "PRODUCT SPECIFICATION\nProduct name: Fell Wax\nINCI: Rhus Verniciflua Peel Wax (CAS 8001-39-6) 100 %\n")
		require.Len(t, r.Composition, 1)
		require.Equal(t, "Rhus Verniciflua Peel Wax", r.Composition[0].INCI)
		require.Equal(t, "100", *r.Composition[0].Low)
		r = readText(t, "a.txt", "PRODUCT SPECIFICATION\nProduct name: Fell Blend\nINCI: Glyceryl Stearate (and) PEG-100 Stearate, 1,2-Hexanediol\n")
		require.Len(t, r.Composition, 3, "a list is no single name")
		require.Equal(t, "PEG-100 Stearate", r.Composition[1].INCI)
		require.Equal(t, "1,2-Hexanediol", r.Composition[2].INCI)
		require.Nil(t, r.Composition[0].High)
	})
	t.Run("figures under a head that nobody knows are asked about and no part of a name", func(t *testing.T) {
		r := readText(t, "a.csv", "Composition\nProduct name,Fell Gum\nINCI name,CAS,Zorb\nXanthan Gum,11138-66-2,0.92\nAqua,7732-18-5,0.075\n")
		require.Equal(t, "Xanthan Gum", r.Composition[0].Name)
		require.Nil(t, r.Composition[0].High)
		require.Contains(t, codes(r.Asks), "not-read")
	})
	t.Run("two columns that say the same content differently are asked about", func(t *testing.T) {
		r := readText(t, "a.csv", "ALLERGEN DECLARATION\nProduct name;Fell\nINCI;CAS;ppm;%\nLinalool;78-70-6;12000;1.2\nCoumarin;91-64-5;8000;0.08\nCitral;5392-40-5;1234;0.12\n")
		require.Equal(t, "1.2", *r.Allergens.Rows[0].High)
		require.Equal(t, "two-figures", r.Allergens.Rows[1].Ask)
		require.Nil(t, r.Allergens.Rows[1].High)
		require.Equal(t, "0.1234", *r.Allergens.Rows[2].High, "the other is rounded")
	})
	t.Run("a list of several articles is asked about and no composition", func(t *testing.T) {
		head := "Composition\nArt.-Nr.;INCI;CAS;Gehalt %;Preis EUR/kg\nU-1;Aqua;7732-18-5;40;2,1\n"
		r := readText(t, "a.csv", head+"U-2;Glycerin;56-81-5;30;3,1\n")
		require.Empty(t, r.Composition)
		require.Contains(t, codes(r.Asks), "list-of-articles")
		require.Len(t, passed(r), 2)
		r = readText(t, "a.csv", head+"U-1;Glycerin;56-81-5;60;2,1\n")
		require.Len(t, r.Composition, 2)
		require.Equal(t, "60", *r.Composition[1].High)
		require.Equal(t, "U-1", r.Document.Code.Value)
	})
	t.Run("a figure once more in another unit, a bound in words", func(t *testing.T) {
		r := readText(t, "a.txt", "Fiche technique\nCaractéristiques\nPoint d'éclair : 81 °C (178 °F)\nPression de vapeur (50 °C) : inférieure ou égale à 110 kPa (1.10 bar)\n")
		require.Equal(t, "81", r.Physical[0].High)
		require.Equal(t, "110", r.Physical[1].High)
		require.Equal(t, "<=", r.Physical[1].Op)
	})
	t.Run("a member of a group keeps its own name", func(t *testing.T) {
		r := readText(t, "a.csv", "Certificate of analysis\nTest;Specification;Result\nBergapten;max 20 ppm;3 ppm\nChromium VI;max 1 ppm;0.2 ppm\n"+
			"Ethylene glycol;max 0.1 %;0.02 %\nNDELA;max 50 ppb;12 ppb\nSecondary amines;max 0.5 %;0.1 %\n")
		var names []string
		for _, x := range r.Impurities {
			names = append(names, x.Substance)
		}
		require.Equal(t, []string{"Bergapten", "Chromium VI", "Ethylene glycol", "N-Nitrosodiethanolamine",
			"Secondary amines"}, names)
	})
	t.Run("units of pressure and length keep apart", func(t *testing.T) {
		r := readText(t, "a.txt", "Technical data sheet\nTypical properties\nVapour pressure: 0.3 kPa\nParticle size: 12 µm\n")
		require.Equal(t, "kPa", r.Physical[0].Unit)
		require.Equal(t, "µm", r.Physical[1].Unit)
	})
	t.Run("a paper of two materials is two readings", func(t *testing.T) {
		r := readText(t, "a.html", "<h1>Composition</h1><p>Fellworks Ltd</p><h2>Product: Fell A (code F-1)</h2><table><tr><th>INCI</th><th>CAS</th><th>%</th></tr>"+
			"<tr><td>Glycerin</td><td>56-81-5</td><td>40</td></tr></table><h2>Product: Fell B (code F-2)</h2><table><tr><th>INCI</th><th>CAS</th><th>%</th></tr>"+
			"<tr><td>Propanediol</td><td>504-63-2</td><td>50</td></tr></table>")
		require.Len(t, r.Composition, 1)
		require.Equal(t, "Fell A", r.Document.TradeName.Value)
		require.Contains(t, codes(r.Asks), "several-materials")
		require.Len(t, r.More, 1)
		require.Equal(t, "F-2", r.More[0].Document.Code.Value)
		require.Equal(t, "Propanediol", r.More[0].Composition[0].INCI)
		require.Equal(t, "Fellworks Ltd", r.More[0].Document.Supplier.Value)
	})
	t.Run("bounds under one head over two columns", func(t *testing.T) {
		r := readText(t, "a.csv", "Composition\nProduct name;Fell\nINCI;CAS;Content % min;Content % max\nAqua;7732-18-5;92;95\nGlycerin;56-81-5;5;8\n")
		require.Equal(t, "92", *r.Composition[0].Low)
		require.Equal(t, "95", *r.Composition[0].High)
	})
	t.Run("units on a line of their own, and words broken over two lines", func(t *testing.T) {
		r := readText(t, "a.txt", "ALLERGEN DECLARATION\nFell Scents Ltd (invented)\nProduct name: Fell Lily\n\n"+
			"Allergen                   CAS          Content\n                                        (%)\n"+
			"Linalool                   78-70-6      1.25\n"+
			"Benzyl alcohol             100-51-6     not\n                                        detected\n"+
			"Citral                     5392-40-5    nicht nachweis-\n                                        bar\n"+
			"Coumarin                   91-64-5      below\n                                        0.01\n"+
			"Geraniol                   106-24-1     n.d.\n")
		require.Len(t, r.Allergens.Rows, 5)
		require.Equal(t, "1.25", *r.Allergens.Rows[0].High)
		for _, i := range []int{1, 2, 4} {
			require.Equal(t, "not-detected", r.Allergens.Rows[i].Status)
			require.Equal(t, "not-detected", r.Allergens.Rows[i].Ask, "without a limit it stays asked about")
			require.Nil(t, r.Allergens.Rows[i].High)
		}
		require.Equal(t, "0.01", *r.Allergens.Rows[3].High)
		require.Empty(t, passed(r))
	})
	t.Run("a sentence over two lines, and what is no sentence", func(t *testing.T) {
		r := readText(t, "a.txt", "Composition\nFell Extracts Ltd (invented)\nProduct: Try\n\n"+
			"The extract holds nothing else of note and is preserved\nwith potassium sorbate (0.3 %).\nGlycerin   60 %\nwater   39.7 %\n")
		names := map[string]string{}
		for _, c := range r.Composition {
			names[c.Name] = *c.High
		}
		require.Equal(t, map[string]string{"potassium sorbate": "0.3", "Glycerin": "60", "water": "39.7"}, names)
	})
	t.Run("numbers of the next substance are not those of the one before", func(t *testing.T) {
		r := readText(t, "a.html", "<h1>Safety data sheet</h1><p>Product: Fell</p><p>SECTION 3: Composition</p><table><tr><th>Identification</th><th>%</th></tr>"+
			"<tr><td>CAS: 78-70-6<br>EC: 201-134-4<br>LINALOOL</td><td>2.5 &lt;= x % &lt; 10</td></tr>"+
			"<tr><td>CAS: 5392-40-5<br>EC: 226-394-6<br>CITRAL</td><td>0 &lt;= x % &lt; 1</td></tr></table>")
		require.Len(t, r.Composition, 2)
		require.Equal(t, "LINALOOL", r.Composition[0].Name)
		require.Equal(t, []string{"201-134-4"}, r.Composition[0].EC)
		require.Equal(t, "10", *r.Composition[0].High)
		require.False(t, r.Composition[0].HighIn)
		require.Equal(t, "CITRAL", r.Composition[1].Name)
	})
	t.Run("a code that holds a symbol is no figure of an element, a dose of toxicology no impurity", func(t *testing.T) {
		r := readText(t, "a.txt", "TECHNICAL DATA SHEET\nFell Works Ltd (invented)\nMaterial: Fell Gel\n\nQuality grade FE-22 is in stock.\nLD50 oral rat: 2790 mg/kg\n")
		require.Empty(t, r.Impurities)
	})
}
