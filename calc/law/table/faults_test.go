package table

import (
	"encoding/csv"
	"errors"
	"io/fs"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// changed returns a table of two lines: the columns and the row with the given
// key in the first column, with one cell changed.
func changed(t *testing.T, file, key, column, value string) []byte {
	t.Helper()
	data, err := fs.ReadFile(embedded, "data/"+file)
	require.NoError(t, err)
	rows, err := csv.NewReader(strings.NewReader(string(data))).ReadAll()
	require.NoError(t, err)
	i := slices.IndexFunc(rows, func(r []string) bool { return r[0] == key })
	require.Positive(t, i, "%s has a row %s", file, key)
	at := slices.Index(rows[0], column)
	require.GreaterOrEqual(t, at, 0, column)
	rows[i][at] = value
	var out strings.Builder
	require.NoError(t, csv.NewWriter(&out).WriteAll([][]string{rows[0], rows[i]}))
	return []byte(out.String())
}

// faultsOf drops the rows a reader returns beside its faults.
func faultsOf[T any](read func(string, []byte) ([]T, error)) func([]byte) error {
	return func(data []byte) error {
		rows, err := read("t.csv", data)
		if err == nil && len(rows) == 0 {
			return errors.New("no row and no fault")
		}
		return err
	}
}

// Each table says which line of it cannot be read, and why; the row as it stands
// in the program has no fault.
func TestFaultyCells(t *testing.T) {
	for _, c := range []struct {
		file, key, column, value string
		read                     func([]byte) error
		want                     string
	}{
		{"allergens.csv", "benzyl-alcohol", "threshold_leave_on_pct", "", faultsOf(readAllergens), "t.csv:2: a row has both thresholds, or is prohibited and has none"},
		{"allergens.csv", "benzyl-alcohol", "prohibited", "yes", faultsOf(readAllergens), "a row has both thresholds, or is prohibited and has none"},
		{"allergens.csv", "benzyl-alcohol", "applies_from", "", faultsOf(readAllergens), "applies_from is empty"},
		{"allergens.csv", "benzyl-alcohol", "substances", "Benzyl alcohol|100-51-6", faultsOf(readAllergens), `substances: "Benzyl alcohol|100-51-6" is not name|CAS|EC`},
		{"allergens.csv", "benzyl-alcohol", "substances", "-|100-51-6|202-859-9", faultsOf(readAllergens), `substances: "-|100-51-6|202-859-9" has no name`},
		{"allergens.csv", "benzyl-alcohol", "substances", "", faultsOf(readAllergens), "substances is empty"},
		{"cautions.csv", "", "trigger", "7=form & form=powder", faultsOf(readCautions), `trigger: "7=form" is no condition`},
		{"exposure.csv", "shower-gel", "retention_factor", "1.01", faultsOf(readExposure), "retention_factor 1.01 is not between 0 and 1"},
		{"exposure.csv", "shower-gel", "daily_amount_g", "1e3", faultsOf(readExposure), `daily_amount_g: "1e3" is not a number`},
		{"exposure.csv", "shower-gel", "source", "", faultsOf(readExposure), "an amount stands without a source"},
		{"facts.csv", "order-threshold", "value", "one", faultsOf(readFacts), `value: "one" is not a number`},
		{"facts.csv", "soap-naoh-per-koh", "value", "40.00/0", faultsOf(readFacts), `value: "40.00/0" is no quotient`},
		{"limits.csv", "II-10-eugb-01", "inci_names", "", faultsOf(readLimits), "inci_names is empty"},
		{"limits.csv", "II-10-eugb-01", "max_pct", "-1", faultsOf(readLimits), "max_pct: -1 is negative"},
		{"limits.csv", "II-10-eugb-01", "basis", "as acid; factors: A=0.1234567890123456", faultsOf(readLimits), "basis: \"0.1234567890123456\" has more than 15 digits"},
		{"limits.csv", "II-10-eugb-01", "sum_rule", "sum(x)>max_pct", faultsOf(readLimits), "sum_rule: > goes with => label"},
		{"limits.csv", "II-10-eugb-01", "sum_rule", "sum(1 and 2)<=max_pct", faultsOf(readLimits), `sum_rule: "1 and 2" is not understood`},
		{"limits.csv", "II-10-eugb-01", "sum_rule", "each<=0.5", faultsOf(readLimits), "sum_rule says 0.5, max_pct says 0"},
		{"limits.csv", "II-10-eugb-01", "sum_rule", "each<=0.1234567890123456", faultsOf(readLimits), "has more than 15 digits"},
		{"limits.csv", "II-10-eugb-01", "key", "", faultsOf(readLimits), "the row has no key"},
		{"materials.csv", "", "constituents", "Glycerin|56-81-5", faultsOf(readMaterials), `constituents: "Glycerin|56-81-5" is neither name|CAS|typical|min|max nor name|CAS|min|max`},
		{"materials.csv", "", "constituents", "Glycerin|-|99,5|99|100", faultsOf(readMaterials), `"99,5" has a decimal comma`},
		{"materials.csv", "", "constituents", "Glycerin|-|99.5|100|99", faultsOf(readMaterials), "the contents are not in order"},
		{"materials.csv", "", "constituents", "Glycerin|-|98|99|100", faultsOf(readMaterials), "the contents are not in order"},
		{"materials.csv", "", "constituents", "Glycerin|-|99|101", faultsOf(readMaterials), "the contents are not in order"},
		{"product-types.csv", "shower-gel", "proxy_exposure_key", "bath-oil", faultsOf(readProductTypes), "exposure_key and proxy_exposure_key are both filled"},
		{"product-types.csv", "shower-gel", "rinse_off", "maybe", faultsOf(readProductTypes), `rinse_off: "maybe" is none of yes, no`},
		{"saponification.csv", "olive", "sv_max_mg_koh_g", "180", faultsOf(readFats), "sv_min_mg_koh_g is above sv_max_mg_koh_g"},
		{"saponification.csv", "olive", "soap_inci_sodium", "Sodium Olivate; Sodium Oleate; A; B; C; D", faultsOf(readFats), "names 6 soaps, fatty_acids_typical_pct has 4 contents"},
		{"tox-values.csv", "2-Phenoxyethanol", "pod_type", "", faultsOf(readTox), "pod_type and value_mg_per_kg_bw_d go together"},
		{"tox-values.csv", "2-Phenoxyethanol", "cas", "122-99-7", faultsOf(readTox), "CAS number 122-99-7 has check digit 7"},
		{"t-quantiles.csv", "2", "degrees_of_freedom", "0", faultsOf(readTQuantiles), `"0" is no whole number above the row before`},
		{"t-quantiles.csv", "2", "t_975", "", faultsOf(readTQuantiles), "t_975 is empty"},
	} {
		key := c.key
		if key == "" { // any row will do
			data, err := fs.ReadFile(embedded, "data/"+c.file)
			require.NoError(t, err)
			key, _, _ = strings.Cut(strings.Split(string(data), "\n")[1], ",")
		}
		t.Run(c.file+" "+c.column+" "+c.value, func(t *testing.T) {
			require.ErrorContains(t, c.read(changed(t, c.file, key, c.column, c.value)), c.want)
			note := changed(t, c.file, key, "note", "as it stands")
			require.NoError(t, c.read(note), "the row without the change")
		})
	}
}

// A record whose header is torn, or that does not end, is a fault with its line.
func TestTornTables(t *testing.T) {
	_, err := readFacts("t.csv", []byte("key,value,unit,source,seen,note\na,1,g,b,seen,\"open\nand on\n"))
	var one *TableError
	require.ErrorAs(t, err, &one)
	assert.Equal(t, "t.csv", one.File)
	assert.Positive(t, one.Line)
	_, err = readFacts("t.csv", []byte("key,value,unit,source,seen,note\n\xef\xbb\xbfa,1,g,b,seen,\n,1,g,b,seen,\n"))
	require.ErrorContains(t, err, "t.csv:3: the row has no key")
}

// Keys that stand in the code and not in a table are a programmer's mistake.
func TestUnknownKeysPanic(t *testing.T) {
	tables := Builtin()
	assert.PanicsWithValue(t, "law: no label rule L0", func() { tables.LabelRule("L0") })
	assert.PanicsWithValue(t, "law: no stability row Z9", func() { tables.StabilityRow("Z9") })
	assert.PanicsWithValue(t, "law: no dossier item Z9", func() { tables.DossierItem("Z9") })
	assert.PanicsWithValue(t, "law: no figure in stability row C17", func() { tables.StabilityNumber("C17") })
}

// Accents do not hide a wording.
func TestClaimsWithAccents(t *testing.T) {
	for letter, want := range map[rune]string{'É': "e", 'â': "a", 'Œ': "oe", 'æ': "ae", 'X': "x", 'ñ': "ñ"} {
		assert.Equal(t, want, foldLetter(letter))
	}
}
