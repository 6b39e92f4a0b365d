package frame

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

func TestProductLink(t *testing.T) {
	p := &workshop.Product{Product: &formula.Product{ID: "balm", Name: "Balm"}}
	p.Formula.Phases = []formula.Phase{{Lines: []formula.Line{{Pos: exact.Pos{Line: 7}}, {Pos: exact.Pos{Line: 8}}}}}
	for key, want := range map[string]string{
		"":                 "/product/balm/formula#amount-0-1",
		"amount":           "/product/balm/formula#amount-0-1",
		"claim":            "/product/balm/facts#claims",
		"net_content":      "/product/balm/facts#net_content-g",
		"specification.ph": "/product/balm/facts#specification-ph",
		"durability":       "/product/balm/facts#durability",
		"microbiology":     "/product/balm/tests#microbiology",
		"assessments":      "/product/balm/pack",
	} {
		t.Run(key, func(t *testing.T) { require.Equal(t, want, productLink(p, key, 8).Href) })
	}
}

func TestSheetLink(t *testing.T) {
	for key, want := range map[string]string{
		"":                             "/material/wax",
		"name":                         "/material/wax#name",
		"supplier":                     "/material/wax#supplier-name",
		"price":                        "/material/wax#price-per_kg",
		"density_g_ml":                 "/material/wax#physical-density_g_ml",
		"allergens.declared.pct":       "/material/wax/allergens",
		"documents":                    "/material/wax#papers",
		"fragrance_limits":             "/material/wax#certificate",
		"composition.constituents.pct": "/material/wax#composition",
		"toxicology.inci":              "/material/wax/toxicology",
	} {
		t.Run(key, func(t *testing.T) { require.Equal(t, want, sheetLink("wax", "Wax", "ingredients/wax.yaml", key).Href) })
	}
}
