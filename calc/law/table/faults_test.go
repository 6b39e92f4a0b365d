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

	"gallipot/calc/law/annex"
	"gallipot/calc/law/duties"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/safety"
	"gallipot/calc/law/trade"
)

// changed returns a table of two lines: the columns and the row with the given
// key in the first column, with one cell changed.
func changed(t *testing.T, file, key, column, value string) []byte {
	t.Helper()
	data, err := fs.ReadFile(Files(), file)
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
func faultsOf[T any](read func(string, string) ([]T, error)) func([]byte) error {
	return func(data []byte) error {
		rows, err := read("t.csv", string(data))
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
		{"allergens.csv", "benzyl-alcohol", "threshold_leave_on_pct", "", faultsOf(annex.ReadAllergens),
			"t.csv:2: a row has both thresholds, or is prohibited and has none"},
		{"allergens.csv", "benzyl-alcohol", "prohibited", "yes", faultsOf(annex.ReadAllergens),
			"a row has both thresholds, or is prohibited and has none"},
		{"allergens.csv", "benzyl-alcohol", "applies_from", "", faultsOf(annex.ReadAllergens), "applies_from is empty"},
		{"allergens.csv", "benzyl-alcohol", "substances", "Benzyl alcohol|100-51-6", faultsOf(annex.ReadAllergens),
			`substances: "Benzyl alcohol|100-51-6" is not name|CAS|EC`},
		{"allergens.csv", "benzyl-alcohol", "substances", "-|100-51-6|202-859-9", faultsOf(annex.ReadAllergens),
			`substances: "-|100-51-6|202-859-9" has no name`},
		{"allergens.csv", "benzyl-alcohol", "substances", "", faultsOf(annex.ReadAllergens), "substances is empty"},
		{"cautions.csv", "", "trigger", "7=form & form=powder", faultsOf(duties.ReadCautions),
			`trigger: "7=form" is no condition`},
		{"exposure.csv", "shower-gel", "retention_factor", "1.01", faultsOf(safety.ReadExposure),
			"retention_factor 1.01 is not between 0 and 1"},
		{"exposure.csv", "shower-gel", "daily_amount_g", "1e3", faultsOf(safety.ReadExposure),
			`daily_amount_g: "1e3" is not a number`},
		{"exposure.csv", "shower-gel", "source", "", faultsOf(safety.ReadExposure), "an amount stands without a source"},
		{"facts.csv", "order-threshold", "value", "one", faultsOf(trade.ReadFacts), `value: "one" is not a number`},
		{"facts.csv", "soap-naoh-per-koh", "value", "40.00/0", faultsOf(trade.ReadFacts), `value: "40.00/0" is no quotient`},
		{"limits.csv", "II-10-eugb-01", "inci_names", "", faultsOf(annex.ReadLimits), "inci_names is empty"},
		{"limits.csv", "II-10-eugb-01", "max_pct", "-1", faultsOf(annex.ReadLimits), "max_pct: -1 is negative"},
		{"limits.csv", "II-10-eugb-01", "factors", "A||0.1234567890123456", faultsOf(annex.ReadLimits),
			"factors: \"0.1234567890123456\" has more than 15 digits"},
		{"limits.csv", "II-10-eugb-01", "factors", "A 0.5", faultsOf(annex.ReadLimits), `factors: "A 0.5" is no factor`},
		{"limits.csv", "II-10-eugb-01", "factors", "A||0", faultsOf(annex.ReadLimits), "factors: A||0 is no factor above 0"},
		{"limits.csv", "II-10-eugb-01", "counts", "weight", faultsOf(annex.ReadLimits), `counts: "weight" is none of`},
		{"limits.csv", "II-10-eugb-01", "sum", "add them up", faultsOf(annex.ReadLimits), `sum: "add them up" is none of`},
		{"limits.csv", "II-10-eugb-01", "sum_pct", "0.5", faultsOf(annex.ReadLimits),
			"sum: empty, yet other cells say how to add"},
		{"limits.csv", "V-12-eugb-02", "sum_pct", "0.79", faultsOf(annex.ReadLimits), "sum_pct: 0.79 is below max_pct 0.8"},
		{"limits.csv", "II-10-eugb-01", "sum_entries", "1 and 2", faultsOf(annex.ReadLimits),
			`sum_entries: "1 and 2" is no entry`},
		{"limits.csv", "II-10-eugb-01", "excepted", "VII/1", faultsOf(annex.ReadLimits), `excepted: "VII/1" is no entry`},
		{"limits.csv", "II-10-eugb-01", "exempt", "VII", faultsOf(annex.ReadLimits), `exempt: "VII" is no entry`},
		{"limits.csv", "V-9-eugb-01", "cas", "", faultsOf(annex.ReadLimits),
			"paired: each name needs a CAS and an EC number"},
		{"limits.csv", "II-10-eugb-01", "class", "wide", faultsOf(annex.ReadLimits), `class: "wide" is none of`},
		{"limits.csv", "II-10-eugb-01", "ph", "7", faultsOf(annex.ReadLimits), `ph: "7" is no pH`},
		{"limits.csv", "II-10-eugb-01", "ph", "<7-9", faultsOf(annex.ReadLimits), `ph: "<7-9" is no pH`},
		{"limits.csv", "II-10-eugb-01", "ph", "9-7", faultsOf(annex.ReadLimits), "ph: 9-7 ends before it begins"},
		{"limits.csv", "II-10-eugb-01", "label_alone", "yes", faultsOf(annex.ReadLimits),
			"label_alone: it needs a label_condition"},
		{"limits.csv", "II-10-eugb-01", "label_condition", "rinsed", faultsOf(annex.ReadLimits),
			`label_condition: unknown condition "rinsed"`},
		{"limits.csv", "II-10-eugb-01", "label_above_pct", "101", faultsOf(annex.ReadLimits),
			"label_above_pct: 101 is above 100 %"},
		{"limits.csv", "II-10-eugb-01", "replaced_from", "2027-01-01", faultsOf(annex.ReadLimits),
			"replaced_from and replaced_in go together"},
		{"limits.csv", "II-10-eugb-01", "off_shelf_until", "2026-02-30", faultsOf(annex.ReadLimits),
			`off_shelf_until: "2026-02-30" is not a date`},
		{"limits.csv", "II-10-eugb-01", "instrument", "drafted", faultsOf(annex.ReadLimits),
			`instrument: "drafted" is none of`},
		{"limits.csv", "II-10-eugb-01", "cmr", "no", faultsOf(annex.ReadLimits), `cmr: "no" is none of`},
		{"limits.csv", "II-10-eugb-01", "key", "", faultsOf(annex.ReadLimits), "the row has no key"},
		{"materials.csv", "", "constituents", "Glycerin|56-81-5", faultsOf(trade.ReadMaterials),
			`constituents: "Glycerin|56-81-5" is neither name|CAS|typical|min|max nor name|CAS|min|max`},
		{"materials.csv", "", "constituents", "Glycerin|-|99,5|99|100", faultsOf(trade.ReadMaterials),
			`"99,5" has a decimal comma`},
		{"materials.csv", "", "constituents", "Glycerin|-|99.5|100|99", faultsOf(trade.ReadMaterials),
			"the contents are not in order"},
		{"materials.csv", "", "constituents", "Glycerin|-|98|99|100", faultsOf(trade.ReadMaterials),
			"the contents are not in order"},
		{"materials.csv", "", "constituents", "Glycerin|-|99|101", faultsOf(trade.ReadMaterials),
			"the contents are not in order"},
		{"product-types.csv", "shower-gel", "proxy_exposure_key", "bath-oil", faultsOf(trade.ReadProductTypes),
			"exposure_key and proxy_exposure_key are both filled"},
		{"product-types.csv", "shower-gel", "rinse_off", "maybe", faultsOf(trade.ReadProductTypes),
			`rinse_off: "maybe" is none of yes, no`},
		{"saponification.csv", "olive", "cas", "8001-25-0; 8001-25-0", faultsOf(trade.ReadFats),
			"cas: 8001-25-0 stands twice"},
		{"saponification.csv", "olive", "sv_max_mg_koh_g", "180", faultsOf(trade.ReadFats),
			"sv_min_mg_koh_g is above sv_max_mg_koh_g"},
		{"saponification.csv", "olive", "soap_inci_sodium", "Sodium Olivate; Sodium Oleate",
			faultsOf(trade.ReadFats), "names 2 soaps, soap_shares_pct has 0 contents"},
		{"tox-values.csv", "2-Phenoxyethanol", "pod_type", "", faultsOf(safety.ReadTox),
			"pod_type and value_mg_per_kg_bw_d go together"},
		{"tox-values.csv", "2-Phenoxyethanol", "cas", "122-99-7", faultsOf(safety.ReadTox),
			"CAS number 122-99-7 has check digit 7"},
		{"t-quantiles.csv", "2", "degrees_of_freedom", "0", faultsOf(safety.ReadTQuantiles),
			`"0" is no whole number above the row before`},
		{"t-quantiles.csv", "2", "t_975", "", faultsOf(safety.ReadTQuantiles), "t_975 is empty"},
	} {
		key := c.key
		if key == "" { // any row will do
			data, err := fs.ReadFile(Files(), c.file)
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
	_, err := trade.ReadFacts("t.csv", "key,value,unit,source,seen,note\na,1,g,b,seen,\"open\nand on\n")
	var one *rows.TableError
	require.ErrorAs(t, err, &one)
	assert.Equal(t, "t.csv", one.File)
	assert.Positive(t, one.Line)
	_, err = trade.ReadFacts("t.csv", "key,value,unit,source,seen,note\n\xef\xbb\xbfa,1,g,b,seen,\n,1,g,b,seen,\n")
	require.ErrorContains(t, err, "t.csv:3: the row has no key")
}
