package ics_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/calendar/ics"
)

// Source: RFC 5545, 3.1 (folding), 3.3.11 (escapes), 3.6.1 (whole days).
func TestWrite(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, ics.Write(&b, "what is due", []ics.Event{
		{ID: "paper-oil-sds", Day: 20281231, Summary: "Oil, cold; pressed\\", Detail: "line 1\nline 2"},
		{ID: "paper-oil-sds", Day: 20290101, Summary: "the same again"},
	}, 20261125))
	assert.Equal(t, "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//gallipot//what is due//EN\r\nCALSCALE:GREGORIAN\r\n"+
		"BEGIN:VEVENT\r\nUID:paper-oil-sds@gallipot\r\nDTSTAMP:20261125T000000Z\r\nDTSTART;VALUE=DATE:20281231\r\nDTEND;VALUE=DATE:20290101\r\n"+
		"SUMMARY:Oil\\, cold\\; pressed\\\\\r\nDESCRIPTION:line 1\\nline 2\r\nTRANSP:TRANSPARENT\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n", b.String())
}

func TestFolding(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, ics.Write(&b, "x",
		[]ics.Event{{ID: "a", Day: 20261125,
			Summary: "ääääääääääääääääääääääääääääääääääääääääääääääääää"}}, 20261125))
	for _, line := range bytes.Split(b.Bytes(), []byte("\r\n")) {
		assert.LessOrEqual(t, len(line), 75, "%s", line)
	}
	assert.Contains(t, string(bytes.ReplaceAll(b.Bytes(), []byte("\r\n "), nil)),
		"ääääääääääääääääääääääääääääääääääääääääääääääääää")
}
