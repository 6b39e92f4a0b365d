package names

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/ingredients/inventory"
)

// Names of salts in the forms of suppliers and safety sheets, with the official
// name of the salt by the inventory and the substance it is a salt of.
func TestSalts(t *testing.T) {
	inv, err := inventory.Open()
	require.NoError(t, err)
	r, err := New(inv, law{"Salicylic Acid": true, "Sorbic Acid": true, "Benzoic Acid": true, "Oxalic Acid": true,
		"Thioglycolic Acid": true, "Chlorhexidine": true, "Methylparaben": true, "Propylparaben": true, "Acetamide": true,
		"Laureth-9": true, "Nickel": true, "Resorcinol": true})
	require.NoError(t, err)
	for _, c := range []struct{ printed, name, of string }{
		{"Sodium Salicylate", "Sodium Salicylate", "Salicylic Acid"},
		{"Salicylic acid sodium salt", "Sodium Salicylate", "Salicylic Acid"},
		{"Salicylic acid, sodium salt", "Sodium Salicylate", "Salicylic Acid"},
		{"Sodium salt of salicylic acid", "Sodium Salicylate", "Salicylic Acid"},
		{"Salicylic Acid (Na-salt)", "Sodium Salicylate", "Salicylic Acid"},
		{"Salicylsäure, Natriumsalz", "Sodium Salicylate", "Salicylic Acid"},
		{"Salicylsäure-Natriumsalz", "Sodium Salicylate", "Salicylic Acid"},
		{"Acide salicylique, sel de sodium", "Sodium Salicylate", "Salicylic Acid"},
		{"Sorbinsäure Kaliumsalz", "Potassium Sorbate", "Sorbic Acid"},
		{"Benzoic acid, potassium salt", "Potassium Benzoate", "Benzoic Acid"},
		{"Thioglycolic acid, ammonium salt", "Ammonium Thioglycolate", "Thioglycolic Acid"},
		{"Chlorhexidine 2HCl", "Chlorhexidine Dihydrochloride", "Chlorhexidine"},
		{"Methylparaben, sodium salt", "Sodium Methylparaben", "Methylparaben"},
		{"Salicylsäure-Natrium", "Sodium Salicylate", "Salicylic Acid"}, // as in Diclofenac-Natrium
		{"Chlorhexidine-2HCl", "Chlorhexidine Dihydrochloride", "Chlorhexidine"},
		{"Salicylic acid MEA salt", "MEA-Salicylate", "Salicylic Acid"},
		{"Salicylic acid TEA-salt", "TEA-Salicylate", "Salicylic Acid"},
		{"Salicylic Acid Sodium", "Sodium Salicylate", "Salicylic Acid"},
		{"Oxalic acid disodium salt", "Oxalic acid disodium salt", "Oxalic Acid"},
	} {
		n := r.Resolve(c.printed, "", "").First()
		require.Equal(t, c.name, n.Name, c.printed)
		require.False(t, n.Nano, c.printed)
		var of []string
		for _, name := range n.Names() {
			for _, b := range r.SaltOf(name) {
				require.False(t, b.MaybeEster, c.printed)
				of = append(of, b.Name)
			}
		}
		require.Contains(t, of, c.of, c.printed)
	}
	for printed, name := range map[string]string{"Zinksulfat": "Zinc Sulfate", "Zinksulfat Heptahydrat": "Zinc Sulfate",
		"Natriumbenzoat": "Sodium Benzoate", "Calciumpantothenat": "Calcium Pantothenate",
		"Magnesiumchlorid": "Magnesium Chloride"} {
		require.Equal(t, name, r.Resolve(printed, "", "").First().Name)
	}
	require.True(t, r.Resolve("Salicylic Acid nano sodium salt", "", "").First().Nano)
	reading := r.Resolve("EDTA sodium salt", "", "")
	require.Equal(t, []string{"EDTA", "Disodium EDTA", "Tetrasodium EDTA"}, namesOf(reading.Within))
	require.Equal(t, AskWhich, reading.Asks[0].Code, "sodium EDTA is one of several")
	for word, want := range map[string]string{"Natriumbenzoat": "sodium benzoate", "Natriumsulfit": "sodium sulfite",
		"Magnesiumchlorid": "magnesium chloride", "Zinkoxid": "zinc oxide", "Zinkoxi": "", "Natriumsulfon": "",
		"Benzoat": "", "Natrium benzoat": "",
		"Acetatsulfat": "", "Natriumbenzoat (99 %)": "", "Natriumbenzoat, rein": "", "": ""} {
		require.Equal(t, want, r.words.salts.german(word), word)
	}
	for _, printed := range []string{"parabens, sodium salt", "Salicylic acid, sodium salt, potassium salt",
		"Tin, sodium salt",
		"Salicylic acid 50-00-0 sodium salt", "Xyzolsalz",
		"Xyzolsulfat", "Zinkxyzolat", "Natrium", "sodium salt"} {
		require.False(t, r.Resolve(printed, "", "").First().Known(), printed)
	}
	for _, printed := range []string{"Acetamide MEA", "Ammonium Laureth-9 Sulfate", "Sodium Chloride", "Nickel Sulfate",
		"Sodium Laureth Sulfate", "Sea salt", "Dead Sea salt fine", "Sodium", "salt", "Sodium Paraben"} {
		require.Empty(t, r.SaltOf(printed), printed)
	}
	for _, b := range r.SaltOf("Resorcinol Acetate") {
		require.True(t, b.MaybeEster, "an ester of resorcinol, and no salt")
	}
}
