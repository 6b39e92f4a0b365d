package stability

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/law/table"
	"gallipot/dossier/document/documenttest"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/sign"
)

// TestHostileCalendar: whatever a maker typed, each event is one event, no line is more
// than 75 octets, and nothing unseen is in it.
//
// Source: RFC 5545, 3.1 and 3.3.11.
func TestHostileCalendar(t *testing.T) {
	tables := table.Builtin()
	temperature, weeks := exact.Int(40), exact.Int(12)
	events := 0
	for _, text := range documenttest.Hostile {
		p := &workshop.Product{Product: &formula.Product{ID: "tide", Name: text + "Tide"}}
		p.Stability = []workshop.StabilityTest{{Test: "heat", TempC: &temperature, Weeks: &weeks, Pack: text,
			Batch: text, Started: 20261101}}
		var b bytes.Buffer
		require.NoError(t, WriteCalendar(&b, []*workshop.Product{p}, tables, 20261125))
		lines := strings.Split(strings.TrimSuffix(b.String(), "\r\n"), "\r\n")
		begun := 0
		for _, line := range lines {
			assert.LessOrEqual(t, len(line), 75, "%q", text)
			if line == "BEGIN:VEVENT" {
				begun++
			}
			for _, r := range line {
				assert.False(t, sign.Refused(r) || r == '\n', "%q: %U", text, r)
			}
		}
		if events == 0 {
			events = begun
		}
		assert.Positive(t, begun)
		assert.Equal(t, events, begun, "%q makes no event of its own", text)
		assert.Equal(t, "END:VCALENDAR", lines[len(lines)-1])
	}
}
