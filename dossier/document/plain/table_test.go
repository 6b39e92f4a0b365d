package plain

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/document/documenttest"
)

func TestTextTable(t *testing.T) {
	require.Equal(t, `Weighing sheet
Heath wash, plain, 2 kg
=======================
Heath wash · revision 2 · 2026-03-31 · fingerprint 4f1c 90ab 77d2


To weigh
========

Weigh in the order of the lines. Tick each line when it is in the vessel.

Table 1  Lines in order
                                 Content    Mass
Phase  Material                    % w/w       g  Lot           Done
-----  ------------------------  -------  ------  ------------  ----
A      Water                       71.85  1437.0  ____________  [x]
A      Decyl glucoside solution    27      540.0  ____________  [x]
B      Heather fragrance oil        0.8     16.0  ____________  [ ]
B      Citric acid solution         0.35     7.0  ____________  [ ]
-----  ------------------------  -------  ------  ------------  ----
       Total                      100     2000.0
`, textOf(t, documenttest.Small()))
}
